"""The working of turn-plan: the timings at the present setting, the line through all, and one prediction."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time import working as fold_time_working
from calculators.fold_time.measured import Runs
from calculators.fold_time.slips import numbers_wait
from calculators.shared.rate_line import BEND, RateLine
from calculators.shared.statistics import student_quantile
from calculators.shared.timing import Timing, read_run
from calculators.shared.working_lines import Line, line, shown
from calculators.turn_plan.calculator import PRIORS, as_asked, counting, runs_at
from calculators.turn_plan.case import Case
from calculators.turn_plan.predictions import common_ahead

MOST_SHOWN = 6
"""Timings written out one by one; the rest go the same way."""

Row = Mapping[str, Any]


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    case, here = as_asked(inputs)
    if numbers_wait(answer.get("question")):
        return [line("fold-time.working.numbers-wait")]
    found = [
        _step("present", half_turns=case.present),
        *fold_time_working.lines_for(here, case.limits, case.here),
    ]
    if case.line is None:
        return [*found, _step("no-line")]
    counts = counting(runs_at(inputs["readings"], case.timing, case.answers))
    rows = [_timed(row, case.timing) for row, known in zip(inputs["readings"], counts, strict=True) if known]
    history = inputs[PRIORS[0]] is not None and not case.history_dropped
    found += [*_sums(rows, case.line), *_slope(rows, inputs, answer, case.line, history=history)]
    return [*found, *_prediction(case, here, inputs, answer)]


def _timed(row: Row, timing: Timing) -> dict[str, Any]:
    """Return a reading as the line takes it: setting, time, scatter and weight."""
    run = read_run(row)
    time = timing.corrected(run)
    scatter = timing.scatter([run], time)
    return {
        "half_turns": row["half_turns"],
        "fold_time_s": time,
        "scatter_s": scatter,
        "weight": (time**2 / scatter) ** 2,
    }


def _step(code: str, **values: object) -> Line:
    return line(f"turn-plan.working.{code}", **values)


def _sums(rows: Sequence[Row], fitted: RateLine) -> list[Line]:
    """Write the timings as rates with their weights, and where the weighted middle lies."""
    found = [_step("line"), *map(_reading, rows[:MOST_SHOWN])]
    if len(rows) > MOST_SHOWN:
        found.append(_step("more", count=len(rows) - MOST_SHOWN))
    total = shown(fitted.weight)
    settings = math.fsum(row["weight"] * row["half_turns"] for row in rows)
    rates = math.fsum(row["weight"] / row["fold_time_s"] for row in rows)
    found.append(_step("middle-setting", sum=shown(settings), total=total, middle=shown(fitted.center)))
    found.append(_step("middle-rate", sum=shown(rates), total=total, level=shown(fitted.rate_at_center)))
    return found


def _reading(row: Row) -> Line:
    return _step(
        "reading",
        half_turns=row["half_turns"],
        fold_time_s=shown(row["fold_time_s"], 8),
        rate=shown(1 / row["fold_time_s"]),
        weight=shown(row["weight"]),
        scatter_s=shown(row["scatter_s"]),
    )


def _slope(
    rows: Sequence[Row],
    inputs: Mapping[str, Any],
    answer: Mapping[str, Any],
    fitted: RateLine,
    *,
    history: bool,
) -> list[Line]:
    """Work out slope, intercept, scatter within settings and the slope's interval."""
    apart = [
        (row["weight"], row["half_turns"] - fitted.center, 1 / row["fold_time_s"] - fitted.rate_at_center)
        for row in rows
    ]
    mean, sd = (inputs[name] for name in PRIORS)
    factor = student_quantile((1 + inputs["confidence"]) / 2, fitted.degrees)
    values = {
        "moment": shown(math.fsum(w * n * r for w, n, r in apart)),
        "spread": shown(math.fsum(w * n * n for w, n, _ in apart)),
        "precision": shown(fitted.slope_precision),
        "prior": mean,
        "prior_sd": sd,
        "middle": shown(fitted.center),
        "level": shown(fitted.rate_at_center),
        **{name: shown(answer[name]) for name in ("rate_intercept", "rate_slope", "slope_sd")},
        "chi_square": shown(fitted.chi_square),
        "known": fitted.known_degrees,
        "spare": fitted.spare_degrees,
        "variance_factor": shown(fitted.variance_factor),
        "degrees": fitted.degrees,
        "coverage": shown(factor),
        "percent": shown(100 * inputs["confidence"]),
    }
    values["low"], values["high"] = (shown(end) for end in fitted.slope_interval(inputs["confidence"]))
    codes = [
        "slope-history" if history else "slope",
        "intercept",
        "within",
        "variance-factor",
        "slope-sd",
        "coverage",
        "slope-low",
        "slope-high",
    ]
    return [_step(code, **values) for code in codes]


def _prediction(case: Case, here: Runs, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Work out what one new timing would show after this half turn, or here where none is asked for."""
    at, fitted = case.present + (answer.get("do_now") or 0), case.line
    row = next((each for each in answer["predictions"] if each["half_turns"] == at), None)
    if row is None or fitted is None:
        return []
    scatter = case.timing.scatter(here.runs, 1 / fitted.rate(at))
    common = common_ahead(case.timing, here.runs)
    new = fitted.predict(at, scatter, common)
    slowest, quickest = new.interval(inputs["confidence"])
    factor = student_quantile((1 + inputs["confidence"]) / 2, fitted.degrees)
    values = {
        "half_turns": at,
        "rate": shown(new.rate),
        "fold_time_s": shown(row["fold_time_s"]),
        "sd": shown(new.sd),
        "bend": BEND,
        "loosest": fitted.timed[0],
        "tightest": fitted.timed[1],
        "slow_sd": shown(new.slow_sd),
        "rate_intercept": shown(answer["rate_intercept"]),
        "rate_slope": shown(answer["rate_slope"]),
        "variance_factor": shown(fitted.variance_factor),
        "total": shown(fitted.weight),
        "middle": shown(fitted.center),
        "precision": shown(fitted.slope_precision),
        "scatter_s": shown(scatter),
        "common_s": shown(common),
        "coverage": shown(factor),
        "slowest": shown(slowest),
        "quickest": shown(quickest),
        "low_s": shown(row["low_s"]),
        "high_s": None if row["high_s"] is None else shown(row["high_s"]),
    }
    codes = ["predicted", "predicted-sd-common" if common else "predicted-sd", "predicted-low"]
    if fitted.bend(at):
        codes.append("predicted-bend")
    codes.append("predicted-high" if row["high_s"] is not None else "predicted-no-high")
    return [_step(code, **values) for code in codes]

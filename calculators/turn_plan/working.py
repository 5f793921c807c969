"""The working of turn-plan: the timings at the present setting, the line through all, and one prediction."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time import calculator as fold_time
from calculators.fold_time import working as fold_time_working
from calculators.shared.rate_line import KNOWN_DEGREES, RateLine
from calculators.shared.statistics import student_quantile
from calculators.shared.working_lines import Line, line, shown
from calculators.turn_plan.calculator import PRIORS, line_through, slope_prior

MOST_SHOWN = 6
"""Timings written out one by one; the rest go the same way."""

Row = Mapping[str, Any]


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    rows: Sequence[Row] = inputs["readings"]
    present = rows[-1]["half_turns"]
    judged = {
        "runs_s": tuple(row["fold_time_s"] for row in rows if row["half_turns"] == present),
        **{field.name: inputs[field.name] for field in fold_time.INPUTS if field.name != "runs_s"},
    }
    found = [
        _step("present", half_turns=present),
        *fold_time_working.lines(judged, fold_time.calculate(**judged)),
    ]
    prior = slope_prior(*(inputs[name] for name in PRIORS))
    fitted = line_through(rows, inputs["timing_uncertainty_s"], prior)
    if fitted is None:
        return [*found, _step("no-line")]
    return [
        *found,
        *_sums(rows, inputs, fitted),
        *_slope(rows, inputs, answer, fitted),
        *_prediction(present, inputs, answer, fitted),
    ]


def _step(code: str, **values: object) -> Line:
    return line(f"turn-plan.working.{code}", **values)


def _weights(rows: Sequence[Row], inputs: Mapping[str, Any]) -> list[float]:
    return [(row["fold_time_s"] ** 2 / inputs["timing_uncertainty_s"]) ** 2 for row in rows]


def _sums(rows: Sequence[Row], inputs: Mapping[str, Any], fitted: RateLine) -> list[Line]:
    """Write the timings as rates with their weights, and where the weighted middle lies."""
    weights = _weights(rows, inputs)
    found = [_step("line", timing_uncertainty_s=inputs["timing_uncertainty_s"])]
    for row, weight in list(zip(rows, weights, strict=True))[:MOST_SHOWN]:
        found.append(
            _step(
                "reading",
                half_turns=row["half_turns"],
                fold_time_s=row["fold_time_s"],
                rate=shown(1 / row["fold_time_s"]),
                weight=shown(weight),
                timing_uncertainty_s=inputs["timing_uncertainty_s"],
            )
        )
    if len(rows) > MOST_SHOWN:
        found.append(_step("more", count=len(rows) - MOST_SHOWN))
    total = shown(fitted.weight)
    settings = math.fsum(w * row["half_turns"] for w, row in zip(weights, rows, strict=True))
    rates = math.fsum(w / row["fold_time_s"] for w, row in zip(weights, rows, strict=True))
    found.append(_step("middle-setting", sum=shown(settings), total=total, middle=shown(fitted.center)))
    found.append(_step("middle-rate", sum=shown(rates), total=total, level=shown(fitted.rate_at_center)))
    return found


def _slope(
    rows: Sequence[Row], inputs: Mapping[str, Any], answer: Mapping[str, Any], fitted: RateLine
) -> list[Line]:
    """Work out slope, intercept, misfit and the slope's interval."""
    apart = [
        (w, row["half_turns"] - fitted.center, 1 / row["fold_time_s"] - fitted.rate_at_center)
        for w, row in zip(_weights(rows, inputs), rows, strict=True)
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
        "known": KNOWN_DEGREES,
        "spare": fitted.spare_degrees,
        "variance_factor": shown(fitted.variance_factor),
        "degrees": fitted.degrees,
        "coverage": shown(factor),
        "percent": shown(100 * inputs["confidence"]),
    }
    values["low"], values["high"] = (shown(end) for end in fitted.slope_interval(inputs["confidence"]))
    history = "" if mean is None else "-history"
    codes = [
        f"slope{history}",
        "intercept",
        f"misfit{history}",
        "variance-factor",
        "slope-sd",
        "coverage",
        "slope-low",
        "slope-high",
    ]
    return [_step(code, **values) for code in codes]


def _prediction(
    present: int, inputs: Mapping[str, Any], answer: Mapping[str, Any], fitted: RateLine
) -> list[Line]:
    """Work out what one new timing would show after this half turn, or here where none is asked for."""
    at = present + (answer.get("do_now") or 0)
    row = next((each for each in answer["predictions"] if each["half_turns"] == at), None)
    if row is None:
        return []
    new = fitted.predict(at, inputs["timing_uncertainty_s"])
    slowest, quickest = new.interval(inputs["confidence"])
    factor = student_quantile((1 + inputs["confidence"]) / 2, fitted.degrees)
    values = {
        "half_turns": at,
        "rate": shown(new.rate),
        "fold_time_s": shown(row["fold_time_s"]),
        "sd": shown(new.sd),
        "rate_intercept": shown(answer["rate_intercept"]),
        "rate_slope": shown(answer["rate_slope"]),
        "variance_factor": shown(fitted.variance_factor),
        "total": shown(fitted.weight),
        "middle": shown(fitted.center),
        "precision": shown(fitted.slope_precision),
        "timing_uncertainty_s": inputs["timing_uncertainty_s"],
        "coverage": shown(factor),
        "slowest": shown(slowest),
        "quickest": shown(quickest),
        "low_s": shown(row["low_s"]),
        "high_s": None if row["high_s"] is None else shown(row["high_s"]),
    }
    ends = ("predicted-low", "predicted-high" if row["high_s"] is not None else "predicted-no-high")
    return [_step(code, **values) for code in ("predicted", "predicted-sd", *ends)]

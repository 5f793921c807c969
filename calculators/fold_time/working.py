"""The working of fold-time: habits, mean, scatter, uncertainty and interval with the runs put in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time.calculator import as_asked
from calculators.fold_time.measured import Limits, Measured, Runs, measure
from calculators.fold_time.rules import scatter_allowed
from calculators.fold_time.slips import numbers_wait
from calculators.shared.fields import rounded
from calculators.shared.statistics import mean_and_sd
from calculators.shared.timing import Run
from calculators.shared.working_lines import Line, line, shown

DOUBT = 0.0001
"""Nothing is shown as surer than this leaves room for."""


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    return lines_for(*as_asked(inputs), answer)


def lines_for(runs: Runs, limits: Limits, answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for the runs at one setting and what fold-time answered to them."""
    counted = [runs.runs[i] for i in runs.counting()]
    if numbers_wait(answer.get("question")):
        return [*_habits(runs, counted), _step("numbers-wait", {})]
    found = measure(counted, runs.timing, limits)
    values = _found(found, answer) | {"percent": shown(100 * limits.confidence)}
    return [
        *_habits(runs, counted),
        *_mean(runs, counted, values),
        *_agreement(runs, limits),
        *_scatter(runs, counted, found, values),
        *_interval(found, values),
        *_probability(answer, limits, values),
    ]


def _found(found: Measured, answer: Mapping[str, Any]) -> dict[str, Any]:
    """Return the numbers as they are shown; what is not there is left out."""
    numbers = {
        **{name: answer[name] for name in found.outputs()},
        "common_s": found.common_s,
        "scatter_s": found.scatter_s,
        "scatter_degrees": found.scatter_degrees,
    }
    return {name: shown(value) for name, value in numbers.items() if value is not None} | {
        "count": found.count,
        "less_one": found.count - 1,
    }


def _step(code: str, values: Mapping[str, Any]) -> Line:
    return line(f"fold-time.working.{code}", **values)


def _habits(runs: Runs, counted: Sequence[Run]) -> list[Line]:
    """Take the registered bias off each run that counts."""
    if not runs.timing.ways:
        return []
    found = []
    for i in runs.counting():
        run = runs.runs[i]
        bias = [shown(way.bias_s) for way in runs.timing.used(run.started) if way.bias_s]
        found.append(
            _step(
                "corrected",
                {
                    "number": i + 1,
                    "shown_s": run.shown_s,
                    "bias": bias or [0],
                    "time_s": shown(runs.timing.corrected(run), 8),
                },
            )
        )
    return found


def _mean(runs: Runs, counted: Sequence[Run], values: dict[str, Any]) -> list[Line]:
    times = [rounded(runs.timing.corrected(run)) for run in counted]
    if len(times) == 1:
        return [_step("one-run", values)]
    mean, sd = mean_and_sd(times)
    values["runs"] = tuple(times)
    values["squares"] = [shown(round(time - mean, 9) ** 2) for time in times]  # what is smaller is rounding
    values["sum_s2"] = shown((len(times) - 1) * (sd or 0.0) ** 2)
    return [_step(code, values) for code in ("mean", "squares", "spread")]


def _agreement(runs: Runs, limits: Limits) -> list[Line]:
    """Hold the scatter of all runs, those left out of the mean among them, against what is registered."""
    if limits.inspect_limit is None or len(runs.runs) == 1:
        return []
    mean, sd = mean_and_sd(runs.times)
    most = scatter_allowed(runs, limits, mean)
    values = {
        "inspect_limit": limits.inspect_limit,
        "all_mean_s": shown(mean),
        "all_sd_s": shown(sd or 0.0),
        "hand_s": shown(runs.timing.hand(runs.runs)),
        "allowed_s": shown(most),
    }
    agree = "agree" if rounded(sd or 0.0) <= most else "disagree"
    return [_step("allowed", values), _step(agree, values)]


def _scatter(runs: Runs, counted: Sequence[Run], found: Measured, values: dict[str, Any]) -> list[Line]:
    """Put together what is registered of the scatter, what the runs show, and what is common to all."""
    timing = runs.timing
    values |= {
        "registered_s": shown(timing.scatter(counted, found.mean_s)),
        "weight": timing.weight,
        "hand_s": shown(timing.hand(counted)),
        "repeatability": timing.repeatability or 0.0,
    }
    steps = []
    if timing.ways:
        parts = max(
            (timing.used(run.started) for run in counted),
            key=lambda used: sum(way.bias_uncertainty_s**2 for way in used),
        )
        values["parts"] = [shown(way.bias_uncertainty_s**2) for way in parts if way.bias_uncertainty_s] or [0]
        steps.append("common")
    if timing.is_split:
        steps += ["registered", "scatter" if found.count > 1 else "scatter-one-run"]
    steps.append("uncertainty" if timing.is_split or found.count > 1 else "uncertainty-one-run")
    return [_step(code, values) for code in steps]


def _interval(found: Measured, values: Mapping[str, Any]) -> list[Line]:
    if found.degrees_of_freedom is None:
        codes: tuple[str, ...] = ("freedom-infinite", "coverage-normal", "low", "high")
    else:
        codes = ("freedom", "coverage-student", "low", "high")
    return [_step(code, values) for code in codes]


def _probability(answer: Mapping[str, Any], limits: Limits, values: dict[str, Any]) -> list[Line]:
    """Say how far the limits are from the mean, in standard uncertainties, and what lies between."""
    for side, limit in zip(("low", "high"), limits.window, strict=True):
        values[f"window_{side}_s"] = limit
        values[f"{side}_away"] = shown((limit - answer["mean_s"]) / answer["standard_uncertainty_s"])
    probability = answer["probability_in_window"]
    sure = "" if DOUBT <= probability <= 1 - DOUBT else "-under" if probability < DOUBT else "-over"
    values["doubt"], values["nearly_all"] = DOUBT, rounded(1 - DOUBT)
    return [_step(code, values) for code in ("window-low", "window-high", f"probability{sure}")]

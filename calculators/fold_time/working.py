"""The working of fold-time: mean, spread, uncertainty, interval and probability with the runs put in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time.calculator import SPREAD_CONFIDENCE
from calculators.shared.fields import rounded
from calculators.shared.statistics import chi_square_quantile
from calculators.shared.working_lines import Line, line, shown

DOUBT = 0.0001
"""Nothing is shown as surer than this leaves room for."""
NAMES = (
    "mean_s",
    "sd_s",
    "standard_uncertainty_s",
    "degrees_of_freedom",
    "coverage_factor",
    "low_s",
    "high_s",
    "probability_in_window",
)


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    runs: Sequence[float] = inputs["runs_s"]
    values = {
        **_found(answer),
        "runs": runs,
        "count": len(runs),
        "less_one": len(runs) - 1,
        "timing_uncertainty_s": inputs["timing_uncertainty_s"],
        "percent": shown(100 * inputs["confidence"]),
        "window_low_s": inputs["window_low_s"],
        "window_high_s": inputs["window_high_s"],
    }
    spread = _one_run(values) if len(runs) == 1 else _several(runs, answer, values)
    interval = [_step(code, values) for code in _after_spread(answer)]
    return [*spread, *interval, *_probability(inputs, answer, values)]


def _found(answer: Mapping[str, Any]) -> dict[str, float]:
    """Return the answer's numbers as they are shown; what is not there is left out."""
    return {name: shown(answer[name]) for name in NAMES if answer[name] is not None}


def _step(code: str, values: Mapping[str, Any]) -> Line:
    return line(f"fold-time.working.{code}", **values)


def _one_run(values: Mapping[str, Any]) -> list[Line]:
    return [_step("one-run", values), _step("uncertainty-one-run", values)]


def _several(runs: Sequence[float], answer: Mapping[str, Any], values: dict[str, Any]) -> list[Line]:
    squares = [shown(round(run - answer["mean_s"], 9) ** 2) for run in runs]  # what is smaller is rounding
    values["squares"], values["sum_s2"] = squares, shown((len(runs) - 1) * answer["sd_s"] ** 2)
    values["chi_square"] = shown((len(runs) - 1) * (answer["sd_s"] / values["timing_uncertainty_s"]) ** 2)
    values["most"] = shown(chi_square_quantile(SPREAD_CONFIDENCE, len(runs) - 1))
    agree = "agree" if values["chi_square"] <= values["most"] else "disagree"
    codes = ("mean", "squares", "spread", agree, "uncertainty")
    return [_step(code, values) for code in codes]


def _after_spread(answer: Mapping[str, Any]) -> tuple[str, ...]:
    if answer["degrees_of_freedom"] is None:
        return "freedom-infinite", "coverage-normal", "low", "high"
    return "freedom", "coverage-student", "low", "high"


def _probability(inputs: Mapping[str, Any], answer: Mapping[str, Any], values: dict[str, Any]) -> list[Line]:
    """Say how far the limits are from the mean, in standard uncertainties, and what lies between."""
    for side in ("low", "high"):
        away = (inputs[f"window_{side}_s"] - answer["mean_s"]) / answer["standard_uncertainty_s"]
        values[f"{side}_away"] = shown(away)
    probability = answer["probability_in_window"]
    sure = "" if DOUBT <= probability <= 1 - DOUBT else "-under" if probability < DOUBT else "-over"
    values["doubt"], values["nearly_all"] = DOUBT, rounded(1 - DOUBT)
    return [_step(code, values) for code in ("window-low", "window-high", f"probability{sure}")]

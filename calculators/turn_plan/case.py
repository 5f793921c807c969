"""What the rules of turn-plan look at: folds at each setting, a line, predictions, and what is allowed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import rounded
from calculators.shared.rate_line import RateLine
from calculators.turn_plan.predictions import HANGING_FACTOR


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """All that the rules look at. Settings are half turns from as found, times in s, rates in 1/s."""

    present: int
    folds: Mapping[int, Mapping[str, Any]]
    """fold-time's answer at each setting timed."""
    counts: Mapping[int, int]
    line: RateLine | None
    """The line used for predictions, with the history where there is one."""
    today: RateLine | None
    """The line through today's readings alone: history must not hide what the spring does today."""
    predictions: Sequence[Mapping[str, Any]]
    window_low_s: float
    window_high_s: float
    timing_uncertainty_s: float
    confidence: float
    half_turns_min: int | None
    half_turns_max: int | None
    least_response_s: float

    @property
    def ceiling_s(self) -> float:
        """The longest time that is given, s."""
        return HANGING_FACTOR * self.window_high_s

    @property
    def here(self) -> Mapping[str, Any]:
        """fold-time's answer at the present setting."""
        return self.folds[self.present]

    @property
    def measured(self) -> bool:
        """True where the adjustment left is known both ways."""
        return self.half_turns_min is not None and self.half_turns_max is not None

    def predicted(self, setting: int) -> Mapping[str, Any] | None:
        """Return the prediction for a setting, None where no time is given."""
        return next((each for each in self.predictions if each["half_turns"] == setting), None)


def most_likely(case: Case) -> int | None:
    """Return the half turns to the setting likeliest in the window, ties to the fewest.

    None where nobody can tell: no line, no time given, or a slope whose interval holds 0.
    """
    if case.line is None or not case.predictions or case.line.slope_interval(case.confidence)[1] >= 0:
        return None
    best = min(
        case.predictions,
        key=lambda each: (-rounded(each["probability_in_window"]), abs(each["half_turns"] - case.present)),
    )
    return int(best["half_turns"]) - case.present


def how_it_stands(case: Case) -> dict[str, object]:
    """Return the values that sentences about the present setting name."""
    fold = case.here
    return {
        "count": case.counts[case.present],
        "mean_s": fold["mean_s"],
        "low_s": fold["low_s"],
        "high_s": fold["high_s"],
        "window_low_s": case.window_low_s,
        "window_high_s": case.window_high_s,
    }

"""What the rules of turn-plan look at: folds at each setting, a line, predictions, and what is allowed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.fold_time.answers import Answers
from calculators.fold_time.measured import Limits
from calculators.shared.fields import rounded
from calculators.shared.rate_line import RateLine
from calculators.shared.timing import Timing
from calculators.turn_plan.predictions import HANGING_FACTOR

WAYS = {"add-half-turn": 1, "remove-half-turn": -1}
"""What fold-time asks for, as half turns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """All that the rules look at. Settings are half turns from as found, times in s, rates in 1/s."""

    settings: Sequence[int]
    """The setting of each timing, in the order made; the nut stands at the last."""
    folds: Mapping[int, Mapping[str, Any]]
    """fold-time's answer at each setting timed."""
    counts: Mapping[int, int]
    line: RateLine | None
    """The line used for predictions, with the history where there is one that today's timings bear out."""
    today: RateLine | None
    """The line through today's readings alone: history must not hide what the spring does today."""
    history_dropped: bool
    predictions: Sequence[Mapping[str, Any]]
    limits: Limits
    timing: Timing
    answers: Answers
    half_turns_min: int | None
    half_turns_max: int | None
    least_response_s: float
    to_the_middle: bool
    """True where the company goes on towards the middle of the window."""

    @property
    def present(self) -> int:
        """Where the nut stands."""
        return self.settings[-1]

    @property
    def window_low_s(self) -> float:
        """Shortest fold time allowed, s."""
        return self.limits.window[0]

    @property
    def window_high_s(self) -> float:
        """Longest fold time allowed, s."""
        return self.limits.window[1]

    @property
    def ceiling_s(self) -> float:
        """The longest time that is given, s."""
        return HANGING_FACTOR * self.window_high_s

    @property
    def here(self) -> Mapping[str, Any]:
        """fold-time's answer at the present setting."""
        return self.folds[self.present]

    @property
    def here_case(self) -> str:
        """Which of fold-time's cases the present setting is."""
        return str(self.here["headline"]["code"]).rpartition(".")[2]

    @property
    def measured(self) -> bool:
        """True where the adjustment left is known both ways."""
        return self.half_turns_min is not None and self.half_turns_max is not None

    @property
    def runs_back(self) -> int:
        """Timings made at as found since the nut was last elsewhere; 0 where it is elsewhere."""
        back = 0
        for setting in reversed(self.settings):
            if setting:
                break
            back += 1
        return back

    @property
    def is_coming_back(self) -> bool:
        """True where the nut was further from as found before."""
        return max(map(abs, self.settings)) > abs(self.present)

    def predicted(self, setting: int) -> Mapping[str, Any] | None:
        """Return the prediction for a setting, None where no time is given."""
        return next((each for each in self.predictions if each["half_turns"] == setting), None)


def most_likely(case: Case) -> int | None:
    """Return the half turns to the setting likeliest in the window, ties to the fewest.

    With a cold damper, to the nearest setting that reaches the window's lower limit: warm it will be quicker.
    None where nobody can tell: no line, no time given, or a slope whose interval holds 0.
    """
    if case.line is None or not case.predictions or case.line.slope_interval(case.limits.confidence)[1] >= 0:
        return None
    near = [each for each in case.predictions if _is_enough(case, each)]
    best = min(
        near or case.predictions,
        key=lambda each: (-rounded(each["probability_in_window"]), abs(each["half_turns"] - case.present)),
    )
    return int(best["half_turns"]) - case.present


def _is_enough(case: Case, row: Mapping[str, Any]) -> bool:
    """True for the first setting past the limit that a cold or hot damper may be turned to."""
    if not (case.limits.cold or case.limits.hot):
        return False
    before = case.predicted(row["half_turns"] + (-1 if case.limits.cold else 1))
    if case.limits.cold:
        return bool(
            row["fold_time_s"] >= case.window_low_s
            and (before is None or before["fold_time_s"] < case.window_low_s)
        )
    return bool(
        row["fold_time_s"] <= case.window_high_s
        and (before is None or before["fold_time_s"] > case.window_high_s)
    )


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

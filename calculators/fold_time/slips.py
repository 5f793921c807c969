"""Slips that are likely, looked for before anything is concluded from a run. Times in s."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time.answers import Answers, question
from calculators.shared.statistics import mean_and_sd, median

TENS = (0.1, 10.0)
NEAR_TEN = 0.15
"""A value this near to ten times its fellows, or to a tenth, is one with its point one place off."""
FAR = 2.0
"""A lone run further than this factor from the window is asked about."""
LEAST_FELLOWS = 2
"""One run stands apart only from two or more."""


def slip(
    times: Sequence[float],
    places: Sequence[str],
    window: tuple[float, float],
    answers: Answers,
    *,
    free_drop_s: float,
    odd_s: float | None,
    allowed_s: float | None,
    may_be_turned: bool,
    shown: Sequence[float],
) -> dict[str, Any] | None:
    """Return the first question that the runs at one setting ask for; None where there is none.

    Args:
        times: the runs, in order.
        places: where each stands on the sheet.
        window: its limits.
        answers: what was asked and answered before.
        free_drop_s: below this a lip drops freely; 0 where nothing is registered.
        odd_s: how far a run has to be from its fellows to be odd; None where nothing is registered.
        allowed_s: the most that sound runs scatter; None where nothing is registered.
        shown: what the watch showed for each, before its habits were taken off: a point is misplaced in that.
        may_be_turned: True where a half turn can have been made and not entered.
    """
    found = (
        _ten_fold(shown, places, window, answers)
        or _far_off(times, shown, places, free_drop_s, answers)
        or _odd(times, places, answers, odd_s, may_be_turned=may_be_turned)
    )
    if found is None and may_be_turned and allowed_s is not None:
        return _turn(times, places, answers, allowed_s)
    return found


def numbers_wait(asked: Mapping[str, Any] | None) -> bool:
    """Return whether a value that may be ten times off is asked about: no number is given with it in it."""
    return asked is not None and asked["code"] == "question.ten-fold"


def odd_runs(times: Sequence[float], odd_s: float | None) -> list[int]:
    """Return the numbers of the runs further than odd_s from the median of all."""
    if odd_s is None or len(times) <= LEAST_FELLOWS:
        return []
    middle = median(times)
    return [i for i, time in enumerate(times) if abs(time - middle) >= odd_s]


def _ten_fold(
    shown: Sequence[float], places: Sequence[str], window: tuple[float, float], answers: Answers
) -> dict[str, Any] | None:
    for i, time in enumerate(shown):
        expected = median(shown) if len(shown) > LEAST_FELLOWS else None
        for tens in TENS:
            if _is_ten_fold(time, tens, expected, shown, window) and not answers.to("ten-fold", places[i]):
                return question("ten-fold", places[i], number=i + 1, time_s=time, likely_s=time / tens)
    return None


def _is_ten_fold(
    time: float, tens: float, expected: float | None, times: Sequence[float], window: tuple[float, float]
) -> bool:
    """Hold a run against its fellows; a lone one, or one of two that differ, against the window."""
    likely = time / tens
    if expected is not None:
        return abs(likely / expected - 1) <= NEAR_TEN
    if len(times) > 1 and abs(times[0] / times[1] - 1) <= NEAR_TEN:
        return False  # two that agree are no slip
    return _is_near(likely, window) and not _is_near(time, window)


def _is_near(time: float, window: tuple[float, float]) -> bool:
    return window[0] / FAR <= time <= window[1] * FAR


def _far_off(
    times: Sequence[float],
    shown: Sequence[float],
    places: Sequence[str],
    free_drop_s: float,
    answers: Answers,
) -> dict[str, Any] | None:
    """Ask about a lone run that is so quick that the lip would drop freely."""
    if len(times) > 1 or times[0] >= free_drop_s:
        return None
    if answers.to("ten-fold", places[0]) or answers.to("far-off", places[0]):
        return None
    return question("far-off", places[0], number=1, time_s=shown[0])


def _odd(
    times: Sequence[float],
    places: Sequence[str],
    answers: Answers,
    odd_s: float | None,
    *,
    may_be_turned: bool,
) -> dict[str, Any] | None:
    """Ask about one odd run; two or more are no slip any more."""
    odd = odd_runs(times, odd_s)
    if len(odd) != 1 or answers.odd(places[odd[0]]):
        return None
    at = odd[0]
    code = "odd-run-or-turn" if may_be_turned and at == len(times) - 1 else "odd-run"
    return question(code, places[at], number=at + 1, time_s=times[at], middle_s=median(times))


def _turn(
    times: Sequence[float], places: Sequence[str], answers: Answers, allowed_s: float
) -> dict[str, Any] | None:
    """Ask whether the nut was turned where runs that scatter too much fall into two, each alike, by order."""
    told = any(answers.to("turn", place) or answers.odd(place) for place in places)
    if told or not _is_apart(times, allowed_s):
        return None
    for at in range(LEAST_FELLOWS, len(times)):
        if not _is_apart(times[:at], allowed_s / 2) and not _is_apart(times[at:], allowed_s / 2):
            return question(
                "turn",
                places[at],
                number=at + 1,
                before_s=mean_and_sd(times[:at])[0],
                after_s=mean_and_sd(times[at:])[0],
            )
    return None


def _is_apart(times: Sequence[float], most: float) -> bool:
    return (mean_and_sd(times)[1] or 0.0) > most

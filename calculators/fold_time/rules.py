"""The rules of fold-time, in their order: a case, which names the sentences, and the next action."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calculators.fold_time.answers import STRIKES
from calculators.fold_time.measured import Limits, Measured, Runs
from calculators.fold_time.slips import odd_runs
from calculators.shared.fields import rounded
from calculators.shared.statistics import mean_and_sd, median

ENOUGH_RUNS = 5
"""From this many runs on, another run no longer helps an undecided verdict much."""
MOST_RUNS = 10
"""More runs at one setting than this are no way to judge a lip."""
TWO_MORE = 2
"""Runs that are made before friction, damage or the damper is concluded from what the runs show."""
TURNS = {"too-quick": "add-half-turn", "too-slow": "remove-half-turn"}
Case = tuple[str, str]


def verdict_of(low_s: float, high_s: float, window: tuple[float, float]) -> str:
    """Return where an interval, s, lies: decided only where all of it lies on one side, or inside."""
    if high_s < window[0]:
        return "too-quick"
    if low_s > window[1]:
        return "too-slow"
    return "in-window" if window[0] <= low_s and high_s <= window[1] else "undecided"


def decide(found: Measured, runs: Runs, limits: Limits, asked: dict[str, Any] | None) -> Case:
    """Return the case and the action: slips, what cannot be a setting, then the verdict."""
    if asked is not None:
        return "question", "answer-question"
    case = _unlike_a_setting(found, runs, limits)
    if case is None:
        case = _by_verdict(found, limits)
    if case[1] == "time-again" and len(runs.runs) >= MOST_RUNS:
        return "ten-runs", "inspect"
    return case


def _unlike_a_setting(found: Measured, runs: Runs, limits: Limits) -> Case | None:
    """Return the case where no setting explains what the runs show, or one run has to be followed by more."""
    if found.mean_s < limits.free_drop_s:
        return "drops-freely", "inspect"
    if found.count == 1:
        return "one-run", "time-again"
    case = _odd_run(runs, limits.stick_s) or _spread(runs, limits)
    if case:
        return case
    if found.least_reach_s >= rounded((limits.window[1] - limits.window[0]) / 2):
        return "timing-too-wide", "inspect"
    return None


def _odd_run(runs: Runs, odd_s: float | None) -> Case | None:
    """A second odd run, or one that was slower and that nobody can explain, is the leveler's."""
    times, odd = runs.times, odd_runs(runs.times, odd_s)
    told = {i: runs.answers.odd(runs.places[i]) for i in odd}
    struck = [answer for answer in map(runs.answers.odd, runs.places) if answer in STRIKES]
    unexplained = [i for i in odd if told[i] == "do-not-know"]
    if not unexplained and len(struck) <= 1:
        return None
    if unexplained and len(times) < max(3, unexplained[0] + 1) + TWO_MORE:
        return "two-more", "time-again"
    if len(odd) > 1 or len(struck) > 1:
        return "two-odd", "inspect"
    return ("stick", "inspect") if times[unexplained[0]] > median(times) else None


def _spread(runs: Runs, limits: Limits) -> Case | None:
    """Runs that scatter more than a sound lip does, those taken out of the mean among them."""
    if not scatters(runs, limits, len(runs.runs)):
        return None
    before = len(runs.runs) - TWO_MORE
    return ("spread", "inspect") if scatters(runs, limits, before) else ("spread-seen", "time-again")


def scatters(runs: Runs, limits: Limits, count: int) -> bool:
    """True where the first `count` runs scatter more than the registered limit allows, hand and all."""
    if limits.inspect_limit is None or count <= 1:
        return False
    mean, sd = mean_and_sd(runs.times[:count])
    return rounded(sd or 0.0) > scatter_allowed(runs, limits, mean)


def scatter_allowed(runs: Runs, limits: Limits, mean: float) -> float:
    """Return the most that sound runs scatter, s: the leveler's registered limit and the hand together."""
    hand = runs.timing.hand(runs.runs)
    return rounded((((limits.inspect_limit or 0.0) * mean) ** 2 + hand**2) ** 0.5)


def _by_verdict(found: Measured, limits: Limits) -> Case:
    verdict = verdict_of(found.low_s, found.high_s, limits.window)
    if verdict == "undecided":
        mean, reach = found.mean_s, found.least_reach_s
        at_best = verdict_of(rounded(mean - reach), rounded(mean + reach), limits.window)
        more_helps = at_best != "undecided" or found.scatter_s**2 > found.count * found.common_s**2 * (
            1 + 1e-9
        )
        if found.count < ENOUGH_RUNS and more_helps:
            return "undecided", "time-again"
        return _at_temperature(*_at_the_edge(found, limits), limits)
    return _at_temperature(verdict, TURNS.get(verdict, "leave"), limits)


def _at_the_edge(found: Measured, limits: Limits) -> Case:
    """Leave what is more likely in than out; else one half turn toward the middle, unless it stands there."""
    if found.probability_in_window >= 0.5:
        return "edge-leave", "leave"
    if found.mean_s == limits.middle_s:
        return "middle", "leave"
    quick = found.mean_s < limits.middle_s
    return ("edge-quick", "add-half-turn") if quick else ("edge-slow", "remove-half-turn")


def _at_temperature(case: str, action: str, limits: Limits) -> Case:
    """A cold damper makes slow folds, a hot one quick ones: those are not turned for, and none is closed."""
    if not (limits.cold or limits.hot):
        return case, action
    name = "cold" if limits.cold else "hot"
    if action == ("remove-half-turn" if limits.cold else "add-half-turn"):
        return f"{name}-not-turned", "leave"
    return (f"{name}-inside", "leave") if action == "leave" else (case, action)


def reasons(case: str, action: str, verdict: str, runs: Sequence[object]) -> list[str]:
    """Name the reasons: what was measured, where it lies, why that is not enough, what next."""
    measured = "interval-one-run" if len(runs) == 1 else "interval"
    why = [] if case == verdict else [f"case-{case}"]
    return [measured, f"verdict-{verdict}", *why, f"then-{action}"]

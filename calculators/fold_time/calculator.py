"""Does the lip fold in the right time, and which way should its spring go? From stopwatch runs and a window.

With the mean m and standard deviation s of n runs, and the standard uncertainty h of one hand-timed run:

    u^2 = s^2/n + h^2                   h not divided by n: one person's habit acts on every run alike
    nu  = u^4 / ((s^2/n)^2 / (n - 1))   Welch-Satterthwaite, h known exactly; infinite for n = 1 or s = 0
    low, high = m -/+ k u               k: Student t quantile for the confidence and nu

The verdict is decided only where this whole interval lies beyond one limit of the window, or inside it.

Limits: takes the runs as independent and the damper as warm. Gives a direction, never an order to turn:
that comes from turn-plan, which knows what adjustment is left.

Source: JCGM 100:2008, 5.1.2 and G.4, for uncertainty and degrees of freedom. ILAC-G8:09/2019 and JCGM
106:2012 for deciding with uncertainty; three results in place of two are our own. That tightening the
lip-assist spring lengthens the fold, and half a turn between timings: common practice, no source. The limit
for spread and the rules for the edge of the window: our own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, Output, rounded
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators.shared.statistics import (
    chi_square_quantile,
    mean_and_sd,
    normal_quantile,
    student_cdf,
    student_quantile,
)

NAME = "fold-time"
VERDICTS = ("too-quick", "in-window", "too-slow", "undecided")
ACTIONS = ("add-half-turn", "remove-half-turn", "leave", "time-again", "inspect")
SPREAD_CONFIDENCE = 0.999
"""Runs count as disagreeing where hand timing alone would spread them so far less often than 1 in 1000."""
ENOUGH_RUNS = 5
"""From this many runs on, another run no longer helps an undecided verdict much."""

INPUTS = (
    Field(
        name="runs_s",
        kind="numbers",
        unit="s",
        low=0.2,
        high=600,
        least=1,
        most=10,
        label="Stopwatch runs",
        help="Every timed fold of this visit: one timer, warm damper.",
    ),
    Field(
        name="window_low_s",
        kind="number",
        unit="s",
        low=0.2,
        high=600,
        figure="lip-fold-time.low",
        label="Shortest fold time allowed",
        help="From the owner's manual of this leveler.",
    ),
    Field(
        name="window_high_s",
        kind="number",
        unit="s",
        low=0.2,
        high=600,
        figure="lip-fold-time.high",
        label="Longest fold time allowed",
        help="From the owner's manual of this leveler.",
    ),
    Field(
        name="timing_uncertainty_s",
        kind="number",
        unit="s",
        low=0.005,
        high=5,
        figure="hand-timing-uncertainty",
        label="Standard uncertainty of one run",
        help="How far one run timed by hand is likely to be off, as one standard deviation.",
    ),
    Field(
        name="confidence",
        kind="number",
        unit="1",
        low=0.5,
        high=0.999,
        figure="timing-confidence",
        label="Confidence",
        help="How sure the answer must be before it counts as decided, 0.95 for 95 %.",
    ),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(
        name="next_action",
        kind="choice",
        choices=ACTIONS,
        label="What to do now",
        help="The next step; a turn itself is ordered by the turn plan.",
    ),
    Output(
        name="before_turning",
        kind="hazards",
        label="Before anyone is at the springs",
        help="Hazards to deal with before a turn; empty where none is asked for.",
    ),
    Output(
        name="before_cycling",
        kind="hazards",
        label="Before the leveler moves",
        help="Hazards to deal with before a cycle; empty where none is asked for.",
    ),
    Output(
        name="verdict",
        kind="choice",
        choices=VERDICTS,
        label="Verdict",
        help="Where the fold time lies, as far as the timing can tell.",
    ),
    Output(name="mean_s", kind="number", unit="s", label="Mean", help="Mean of the runs."),
    Output(
        name="sd_s",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Spread of the runs",
        help="Standard deviation of the runs; none for one run.",
    ),
    Output(
        name="standard_uncertainty_s",
        kind="number",
        unit="s",
        label="Standard uncertainty of the mean",
        help="Spread and hand timing taken together.",
    ),
    Output(
        name="degrees_of_freedom",
        kind="number",
        unit="1",
        may_be_null=True,
        label="Degrees of freedom",
        help="How far the uncertainty itself is known; none where infinite.",
    ),
    Output(
        name="coverage_factor",
        kind="number",
        unit="1",
        label="Coverage factor",
        help="Standard uncertainties on either side of the mean.",
    ),
    Output(name="low_s", kind="number", unit="s", label="Fold time from", help="Lower end of the interval."),
    Output(name="high_s", kind="number", unit="s", label="Fold time to", help="Upper end of the interval."),
    Output(
        name="probability_in_window",
        kind="number",
        unit="1",
        label="Probability in the window",
        help="How likely the fold time is to be in the window.",
    ),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
)


def calculate(
    *,
    runs_s: Sequence[float],
    window_low_s: float,
    window_high_s: float,
    timing_uncertainty_s: float,
    confidence: float,
) -> dict[str, Any]:
    """Judge the fold time and name the next step.

    Args:
        runs_s: stopwatch runs, s; 1 to 10 of them, each 0.2 to 600.
        window_low_s: shortest fold time allowed, s; 0.2 to 600.
        window_high_s: longest fold time allowed, s; 0.2 to 600, above window_low_s.
        timing_uncertainty_s: standard uncertainty of one hand-timed run, s; 0.005 to 5.
        confidence: probability that the interval is to hold, 1; 0.5 to 0.999.

    Returns:
        Every name of OUTPUTS: times in s; sd_s is None for one run, degrees_of_freedom None where infinite;
        headline and reasons as {"code", "values"}.

    Raises:
        BadInput: the window is upside down. Ranges are held by read_inputs, before this.

    Example:
        Two runs, 16.3 and 16.5 s, h = 0.1 s: s^2/n = 0.01 = h^2, so u = 0.1414 s, nu = 4 and k = 2.776, as in
        any t table.

        >>> answer = calculate(
        ...     runs_s=[16.3, 16.5],
        ...     window_low_s=18,
        ...     window_high_s=20,
        ...     timing_uncertainty_s=0.1,
        ...     confidence=0.95,
        ... )
        >>> round(answer["standard_uncertainty_s"], 4), round(answer["degrees_of_freedom"], 6)
        (0.1414, 4.0)
        >>> round(answer["coverage_factor"], 3), answer["verdict"], answer["next_action"]
        (2.776, 'too-quick', 'add-half-turn')
    """
    check_window(window_low_s, window_high_s)
    window = (float(window_low_s), float(window_high_s))
    measured = _measure(runs_s, window, timing_uncertainty_s, confidence)
    verdict = _verdict(measured["low_s"], measured["high_s"], window)
    by_hand = normal_quantile((1 + confidence) / 2) * timing_uncertainty_s
    case, action = _decide(measured, verdict, len(runs_s), window, timing_uncertainty_s, by_hand)
    values = _values(measured, len(runs_s), window, timing_uncertainty_s, confidence)
    turn = action in ("add-half-turn", "remove-half-turn")
    return {
        "headline": {"code": f"fold-time.headline.{case}", "values": values},
        "next_action": action,
        "before_turning": BEFORE_TURNING if turn else (),
        "before_cycling": () if action == "inspect" else BEFORE_CYCLING,
        "verdict": verdict,
        **measured,
        "reasons": [
            {"code": f"fold-time.reason.{code}", "values": values}
            for code in _reasons(case, action, verdict, len(runs_s))
        ],
    }


def check_window(low_s: float, high_s: float) -> None:
    """Raise BadInput unless the window's low limit, s, lies below its high limit, s."""
    if not low_s < high_s:
        raise BadInput(InputProblem("window_high_s", high_s, "window-upside-down", {"low": float(low_s)}))


def _measure(
    runs_s: Sequence[float], window: tuple[float, float], timing_uncertainty_s: float, confidence: float
) -> dict[str, Any]:
    """Mean, spread, uncertainty and interval, rounded: what is shown is what is held against the limits."""
    mean, sd = mean_and_sd(runs_s)
    of_mean = (sd or 0.0) ** 2 / len(runs_s)
    uncertainty = math.sqrt(of_mean + timing_uncertainty_s**2)
    nu = _degrees_of_freedom(of_mean / uncertainty**2, len(runs_s))
    factor = student_quantile((1 + confidence) / 2, nu)
    low, high = ((limit - mean) / uncertainty for limit in window)
    return {
        "mean_s": rounded(mean),
        "sd_s": None if sd is None else rounded(sd),
        "standard_uncertainty_s": rounded(uncertainty),
        "degrees_of_freedom": None if math.isinf(nu) else rounded(nu),
        "coverage_factor": rounded(factor),
        "low_s": rounded(mean - factor * uncertainty),
        "high_s": rounded(mean + factor * uncertainty),
        "probability_in_window": rounded(_probability(low, high, nu)),
    }


def _degrees_of_freedom(share: float, runs: int) -> float:
    """Welch-Satterthwaite from the spread's share of the variance; the hand timing's share is known exactly.

    A share below 1e-12 is the rounding of readings that are equal.
    """
    return (runs - 1) / share**2 if share > 1e-12 else math.inf


def _probability(low: float, high: float, nu: float) -> float:
    """Probability of t from low to high, taken in the lower tail, so that a small one keeps its digits."""
    if low > 0:
        low, high = -high, -low
    return student_cdf(high, nu) - student_cdf(low, nu)


def _verdict(low_s: float, high_s: float, window: tuple[float, float]) -> str:
    if high_s < window[0]:
        return "too-quick"
    if low_s > window[1]:
        return "too-slow"
    return "in-window" if window[0] <= low_s and high_s <= window[1] else "undecided"


def _decide(
    measured: dict[str, Any],
    verdict: str,
    runs: int,
    window: tuple[float, float],
    timing_uncertainty_s: float,
    by_hand: float,
) -> tuple[str, str]:
    """Return the case, which names the sentences, and the next action.

    by_hand is half the width, s, that the interval would have if the runs did not spread at all.
    """
    if runs == 1:
        return "one-run", "time-again"
    if _runs_disagree(measured["sd_s"], runs, timing_uncertainty_s):
        return "spread", "inspect"
    if rounded(by_hand) >= rounded((window[1] - window[0]) / 2):
        return "timing-too-wide", "inspect"
    if verdict != "undecided":
        actions = {"too-quick": "add-half-turn", "too-slow": "remove-half-turn", "in-window": "leave"}
        return verdict, actions[verdict]
    mean = measured["mean_s"]
    at_best = _verdict(rounded(mean - by_hand), rounded(mean + by_hand), window)
    if runs < ENOUGH_RUNS and at_best != "undecided":
        return "undecided", "time-again"
    return _decide_at_the_edge(mean, measured["probability_in_window"], window)


def _decide_at_the_edge(mean: float, probability: float, window: tuple[float, float]) -> tuple[str, str]:
    """Leave what is more likely in than out; else one half turn toward the middle, unless it stands there."""
    middle = rounded((window[0] + window[1]) / 2)
    if probability >= 0.5:
        return "edge-leave", "leave"
    if mean == middle:
        return "middle", "leave"
    return ("edge-quick", "add-half-turn") if mean < middle else ("edge-slow", "remove-half-turn")


def _runs_disagree(sd_s: float, runs: int, timing_uncertainty_s: float) -> bool:
    chi_square = (runs - 1) * (sd_s / timing_uncertainty_s) ** 2
    return rounded(chi_square) > rounded(chi_square_quantile(SPREAD_CONFIDENCE, runs - 1))


def _values(
    measured: dict[str, Any],
    runs: int,
    window: tuple[float, float],
    timing_uncertainty_s: float,
    confidence: float,
) -> dict[str, object]:
    """Gather what the sentences may name; sd_s only where there is one."""
    names = ("mean_s", "sd_s", "low_s", "high_s")
    named = {name: measured[name] for name in names if measured[name] is not None}
    return {
        **named,
        "runs": runs,
        "window_low_s": window[0],
        "window_high_s": window[1],
        "timing_uncertainty_s": timing_uncertainty_s,
        "confidence_percent": rounded(100 * confidence),
        "probability_percent": rounded(100 * measured["probability_in_window"]),
    }


def _reasons(case: str, action: str, verdict: str, runs: int) -> list[str]:
    """Name the reasons: what was measured, where it lies, why that is not enough, what next."""
    measured = "interval-one-run" if runs == 1 else "interval"
    why = [] if case == verdict else [f"case-{case}"]
    return [measured, f"verdict-{verdict}", *why, f"then-{action}"]

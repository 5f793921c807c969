"""Is the lip-assist spring to be turned half a turn now, which way, and how many more are likely?

The lip falls slowly against a damper, its speed follows the net moment, and that is linear in spring tension.
So the fold rate r = 1/t is taken as a straight line in the half turns n:

    r = a + b n

It is fitted by weighted least squares with sd(r) = u/t^2, or with the history's slope as a normal prior and a
flat intercept. The stated u counts as known with 8 degrees of freedom: variances are multiplied by
(8 + chi^2)/(8 + nu), with nu = max(0, m - 2) for m readings, or m - 1 with a prior, and intervals use Student
t with 8 + nu. A prediction adds one new timing and is carried over to t.

Limits: integrated over its arc, 1/t is concave in n, so the line promises too short a time far ahead, worst
near a lip that hangs. No time is given more than 3 half turns beyond the settings timed, nor above 1.5 times
the top of the window. A lip that stalls part of the way down can do so without warning in the times before. A
leveler whose fold gets quicker when its lip-assist spring is tightened has no place here.

Source: half-turn steps, and that tightening lengthens the fold: common practice, no source. The statistics:
textbook, from memory. The model: our own, held against an integral over the arc in tests/outside.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time import calculator as fold_time
from calculators.shared.fields import BadInput, Field, InputProblem, Output
from calculators.shared.half_turns import HALF_TURNS, LIMITS, decision_outputs, outside_limits
from calculators.shared.rate_line import RateLine, SlopePrior, fit_line
from calculators.turn_plan.case import Case
from calculators.turn_plan.predictions import foreseeable, predict
from calculators.turn_plan.rules import decide
from calculators.turn_plan.stops import STOPS

NAME = "turn-plan"
MOST_AT_ONE_SETTING = 10
PRIORS = ("prior_slope_per_s_per_half_turn", "prior_slope_sd_per_s_per_half_turn")
NO_TIMES_AFTER = ("spread", "wrong-way", "no-response")
"""Stops after which the line is not believed, so that it gives no times."""

INPUTS = (
    Field(
        name="readings",
        kind="rows",
        least=1,
        most=100,
        label="Timings so far",
        help="One row a timing, in the order made; the nut stands at the last row's setting.",
        fields=(
            HALF_TURNS,
            Field(
                name="fold_time_s",
                kind="number",
                unit="s",
                low=0.2,
                high=600,
                label="Fold time",
                help="As the terms define it, all from one visit, with one timer and a warm damper.",
            ),
        ),
    ),
    *(each for each in fold_time.INPUTS if each.name != "runs_s"),
    *LIMITS,
    Field(
        name="least_response_s",
        kind="number",
        unit="s",
        low=0,
        low_open=True,
        high=60,
        figure="least-response",
        label="Least response",
        help="Less than this over all the turns made counts as no response.",
    ),
    Field(
        name=PRIORS[0],
        kind="number",
        unit="1/s per half turn",
        low=-1,
        high=0,
        may_be_null=True,
        optional=True,
        label="Slope from history",
        help="Change of 1/t for one half turn on this leveler before; below 0.",
    ),
    Field(
        name=PRIORS[1],
        kind="number",
        unit="1/s per half turn",
        low=1e-6,
        high=1,
        may_be_null=True,
        optional=True,
        label="Its standard deviation",
        help="How much that slope has varied from visit to visit.",
    ),
)

OUTPUTS = (
    *decision_outputs(STOPS),
    Output(
        name="rate_intercept",
        kind="number",
        unit="1/s",
        may_be_null=True,
        label="Fold rate as found",
        help="The line's 1/t at half turn 0; empty while no slope is known.",
    ),
    Output(
        name="rate_slope",
        kind="number",
        unit="1/s per half turn",
        may_be_null=True,
        label="Slope of the line",
        help="Change of 1/t for one half turn; below 0 where tightening slows the fold.",
    ),
    Output(
        name="slope_sd",
        kind="number",
        unit="1/s per half turn",
        may_be_null=True,
        label="Its standard deviation",
        help="Scaled by the misfit.",
    ),
    Output(
        name="residual_sd",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Scatter about the line",
        help="Standard deviation of one timing about the line; empty without spare readings.",
    ),
    Output(
        name="predictions",
        kind="rows",
        label="What one new timing would show",
        help="Settings within the limits, at most 3 half turns beyond those timed.",
        fields=(
            Output(
                name="half_turns",
                kind="whole",
                unit="half turn",
                label="Half turns from as found",
                help="The setting.",
            ),
            Output(name="fold_time_s", kind="number", unit="s", label="Fold time", help="Expected."),
            Output(name="low_s", kind="number", unit="s", label="From", help="Lower end of its interval."),
            Output(
                name="high_s",
                kind="number",
                unit="s",
                may_be_null=True,
                label="To",
                help="Upper end; empty where the lip might not fold at all.",
            ),
            Output(
                name="probability_in_window",
                kind="number",
                unit="1",
                label="Chance in the window",
                help="Probability that a new timing lies in the window.",
            ),
        ),
    ),
    Output(
        name="half_turns_to_go",
        kind="whole",
        unit="half turn",
        may_be_null=True,
        label="Half turns likely to go",
        help="To the setting likeliest in the window; empty where nobody can tell yet, or after a stop.",
    ),
)


def calculate(
    *,
    readings: Sequence[Mapping[str, Any]],
    window_low_s: float,
    window_high_s: float,
    timing_uncertainty_s: float,
    confidence: float,
    half_turns_min: int | None,
    half_turns_max: int | None,
    least_response_s: float,
    prior_slope_per_s_per_half_turn: float | None = None,
    prior_slope_sd_per_s_per_half_turn: float | None = None,
) -> dict[str, Any]:
    """Plan the next half turn of the lip-assist spring.

    Args:
        readings: 1 to 100 rows of half_turns (from as found, -100 to 100) and fold_time_s (0.2 to 600 s), at
            most 10 at one setting; the nut stands at the last row's.
        window_low_s: shortest fold time allowed, s; 0.2 to 600.
        window_high_s: longest fold time allowed, s; 0.2 to 600, above window_low_s.
        timing_uncertainty_s: standard uncertainty of one hand-timed run, s; 0.005 to 5.
        confidence: probability that the intervals are to hold, 1; 0.5 to 0.999.
        half_turns_min: loosest setting allowed, half turns; -100 to 0, None where not measured.
        half_turns_max: tightest setting allowed, half turns; 0 to 100, None where not measured.
        least_response_s: what counts as no response over all the turns made, s; above 0, to 60.
        prior_slope_per_s_per_half_turn: this leveler's slope before, 1/s per half turn; -1 to 0 or None.
        prior_slope_sd_per_s_per_half_turn: its standard deviation, the same unit; 0.000001 to 1 or None.

    Returns:
        Every name of OUTPUTS; rates in 1/s, slopes in 1/s per half turn, times in s. half_turns_to_go is None
        while the slope's interval holds 0 and after a stop, and 0 where the setting is left. residual_sd is
        timing_uncertainty_s sqrt(chi^2/nu), in s.

    Raises:
        BadInput: the window upside down, a reading outside the limits, more than 10 at one setting, half a
            prior. Ranges are read_inputs's work.

    Example:
        Worked by hand: 16 s as found and 17 s after one half turn make the line 1/t = 1/16 - n/272, so
        272/15 = 18.1333 s after the next.

        >>> timed = [(0, 16.0), (0, 16.0), (1, 17.0), (1, 17.0)]
        >>> answer = calculate(
        ...     readings=[{"half_turns": n, "fold_time_s": t} for n, t in timed],
        ...     window_low_s=18,
        ...     window_high_s=20,
        ...     timing_uncertainty_s=0.1,
        ...     confidence=0.95,
        ...     half_turns_min=-2,
        ...     half_turns_max=5,
        ...     least_response_s=0.3,
        ... )
        >>> answer["do_now"], answer["half_turns_to_go"], f"{answer['predictions'][4]['fold_time_s']:.4f}"
        (1, 2, '18.1333')
    """
    times_at: dict[int, list[float]] = {}
    for row in readings:
        times_at.setdefault(row["half_turns"], []).append(row["fold_time_s"])
    problems = _problems(
        readings,
        window_low_s,
        window_high_s,
        half_turns_min,
        half_turns_max,
        (prior_slope_per_s_per_half_turn, prior_slope_sd_per_s_per_half_turn),
    )
    if problems:
        raise BadInput(*problems)
    judge = {
        "window_low_s": window_low_s,
        "window_high_s": window_high_s,
        "timing_uncertainty_s": timing_uncertainty_s,
        "confidence": confidence,
    }
    today = line_through(readings, timing_uncertainty_s, None)
    prior = slope_prior(prior_slope_per_s_per_half_turn, prior_slope_sd_per_s_per_half_turn)
    line = line_through(readings, timing_uncertainty_s, prior) if prior else today
    case = Case(
        present=readings[-1]["half_turns"],
        folds={
            setting: fold_time.calculate(runs_s=tuple(times), **judge) for setting, times in times_at.items()
        },
        counts={setting: len(times) for setting, times in times_at.items()},
        line=line,
        today=today,
        predictions=predict(line, foreseeable(times_at, half_turns_min, half_turns_max), **judge),
        half_turns_min=half_turns_min,
        half_turns_max=half_turns_max,
        least_response_s=least_response_s,
        **judge,
    )
    return _answer(case)


def _answer(case: Case) -> dict[str, Any]:
    decision, line = decide(case), case.line
    scatter = line.scatter if line else None
    return {
        **decision.outputs(),
        "rate_intercept": line.intercept if line else None,
        "rate_slope": line.slope if line else None,
        "slope_sd": line.slope_sd if line else None,
        "residual_sd": None if scatter is None else case.timing_uncertainty_s * scatter,
        "predictions": () if decision.stop in NO_TIMES_AFTER else case.predictions,
        "half_turns_to_go": decision.to_go,
    }


def line_through(
    readings: Sequence[Mapping[str, Any]], timing_uncertainty_s: float, prior: SlopePrior | None
) -> RateLine | None:
    """Return the line through readings, s, with or without a history; None where no slope can be told."""
    settings = [row["half_turns"] for row in readings]
    rates = [1 / row["fold_time_s"] for row in readings]
    return fit_line(settings, rates, [timing_uncertainty_s * rate**2 for rate in rates], prior)


def slope_prior(mean: float | None, sd: float | None) -> SlopePrior | None:
    """Return the history's slope, 1/s per half turn; None where none is given."""
    return None if mean is None or sd is None else SlopePrior(mean=mean, sd=sd)


def _problems(
    readings: Sequence[Mapping[str, Any]],
    window_low_s: float,
    window_high_s: float,
    half_turns_min: int | None,
    half_turns_max: int | None,
    prior: tuple[float | None, float | None],
) -> list[InputProblem]:
    """Return what one input says against another."""
    settings = [row["half_turns"] for row in readings]
    problems = outside_limits(settings, "readings", half_turns_min, half_turns_max)
    problems += [
        InputProblem(
            "readings",
            count,
            "too-many-at-one-setting",
            {"half_turns": setting, "count": count, "most": MOST_AT_ONE_SETTING},
        )
        for setting, count in Counter(settings).items()
        if count > MOST_AT_ONE_SETTING
    ]
    if window_low_s >= window_high_s:
        problems.append(
            InputProblem("window_high_s", window_high_s, "window-upside-down", {"low": window_low_s})
        )
    if (prior[0] is None) != (prior[1] is None):
        problems.append(InputProblem(PRIORS[0 if prior[0] is None else 1], None, "prior-half-given"))
    return problems

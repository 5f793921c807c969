"""Is the lip-assist spring to be turned half a turn now, which way, and how many more are likely?

The lip falls slowly against a damper, its speed follows the net moment, and that is linear in spring tension.
So the fold rate r = 1/t is taken as a straight line in the half turns n:

    r = a + b n

It is fitted by weighted least squares with sd(r) = s/t^2, s the registered scatter of one run (hand and
leveler together), or with the history's slope as a normal prior and a flat intercept. How far runs scatter is
told by runs about the mean of their own setting: with their chi^2, nu = runs less settings, and nu0 degrees
behind s (8 at most), variances are multiplied by (nu0 + chi^2)/(nu0 + nu), and intervals use Student t with
nu0 + nu. A prediction adds one new timing, and what is common to all runs once, and is carried over to t.
Beyond the settings timed, l to h, it is wider on the slow side by the bend of 1/t, as a standard uncertainty:

    0.2 b^2/r (n - l)(n - h)

Settings that do not lie on one line are said not to; that is never called scatter. Every stop is taken from
today's timings alone and with the history, whichever is the more cautious; a history that today's timings
contradict at 99 % is dropped.

Where only timing_uncertainty_s is given it is s, known with 8 degrees, and nothing is added as common.

Limits: integrated over its arc, 1/t is concave in n, so the line promises too short a time far ahead, worst
near a lip that hangs, where what is allowed for the bend may not be enough. No time is given more than 3 half
turns beyond the settings timed, nor above 1.5 times the top of the window. Of a lip that stalls part of the
way down three settings in a row can show the steps growing, and then no further turn is asked for; fewer give
no warning. A leveler whose fold gets quicker when its lip-assist spring is tightened has no place here.

Source: half-turn steps, and that tightening lengthens the fold: common practice, no source. The statistics:
textbook, from memory. The model: our own, held against an integral over the arc in tests/outside, and tried
on simulated visits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time import calculator as fold_time
from calculators.fold_time.answers import QUESTION, Answers, read_answers
from calculators.fold_time.measured import Runs
from calculators.fold_time.rules import MOST_RUNS
from calculators.fold_time.slips import numbers_wait
from calculators.shared import timing as ways
from calculators.shared.fields import BadInput, Field, InputProblem, Output
from calculators.shared.half_turns import HALF_TURNS, LIMITS, decision_outputs, outside_limits
from calculators.shared.rate_line import RateLine, SlopePrior, fit_line
from calculators.shared.timing import Run, Timing, read_run, read_timing, timing_problems
from calculators.turn_plan.case import Case
from calculators.turn_plan.history import history_line, slope_prior
from calculators.turn_plan.predictions import foreseeable, predict
from calculators.turn_plan.rules import decide
from calculators.turn_plan.stops import STOPS

NAME = "turn-plan"
PRIORS = ("prior_slope_per_s_per_half_turn", "prior_slope_sd_per_s_per_half_turn")
AIMS = ("first-inside", "middle")
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
            ways.STARTED,
        ),
    ),
    *fold_time.JUDGING,
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
    *fold_time.REGISTERED,
    Field(
        name="aim",
        kind="choice",
        choices=AIMS,
        optional=True,
        given="aim",
        label="Leave at",
        help="The first setting inside the window, or on towards its middle.",
    ),
)

OUTPUTS = (
    *decision_outputs(STOPS),
    QUESTION,
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
        help="Scaled by the scatter seen.",
    ),
    Output(
        name="residual_sd",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Scatter of one timing",
        help="Standard deviation of timings at one setting; empty where none was timed twice.",
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
    timing: Sequence[Mapping[str, Any]] | None = None,
    stopped: str | None = None,
    repeatability: float | None = None,
    repeatability_df: float | None = None,
    inspect_limit: float | None = None,
    stick_s: float | None = None,
    free_drop_share: float | None = None,
    temperature_c: float | None = None,
    cold_below_c: float | None = None,
    hot_above_c: float | None = None,
    answers: Sequence[Mapping[str, Any]] | None = None,
    aim: str | None = None,
) -> dict[str, Any]:
    """Plan the next half turn of the lip-assist spring.

    Args:
        readings: 1 to 100 rows of half_turns (from as found, -100 to 100), fold_time_s (0.2 to 600 s) and
            started (countdown, helper or by-hand, or None for by-hand), at most 10 at one setting; the nut
            stands at the last row's.
        window_low_s: shortest fold time allowed, s; 0.2 to 600.
        window_high_s: longest fold time allowed, s; 0.2 to 600, above window_low_s.
        timing_uncertainty_s: standard uncertainty of one hand-timed run, s; 0.005 to 5. Used where timing is
            not given.
        confidence: probability that the intervals are to hold, 1; 0.5 to 0.999.
        half_turns_min: loosest setting allowed, half turns; -100 to 0, None where not measured.
        half_turns_max: tightest setting allowed, half turns; 0 to 100, None where not measured.
        least_response_s: what counts as no response over all the turns made, s; above 0, to 60.
        prior_slope_per_s_per_half_turn: this leveler's slope before, 1/s per half turn; -1 to 0 or None.
        prior_slope_sd_per_s_per_half_turn: its standard deviation, the same unit; 0.000001 to 1 or None.
        timing: 1 to 6 rows of way (countdown, helper, by-hand, sharp, no-longer-moves or output-delay),
            bias_s (s; -5 to 5), bias_uncertainty_s (s; 0.001 to 5) and scatter_s (s; 0.001 to 5), or None.
        stopped: how runs were stopped, sharp or no-longer-moves; needed with timing.
        repeatability: scatter of a sound lip's folds as a share of the fold time, 1; 0 to 0.2, or None.
        repeatability_df: degrees of freedom behind what is registered of scatter, 1; 1 to 8, None for 8.
        inspect_limit: share of the fold time above which scatter is a fault, 1; above 0, to 1, or None.
        stick_s: a run this far from its fellows is odd, s; above 0, to 60, or None.
        free_drop_share: below this share of window_low_s a lip drops freely, 1; 0 to 0.9, or None.
        temperature_c: of the damper, degrees C; -60 to 80, or None.
        cold_below_c: below this a slow fold is not turned for, degrees C; -60 to 80, or None.
        hot_above_c: above this a quick fold is not turned for, degrees C; -60 to 80, or None.
        answers: 0 to 40 rows of question (ten-fold, far-off, odd-run, odd-run-or-turn, turn or sign), field
            (0 to 60 characters: the place asked about) and answer (mistyped, as-read, mistimed, touched,
            do-not-know, turned, not-turned, other-way or as-entered), or None.
        aim: first-inside, or middle to go on towards the middle of the window; None for first-inside.

    Returns:
        Every name of OUTPUTS; rates in 1/s, slopes in 1/s per half turn, times in s. half_turns_to_go is None
        while the slope's interval holds 0 and after a stop, and 0 where the setting is left. residual_sd is
        s sqrt(chi^2/nu), in s. While the question ten-fold stands there is no line and no prediction.

    Raises:
        BadInput: the window upside down, a reading outside the limits, more than 10 at one setting, half a
            prior, runs and ways that do not fit. Ranges are read_inputs's work.

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
    return _answer(*as_asked(dict(locals())))


def as_asked(given: Mapping[str, Any]) -> tuple[Case, Runs]:
    """Return all that the rules look at, and the runs where the nut stands. Raises BadInput."""
    problems = _problems(given)
    if problems:
        raise BadInput(*problems)
    readings, timed, limits = given["readings"], read_timing(given), fold_time.read_limits(given)
    at = runs_at(readings, timed, read_answers(given.get("answers")))
    here = at[readings[-1]["half_turns"]]
    today, line, dropped = lines_through(given, timed, at)
    reach = foreseeable(at, given["half_turns_min"], given["half_turns_max"])
    case = Case(
        settings=[row["half_turns"] for row in readings],
        folds={setting: fold_time.judge(runs, limits) for setting, runs in at.items()},
        counts={setting: len(runs.runs) for setting, runs in at.items()},
        line=line,
        today=today,
        history_dropped=dropped,
        predictions=()
        if line and line.misses
        else predict(line, reach, limits=limits, timing=timed, runs=here.runs),
        limits=limits,
        timing=timed,
        answers=here.answers,
        half_turns_min=given["half_turns_min"],
        half_turns_max=given["half_turns_max"],
        least_response_s=given["least_response_s"],
        to_the_middle=given.get("aim") == "middle",
    )
    return case, here


def _answer(case: Case, here: Runs) -> dict[str, Any]:
    decision = decide(case)
    waits = numbers_wait(decision.question)
    line = None if waits else case.line
    scatter = line.scatter if line else None
    registered = 0.0 if waits else case.timing.scatter(here.runs, case.here["mean_s"])
    return {
        **decision.outputs(),
        "question": decision.question,
        "rate_intercept": line.intercept if line else None,
        "rate_slope": line.slope if line else None,
        "slope_sd": line.slope_sd if line else None,
        "residual_sd": None if scatter is None else registered * scatter,
        "predictions": () if waits or decision.stop in NO_TIMES_AFTER else case.predictions,
        "half_turns_to_go": decision.to_go,
    }


def runs_at(readings: Sequence[Mapping[str, Any]], timing: Timing, answers: Answers) -> dict[int, Runs]:
    """Return the runs at each setting, in the order made. Raises BadInput where runs and ways do not fit."""
    rows: dict[int, list[tuple[Run, str]]] = {}
    for i, row in enumerate(readings):
        rows.setdefault(row["half_turns"], []).append((read_run(row), f"readings[{i}].fold_time_s"))
    present, found = readings[-1]["half_turns"], {}
    for setting, pairs in rows.items():
        runs, places = [run for run, _ in pairs], [place for _, place in pairs]
        problems = timing_problems(timing, runs, places)
        if problems:
            raise BadInput(*problems)
        found[setting] = Runs(
            runs=runs, places=places, timing=timing, answers=answers, may_be_turned=setting == present
        )
    return found


def counting(at: Mapping[int, Runs]) -> list[bool]:
    """Tell of each reading, in the order made, whether it counts: an answer can take it out of the mean."""
    told = {place: i in runs.counting() for runs in at.values() for i, place in enumerate(runs.places)}
    return [told[f"readings[{i}].fold_time_s"] for i in range(len(told))]


def lines_through(
    given: Mapping[str, Any], timing: Timing, at: Mapping[int, Runs]
) -> tuple[RateLine | None, RateLine | None, bool]:
    """Return today's line, the one to predict from, and whether a history was dropped."""
    rows = [row for row, counts in zip(given["readings"], counting(at), strict=True) if counts]
    prior = slope_prior(*(given.get(name) for name in PRIORS))
    today = _line(rows, timing, None)
    line, dropped = history_line(today, _line(rows, timing, prior), prior)
    return today, line, dropped


def _line(rows: Sequence[Mapping[str, Any]], timing: Timing, prior: SlopePrior | None) -> RateLine | None:
    """Return the line through readings with or without a history; None where no slope can be told."""
    runs = [read_run(row) for row in rows]
    times = [timing.corrected(run) for run in runs]
    sds = [timing.scatter([run], time) / time**2 for run, time in zip(runs, times, strict=True)]
    return fit_line(
        [row["half_turns"] for row in rows],
        [1 / time for time in times],
        sds,
        prior,
        known_degrees=timing.weight,
    )


def _problems(given: Mapping[str, Any]) -> list[InputProblem]:
    """Return what one input says against another."""
    settings = [row["half_turns"] for row in given["readings"]]
    problems = outside_limits(settings, "readings", given["half_turns_min"], given["half_turns_max"])
    problems += [
        InputProblem(
            "readings",
            count,
            "too-many-at-one-setting",
            {"half_turns": setting, "count": count, "most": MOST_RUNS},
        )
        for setting, count in Counter(settings).items()
        if count > MOST_RUNS
    ]
    low, high = given["window_low_s"], given["window_high_s"]
    if low >= high:
        problems.append(InputProblem("window_high_s", high, "window-upside-down", {"low": low}))
    missing = [name for name in PRIORS if given.get(name) is None]
    if len(missing) == 1:
        problems.append(InputProblem(missing[0], None, "prior-half-given"))
    return problems

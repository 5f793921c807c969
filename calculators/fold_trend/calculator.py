"""Is the fold time drifting from visit to visit, when would it leave its window, and when is the next check?

Each fold time as found has the registered bias of its way of starting and stopping taken off. Through these,
t, against days, x, since the last adjustment, a least-squares line is laid:

    t = t0 + b (x - x0)            x0, t0  means of the n visits since then
    s^2 = sum (t - line)^2 / (n - 2)           Sxx = sum (x - x0)^2
    one new timing at x:  line(x) -/+ k sqrt(1 + 1/n + (x - x0)^2/Sxx)
    the line itself:      line(x) -/+ k sqrt(1/n + (x - x0)^2/Sxx)
    k = the greater of  s Student(n - 2)  and  (u/2) normal       for the confidence

It drifts where b's interval, b -/+ k/sqrt(Sxx), does not hold 0. It leaves the window on the day on which the
line reaches the limit ahead; the earliest and the latest are the days between which the line's interval holds
that limit. The next check is never later than the longest interval, nor than that earliest day. u is the
standard uncertainty of one hand-timed run: half of it is what chance leaves in a mean of four runs, so no
visits are believed to agree better.

A jump or a drift between visits whose temperatures differ by more than the registered distance, or of which
one is not known, is first asked about: temperature, height mark and timer.

Limits: the drift is taken as straight and visits as independent; season, dirt and a new damper are not told
apart, and no time is corrected for its temperature. What is left over of a bias is not in the intervals. A
jump is seen only after 4 visits of one run, and then only beyond what 999 in 1000 visits would show, by their
own scatter and by u alone. No date is given more than five years after the last visit. Says nothing about
why, and never orders a turn.

Source: regression and Fieller's interval as in any textbook, from memory; JCGM 100:2008 for the standard
uncertainty. That a lip drifts steadily: common practice, no source. The limits of 4 visits, 99.9 %, half of
u and five years: our own; how often the intervals hold is measured in tests/outside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time import calculator as fold_time
from calculators.fold_trend.answer import Trend, headline, reasons
from calculators.fold_trend.dates import Departure, departure, series
from calculators.fold_trend.line import TrendLine, fit_trend
from calculators.fold_trend.runs import ENOUGH_VISITS, Run
from calculators.fold_trend.visits import Visit, compared, in_runs, read_visits, temperatures, visit_problems
from calculators.shared import timing as ways
from calculators.shared.fields import BadInput, Field, InputProblem, Output
from calculators.shared.hazards import BEFORE_CYCLING
from calculators.shared.recurrence import date_after
from calculators.shared.timing import read_timing

NAME = "fold-trend"
STATES = ("steady", "drifting", "too-few", "jump")
SHARE_OF_TIMING = 0.5
"""The share of the hand-timing uncertainty that remains in a mean of four runs, if it is all by chance."""

INPUTS = (
    Field(
        name="visits",
        kind="rows",
        least=1,
        most=200,
        label="Visits",
        help="One row a visit, the oldest first.",
        fields=(
            Field(name="date", kind="date", label="Date", help="The day of the visit."),
            Field(
                name="fold_time_s",
                kind="number",
                unit="s",
                low=0.2,
                high=600,
                label="Fold time as found",
                help="As the terms define it, before anything was adjusted.",
            ),
            Field(
                name="adjusted_half_turns",
                kind="whole",
                unit="half turn",
                low=-100,
                high=100,
                label="Half turns made after it",
                help="All that the lip-assist spring got at that visit; 0 where it was left.",
            ),
            Field(
                name="temperature_c",
                kind="number",
                unit="\u00b0C",
                low=-60,
                high=80,
                optional=True,
                label="Damper temperature",
                help="Of the damper's body, or after an hour there the air at it.",
            ),
            ways.STARTED,
            ways.STOPPED,
        ),
    ),
    *fold_time.JUDGING,
    Field(
        name="longest_interval_months",
        kind="whole",
        unit="months",
        low=1,
        high=24,
        figure="quarterly-service-interval",
        label="Longest time between checks",
        help="From the owner's manual or the service plan.",
    ),
    ways.TIMING,
    ways.STOPPED,
    Field(
        name="comparison_distance_c",
        kind="number",
        unit="\u00b0C",
        low=0,
        high=80,
        optional=True,
        given="comparison-temperature",
        label="Most difference in temperature",
        help="Visits further apart are asked about before they are compared.",
    ),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(
        name="state",
        kind="choice",
        choices=STATES,
        label="State",
        help="What the visits since the last adjustment show.",
    ),
    Output(
        name="before_turning",
        kind="hazards",
        label="Before anyone is at the springs",
        help="Always empty: a trend orders no turn.",
    ),
    Output(
        name="before_cycling",
        kind="hazards",
        label="Before the leveler moves",
        help="Hazards to deal with before a timing; empty where none is asked for now.",
    ),
    Output(
        name="next_check_by",
        kind="date",
        label="Next check by",
        help="The day of the last visit where it should be judged now.",
    ),
    Output(
        name="leaves_window_on",
        kind="date",
        may_be_null=True,
        label="Leaves the window about",
        help="The day on which the line reaches the limit ahead; none where the visits cannot say.",
    ),
    Output(
        name="earliest",
        kind="date",
        may_be_null=True,
        label="At the earliest",
        help="From this day on the lip may be outside; none where that is not to be foreseen.",
    ),
    Output(
        name="latest",
        kind="date",
        may_be_null=True,
        label="At the latest",
        help="From this day on the lip is outside, if it goes on so; none where the visits cannot say.",
    ),
    Output(
        name="slope_s_per_30_days",
        kind="number",
        unit="s per 30 days",
        may_be_null=True,
        label="Drift",
        help="Above 0 where the fold gets slower; none without enough visits.",
    ),
    Output(
        name="slope_sd",
        kind="number",
        unit="s per 30 days",
        may_be_null=True,
        label="Its standard deviation",
        help="Of the drift; none without enough visits.",
    ),
    Output(
        name="residual_sd",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Scatter about the line",
        help="How far one visit lies from the line, as one standard deviation.",
    ),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
    Output(
        name="series",
        kind="rows",
        label="Visits and line",
        help="Every visit, then the days ahead; the line only for the visits that it is laid through.",
        fields=(
            Output(name="date", kind="date", label="Date", help="The day."),
            Output(
                name="run",
                kind="whole",
                unit="1",
                label="Run of visits",
                help="Counted from 1; an adjustment or a jump starts a new one.",
            ),
            Output(
                name="fold_time_s",
                kind="number",
                unit="s",
                may_be_null=True,
                label="Fold time as found",
                help="With the bias of its way of timing taken off; none for a day ahead.",
            ),
            Output(
                name="line_s",
                kind="number",
                unit="s",
                may_be_null=True,
                label="Line",
                help="None where there is no line, and where it would reach 0.",
            ),
            Output(
                name="low_s",
                kind="number",
                unit="s",
                may_be_null=True,
                label="From",
                help="Lower end of the interval for one timing; none where it would reach 0.",
            ),
            Output(
                name="high_s",
                kind="number",
                unit="s",
                may_be_null=True,
                label="To",
                help="Upper end of the interval for one timing.",
            ),
        ),
    ),
)


def calculate(
    *,
    visits: Sequence[Mapping[str, Any]],
    window_low_s: float,
    window_high_s: float,
    timing_uncertainty_s: float,
    confidence: float,
    longest_interval_months: int,
    timing: Sequence[Mapping[str, Any]] | None = None,
    stopped: str | None = None,
    comparison_distance_c: float | None = None,
) -> dict[str, Any]:
    """Return the drift from visit to visit, and when to check next.

    Args:
        visits: 1 to 200 rows of date (each after the one before), fold_time_s as found (0.2 to 600 s),
            adjusted_half_turns made after it (-100 to 100), temperature_c (degrees C; -60 to 80, or None),
            started (countdown, helper or by-hand, None for by-hand) and stopped (sharp or no-longer-moves,
            None for that of all).
        window_low_s: shortest fold time allowed, s; 0.2 to 600.
        window_high_s: longest fold time allowed, s; 0.2 to 600, above window_low_s.
        timing_uncertainty_s: standard uncertainty of one hand-timed run, s; 0.005 to 5.
        confidence: probability that the intervals are to hold, 1; 0.5 to 0.999.
        longest_interval_months: longest time between checks, months; 1 to 24.
        timing: 1 to 6 rows of way (countdown, helper, by-hand, sharp, no-longer-moves or output-delay),
            bias_s (s; -5 to 5), bias_uncertainty_s (s; 0.001 to 5) and scatter_s (s; 0.001 to 5), or None:
            then nothing is taken off.
        stopped: how visits were stopped that do not say it, sharp or no-longer-moves; needed with timing.
        comparison_distance_c: up to this difference in temperature visits are compared, degrees C; 0 to 80,
            or None: then every jump and drift is asked about.

    Returns:
        Every name of OUTPUTS: dates as text, year-month-day; slopes in s per 30 days, where slope -/+ Student
        (n - 2) times slope_sd is the slope's interval; times in s; None where the visits cannot say, and a
        reason says why.

    Raises:
        BadInput: the window upside down; a visit that is not after the one before; visits and ways that do
            not fit. Ranges are read_inputs's work.

    Example:
        By hand: 19, 19.1, 19.1, 19.2 s at days 0, 60, 120, 180 have Sxx = 18 000, so b = 18/18 000 = 0.001 s
        a day, 0.03 s in 30 days; the line is 19.1 s at day 90, so it reaches 20 s at day 990. Residuals
        -0.01, 0.03, -0.03, 0.01 give s^2 = 0.002/2 and sd(b) = sqrt(0.001/18 000), 0.00707 s in 30 days.

        >>> from datetime import date
        >>> days = [date(2026, 1, 1), date(2026, 3, 2), date(2026, 5, 1), date(2026, 6, 30)]
        >>> answer = calculate(
        ...     visits=[
        ...         {"date": day, "fold_time_s": t, "adjusted_half_turns": 0}
        ...         for day, t in zip(days, [19.0, 19.1, 19.1, 19.2])
        ...     ],
        ...     window_low_s=18,
        ...     window_high_s=20,
        ...     timing_uncertainty_s=0.05,
        ...     confidence=0.9,
        ...     longest_interval_months=3,
        ... )
        >>> f"{answer['slope_s_per_30_days']:.6f}", f"{answer['slope_sd']:.5f}", answer["state"]
        ('0.030000', '0.00707', 'drifting')
        >>> answer["leaves_window_on"], answer["next_check_by"]
        ('2028-09-17', '2026-09-30')
    """
    found = read_visits(visits, read_timing(dict(locals())))
    _check(found, window_low_s, window_high_s)
    window = (float(window_low_s), float(window_high_s))
    dates = [visit.date for visit in found]
    days = [(day - dates[0]).days for day in dates]
    times = [visit.time_s for visit in found]
    least_sd = SHARE_OF_TIMING * timing_uncertainty_s
    runs = in_runs(found, timing_uncertainty_s)
    run = runs[-1]
    line = _line(days, times, run, least_sd, confidence)
    leaves = departure(line, window, days[-1]) if line else Departure()
    interval_ends = (date_after(dates[-1], longest_interval_months, "month") - dates[0]).days
    state = _state(run, line)
    alike = compared(found, runs, after_jump=state == "jump")
    trend = Trend(
        state=state,
        run=run,
        line=line,
        leaves=leaves,
        window=window,
        visits=found,
        compared=alike,
        temperatures=temperatures(alike, comparison_distance_c),
        interval_ends=interval_ends,
        confidence=confidence,
    )
    return _answer(trend, runs, days)


def _check(visits: Sequence[Visit], window_low_s: float, window_high_s: float) -> None:
    problems = [
        InputProblem(
            f"visits[{i}].date",
            visits[i].date.isoformat(),
            "visit-out-of-order",
            {"before": visits[i - 1].date.isoformat()},
        )
        for i in range(1, len(visits))
        if visits[i].date <= visits[i - 1].date
    ]
    problems += visit_problems(visits)
    if window_low_s >= window_high_s:
        low = {"low": float(window_low_s)}
        problems.append(InputProblem("window_high_s", window_high_s, "window-upside-down", low))
    if problems:
        raise BadInput(*problems)


def _line(
    days: Sequence[int], times: Sequence[float], run: Run, least_sd: float, confidence: float
) -> TrendLine | None:
    """Return the line through the last run, or None with too few visits."""
    if run.count < ENOUGH_VISITS:
        return None
    of_run = slice(run.start, run.stop)
    return fit_trend(days[of_run], times[of_run], least_sd=least_sd, confidence=confidence)


def _state(run: Run, line: TrendLine | None) -> str:
    if line is None:
        return "jump" if run.began == "jump" else "too-few"
    return "drifting" if line.drifts else "steady"


def _answer(trend: Trend, runs: Sequence[Run], days: Sequence[int]) -> dict[str, Any]:
    line, leaves = trend.line, trend.leaves
    to_time_now = trend.judge_now and (trend.state != "jump" or trend.asks_first)
    return {
        "headline": headline(trend),
        "state": trend.state,
        "before_turning": (),
        "before_cycling": BEFORE_CYCLING if to_time_now else (),
        "next_check_by": trend.on(trend.next_check),
        "leaves_window_on": trend.on(leaves.expected),
        "earliest": trend.on(leaves.earliest),
        "latest": trend.on(leaves.latest),
        "slope_s_per_30_days": 30 * line.slope if line else None,
        "slope_sd": 30 * line.slope_sd if line else None,
        "residual_sd": line.residual_sd if line else None,
        "reasons": reasons(trend),
        "series": series(trend.dates, days, trend.times, runs, line, trend.plot_ends),
    }

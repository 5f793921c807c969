"""Does the lip fold in the right time, and which way should its spring go? From stopwatch runs and a window.

Each run has the registered bias of its way of starting and stopping taken off. With the mean m and standard
deviation s of n runs, c what is common to all runs (the uncertainty of those biases, not divided by n), and
what is registered of the scatter of one run, s0, counting for nu0 degrees of freedom:

    sp^2 = (nu0 s0^2 + (n - 1) s^2) / (nu0 + n - 1)      s0^2 = hand^2 + (repeatability x m)^2
    u^2  = sp^2/n + c^2
    nu   = u^4 / ((sp^2/n)^2 / (nu0 + n - 1))             Welch-Satterthwaite, c known exactly
    low, high = m -/+ k u                                 k: Student t quantile for the confidence and nu

Where only timing_uncertainty_s is given it is c, and the runs alone tell of scatter: nu0 = 0. The verdict is
decided only where this whole interval lies beyond one limit of the window, or inside it. Runs that scatter
more than sqrt(hand^2 + (inspect_limit x m)^2), two more runs later too, are no matter of setting.

Limits: takes the runs as independent but for c, and the damper as warm unless a temperature is given. Gives a
direction, never an order to turn: that comes from turn-plan, which knows what adjustment is left.

Source: JCGM 100:2008, 4.3, 5.1.2 and G.4, for uncertainty and degrees of freedom. ILAC-G8:09/2019 and JCGM
106:2012 for deciding with uncertainty; three results in place of two are our own. That tightening the
lip-assist spring lengthens the fold, and half a turn between timings: common practice, no source. The rules
for slips, scatter, temperature and the edge of the window: our own, tried on simulated visits.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time.answers import ANSWERS, QUESTION, read_answers
from calculators.fold_time.measured import Limits, Measured, Runs, measure
from calculators.fold_time.rules import MOST_RUNS, decide, reasons, scatter_allowed, verdict_of
from calculators.fold_time.slips import numbers_wait, slip
from calculators.shared import timing as ways
from calculators.shared.fields import BadInput, Field, InputProblem, Output, rounded
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators.shared.statistics import chi_square_quantile, median
from calculators.shared.timing import read_run, read_timing, timing_problems

NAME = "fold-time"
VERDICTS = ("too-quick", "in-window", "too-slow", "undecided")
ACTIONS = ("add-half-turn", "remove-half-turn", "leave", "time-again", "inspect", "answer-question")
UNUSUAL = 0.999
"""Where no limit is registered, runs that hand timing alone would spread so far once in 1000 are named."""

RUNS = Field(
    name="runs_s",
    kind="numbers",
    unit="s",
    low=0.2,
    high=600,
    least=1,
    most=MOST_RUNS,
    label="Stopwatch runs",
    help="Every timed fold of this visit: one timer, warm damper.",
    fields=(ways.SECONDS, ways.STARTED),
)
JUDGING = (
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
"""What every calculator of fold times is given."""
REGISTERED = (
    *ways.INPUTS,
    Field(
        name="inspect_limit",
        kind="number",
        unit="1",
        low=0,
        low_open=True,
        high=1,
        optional=True,
        given="scatter-limit",
        label="Scatter that is a fault",
        help="Above this share of the fold time the lip is inspected, not adjusted.",
    ),
    Field(
        name="stick_s",
        kind="number",
        unit="s",
        low=0,
        low_open=True,
        high=60,
        optional=True,
        given="odd-run",
        label="One odd run",
        help="A run this far from its fellows is asked about.",
    ),
    Field(
        name="free_drop_share",
        kind="number",
        unit="1",
        low=0,
        high=0.9,
        optional=True,
        given="free-drop-share",
        label="A lip that drops freely",
        help="A fold below this share of the shortest time allowed is no matter of setting.",
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
    Field(
        name="cold_below_c",
        kind="number",
        unit="\u00b0C",
        low=-60,
        high=80,
        optional=True,
        given="damper-cold-limit",
        label="Cold below",
        help="Below this a slow fold is not turned for.",
    ),
    Field(
        name="hot_above_c",
        kind="number",
        unit="\u00b0C",
        low=-60,
        high=80,
        optional=True,
        given="damper-warm-limit",
        label="Hot above",
        help="Above this a quick fold is not turned for.",
    ),
    ANSWERS,
)
"""What the page fills in from the registers, and what was answered to questions."""

INPUTS = (RUNS, *JUDGING, *REGISTERED)

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
    Output(name="mean_s", kind="number", unit="s", may_be_null=True, label="Mean", help="Mean of the runs."),
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
        may_be_null=True,
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
        may_be_null=True,
        label="Coverage factor",
        help="Standard uncertainties on either side of the mean.",
    ),
    Output(
        name="low_s",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Fold time from",
        help="Lower end of the interval.",
    ),
    Output(
        name="high_s",
        kind="number",
        unit="s",
        may_be_null=True,
        label="Fold time to",
        help="Upper end of the interval.",
    ),
    Output(
        name="probability_in_window",
        kind="number",
        unit="1",
        may_be_null=True,
        label="Probability in the window",
        help="How likely the fold time is to be in the window.",
    ),
    QUESTION,
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
)


def calculate(
    *,
    runs_s: Sequence[float | Mapping[str, Any]],
    window_low_s: float,
    window_high_s: float,
    timing_uncertainty_s: float,
    confidence: float,
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
) -> dict[str, Any]:
    """Judge the fold time and name the next step.

    Args:
        runs_s: stopwatch runs, 1 to 10 of them: seconds, 0.2 to 600, or rows of fold_time_s (s; 0.2 to 600)
            and started (countdown, helper or by-hand). A bare number was started by hand.
        window_low_s: shortest fold time allowed, s; 0.2 to 600.
        window_high_s: longest fold time allowed, s; 0.2 to 600, above window_low_s.
        timing_uncertainty_s: standard uncertainty of one hand-timed run, s; 0.005 to 5. Used where timing is
            not given.
        confidence: probability that the interval is to hold, 1; 0.5 to 0.999.
        timing: 1 to 6 rows of way (countdown, helper, by-hand, sharp, no-longer-moves or output-delay),
            bias_s (s; -5 to 5, above 0 where it makes runs read long), bias_uncertainty_s (s; 0.001 to 5) and
            scatter_s (s; 0.001 to 5), or None.
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

    Returns:
        Every name of OUTPUTS: times in s; sd_s is None for one run, degrees_of_freedom None where infinite,
        all of them None while the question ten-fold stands; headline and reasons as {"code", "values"};
        question None or {"code", "values", "choices", "field"}.

    Raises:
        BadInput: the window is upside down, or runs and ways do not fit. Ranges are held by read_inputs.

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
    return judge(*as_asked(dict(locals())))


def as_asked(given: Mapping[str, Any]) -> tuple[Runs, Limits]:
    """Return the runs and what they are held against, from the inputs by name. Raises BadInput."""
    check_window(given["window_low_s"], given["window_high_s"])
    timed = read_timing(given)
    runs = Runs(
        runs=[read_run(each) for each in given["runs_s"]],
        timing=timed,
        answers=read_answers(given.get("answers")),
        places=[f"runs_s[{i}]" for i in range(len(given["runs_s"]))],
    )
    problems = timing_problems(timed, runs.runs, runs.places)
    if problems:
        raise BadInput(*problems)
    return runs, read_limits(given)


def read_limits(given: Mapping[str, Any]) -> Limits:
    """Return what runs are held against, from the inputs by name."""
    temperature = given.get("temperature_c")
    return Limits(
        window=(float(given["window_low_s"]), float(given["window_high_s"])),
        confidence=given["confidence"],
        inspect_limit=given.get("inspect_limit"),
        stick_s=given.get("stick_s"),
        free_drop_share=given.get("free_drop_share"),
        cold=_is_beyond(temperature, given.get("cold_below_c"), -1),
        hot=_is_beyond(temperature, given.get("hot_above_c"), 1),
    )


def judge(runs: Runs, limits: Limits) -> dict[str, Any]:
    """Judge the runs at one setting: every name of OUTPUTS."""
    asked = slip(
        runs.times,
        runs.places,
        limits.window,
        runs.answers,
        free_drop_s=limits.free_drop_s,
        odd_s=limits.stick_s,
        may_be_turned=runs.may_be_turned,
        shown=runs.shown,
        allowed_s=None if limits.inspect_limit is None else scatter_allowed(runs, limits, median(runs.times)),
    )
    found = measure([runs.runs[i] for i in runs.counting()], runs.timing, limits)
    if numbers_wait(asked):
        return _waiting(asked, found)
    verdict = verdict_of(found.low_s, found.high_s, limits.window)
    case, action = decide(found, runs, limits, asked)
    values = _values(found, runs, limits)
    turn = action in ("add-half-turn", "remove-half-turn")
    told = [*reasons(case, action, verdict, runs.runs), *_remarks(found, runs, limits)]
    asking = asked and {"code": asked["code"], "values": asked["values"]}
    return {
        "headline": asking or {"code": f"fold-time.headline.{case}", "values": values},
        "next_action": action,
        "before_turning": BEFORE_TURNING if turn else (),
        "before_cycling": () if action in ("inspect", "answer-question") else BEFORE_CYCLING,
        "verdict": verdict,
        **found.outputs(),
        "question": asked,
        "reasons": [{"code": f"fold-time.reason.{code}", "values": values} for code in told],
    }


def _waiting(asked: Mapping[str, Any] | None, found: Measured) -> dict[str, Any]:
    """Ask, and give no number: mean, interval and probability would have the slip in them."""
    told = ("numbers-wait", "then-answer-question")
    return {
        "headline": asked and {"code": asked["code"], "values": asked["values"]},
        "next_action": "answer-question",
        "before_turning": (),
        "before_cycling": (),
        "verdict": "undecided",
        **dict.fromkeys(found.outputs()),
        "question": asked,
        "reasons": [{"code": f"fold-time.reason.{code}", "values": {}} for code in told],
    }


def check_window(low_s: float, high_s: float) -> None:
    """Raise BadInput unless the window's low limit, s, lies below its high limit, s."""
    if not low_s < high_s:
        raise BadInput(InputProblem("window_high_s", high_s, "window-upside-down", {"low": float(low_s)}))


def _is_beyond(temperature_c: float | None, limit_c: float | None, way: int) -> bool:
    """True where a temperature lies below (way -1) or above (way +1) a registered limit."""
    return temperature_c is not None and limit_c is not None and way * (temperature_c - limit_c) > 0


def _remarks(found: Measured, runs: Runs, limits: Limits) -> list[str]:
    """Say what the answer leaves open: ways mixed, a run left out, a scatter without a registered limit."""
    said = ["ways-mixed"] if len({run.started for run in runs.runs}) > 1 and runs.timing.ways else []
    if found.count < len(runs.runs):
        said.append("run-left-out")
    if limits.inspect_limit is None and found.sd_s is not None:
        chi_square = (found.count - 1) * (found.sd_s / runs.timing.timing_uncertainty_s) ** 2
        if rounded(chi_square) > rounded(chi_square_quantile(UNUSUAL, found.count - 1)):
            said.append("spread-not-judged")
    return said


def _values(found: Measured, runs: Runs, limits: Limits) -> dict[str, object]:
    """Gather what the sentences may name; sd_s only where there is one."""
    names = ("mean_s", "sd_s", "low_s", "high_s", "common_s", "scatter_s")
    named = {name: getattr(found, name) for name in names if getattr(found, name) is not None}
    return {
        **named,
        "runs": found.count,
        "all_runs": len(runs.runs),
        "window_low_s": limits.window[0],
        "window_high_s": limits.window[1],
        "timing_uncertainty_s": runs.timing.timing_uncertainty_s,
        "allowed_s": scatter_allowed(runs, limits, found.mean_s),
        "confidence_percent": rounded(100 * limits.confidence),
        "probability_percent": rounded(100 * found.probability_in_window),
    }

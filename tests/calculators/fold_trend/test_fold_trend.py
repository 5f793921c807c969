"""fold-trend: its cases from outside, and what holds for any visits."""

from __future__ import annotations

import doctest
import json
import math
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.fold_trend import calculator as fold_trend
from calculators.fold_trend.dates import FARTHEST_DAYS
from calculators.fold_trend.line import _roots, fit_trend
from calculators.fold_trend.runs import Run, split_runs
from calculators.shared.recurrence import date_after
from tests.calculators.asking import PROJECT, WORDS, answered_or_named, ask
from tests.calculators.drawn_inputs import UNHURRIED, unhurried

CASES = json.loads((PROJECT / "tests/cases/fold-trend.json").read_text(encoding="utf-8"))
ASKED = {
    "window_low_s": 18.0,
    "window_high_s": 20.0,
    "timing_uncertainty_s": 0.1,
    "confidence": 0.95,
    "longest_interval_months": 3,
}


def visits(times: list[float], *, every: int = 60, start: str = "2025-01-10", **adjusted: int) -> Any:
    """Visits some days apart; after_2=1 makes a half turn after the third."""
    first = date.fromisoformat(start)
    return [
        {
            "date": (first + timedelta(days=every * i)).isoformat(),
            "fold_time_s": time,
            "adjusted_half_turns": adjusted.get(f"after_{i}", 0),
        }
        for i, time in enumerate(times)
    ]


def trend(
    times: list[float], *, every: int = 60, start: str = "2025-01-10", **changed: Any
) -> dict[str, Any]:
    """The answer for visits without adjustments."""
    return ask("fold-trend", {"visits": visits(times, every=every, start=start), **ASKED, **changed})


def test_every_sentence_is_said_by_a_case() -> None:
    """No sentence of fold-trend is left over, and the cases reach every one."""
    answers = [ask("fold-trend", case["input"]) for case in CASES]
    said = {
        each["code"]
        for answer in answers
        if "errors" not in answer
        for each in (answer["headline"], *answer["reasons"])
    }
    assert said == {code for code in WORDS if code.startswith(("fold-trend.headline.", "fold-trend.reason."))}


def test_docstring_example() -> None:
    """The example of the docstring, worked by hand, is what the calculator gives."""
    assert doctest.testmod(fold_trend).failed == 0
    assert doctest.testmod(fold_trend).attempted > 0


def test_every_output_is_declared_and_given() -> None:
    """Answer and declaration name the same outputs, rows included."""
    answer = trend([18.4, 18.5, 18.7, 18.75, 19.0, 19.1])
    assert set(answer) == {output.name for output in fold_trend.OUTPUTS}
    columns = next(output for output in fold_trend.OUTPUTS if output.name == "series").fields
    assert list(answer["series"][0]) == [column.name for column in columns]


def test_no_adjusting_is_ever_ordered() -> None:
    """Whatever the visits show, nobody is sent to the springs, and an outside fold is timed, not turned."""
    answers = [ask("fold-trend", case["input"]) for case in CASES]
    answers = [answer for answer in answers if "errors" not in answer]
    assert {tuple(answer["before_turning"]) for answer in answers} == {()}
    told = " ".join(answer["headline"]["text"].lower() for answer in answers)
    assert [word for word in ("tighten", "loosen", "half turn") if word in told] == []


def test_what_changed_at_a_stroke_stays_out_of_service() -> None:
    """A jump says: do not adjust, keep the leveler out of service, call; even inside the window."""
    answer = trend([19.0, 19.05, 19.0, 18.95, 19.0, 19.9])
    assert answer["state"] == "jump"
    told = answer["headline"]["text"]
    assert [word for word in ("do not adjust", "out of service", "call") if word not in told] == []


def test_adjusted_data_are_another_run() -> None:
    """What was measured before an adjustment changes nothing in what is said of the drift after it."""
    after = [18.5, 18.7, 18.75, 19.0]
    one = ask("fold-trend", {"visits": visits([17.0, 17.1, *after], after_1=3), **ASKED})
    other = ask("fold-trend", {"visits": visits([25.0, 22.0, *after], after_1=-3), **ASKED})
    names = (
        "state",
        "slope_s_per_30_days",
        "slope_sd",
        "leaves_window_on",
        "earliest",
        "latest",
        "next_check_by",
    )
    assert [one[name] for name in names] == [other[name] for name in names]
    assert one["slope_s_per_30_days"] is not None


def test_each_adjustment_and_jump_starts_a_run() -> None:
    """Runs begin with the first visit, after an adjustment, and with a jump; the last may be empty."""
    times = [19.0, 19.1, 18.5, 18.5, 18.6, 18.5, 18.5, 21.0, 21.1]
    runs = split_runs(range(0, 270, 30), times, [0, 2, 0, 0, 0, 0, 0, 0, 1], timing_uncertainty=0.1)
    assert runs == (
        Run(start=0, stop=2, began="first"),
        Run(start=2, stop=7, began="adjustment"),
        Run(start=7, stop=9, began="jump"),
        Run(start=9, stop=9, began="adjustment"),
    )


def test_a_jump_needs_four_visits_before_it() -> None:
    """With three visits before it nothing is told from scatter; with four, what no hand timing explains."""
    assert trend([19.0, 19.0, 19.0, 19.9])["state"] != "jump"
    assert trend([19.0, 19.0, 19.0, 19.0, 19.9])["state"] == "jump"
    assert trend([19.0, 19.0, 19.0, 19.0, 19.35])["state"] != "jump"


def test_hand_timing_keeps_the_interval_open() -> None:
    """Visits that agree better than a hand can time are believed as far as half the hand-timing goes."""
    line = fit_trend([0, 30, 60, 90], [19.0, 19.0, 19.0, 19.0], least_sd=0.05, confidence=0.95)
    low, high = line.interval(45, readings=math.inf)
    assert (line.residual_sd, (low + high) / 2) == (0, 19)
    assert (high - low) / 2 == pytest.approx(1.959963984540 * 0.05 / 2, rel=1e-9)


def test_a_line_needs_scatter_to_be_measured() -> None:
    """Two visits lie on any line, so no line is laid through them."""
    with pytest.raises(ValueError, match=r"^a line with its scatter needs three days, not all the same$"):
        fit_trend([0, 30], [19.0, 19.1], least_sd=0.05, confidence=0.95)


TIMES = st.lists(st.floats(17, 21).map(lambda time: round(time, 2)), min_size=1, max_size=9)


@given(times=TIMES, months=st.integers(1, 24), every=st.integers(1, 200))
@UNHURRIED
def test_next_check_is_never_later_than_the_interval(times: list[float], months: int, every: int) -> None:
    """The next check is from the last visit to the end of the longest interval, never after earliest."""
    answer = trend(times, every=every, longest_interval_months=months)
    last = date.fromisoformat(answer["series"][len(times) - 1]["date"])
    check = date.fromisoformat(answer["next_check_by"])
    assert last <= check <= date_after(last, months, "month")
    assert answer["earliest"] is None or answer["next_check_by"] <= answer["earliest"]


@given(times=TIMES, every=st.integers(1, 200))
@UNHURRIED
def test_dates_stand_in_order_and_within_foresight(times: list[float], every: int) -> None:
    """earliest, leaves_window_on and latest follow each other, from the last visit to five years after it."""
    answer = trend(times, every=every)
    last = date.fromisoformat(answer["series"][len(times) - 1]["date"])
    dates = [last.isoformat(), *(answer[name] for name in ("earliest", "leaves_window_on", "latest"))]
    given_dates = [day for day in dates if day is not None]
    assert given_dates == sorted(given_dates)
    assert given_dates[-1] <= (last + timedelta(days=FARTHEST_DAYS)).isoformat()
    assert answer["leaves_window_on"] is None or answer["state"] == "drifting"
    assert answer["latest"] is None or answer["leaves_window_on"] is not None


@given(times=TIMES, days=st.integers(1, 5000))
@UNHURRIED
def test_only_days_between_visits_count(times: list[float], days: int) -> None:
    """The same visits some days later give the same drift, and dates later by as many days."""
    moved = (date(2025, 1, 10) + timedelta(days=days)).isoformat()
    one, other = trend(times), trend(times, start=moved)
    assert [one[name] for name in ("state", "slope_s_per_30_days", "slope_sd")] == [
        other[name] for name in ("state", "slope_s_per_30_days", "slope_sd")
    ]
    for name in ("earliest", "leaves_window_on", "latest"):
        assert (one[name] is None) == (other[name] is None)
        if one[name]:
            later = date.fromisoformat(other[name]) - date.fromisoformat(one[name])
            assert later == timedelta(days=days)


@given(times=TIMES)
@UNHURRIED
def test_a_wider_window_is_left_later(times: list[float]) -> None:
    """Half a second more on either side brings no date nearer."""
    near_limits, far_limits = trend(times), trend(times, window_low_s=17.5, window_high_s=20.5)
    assert near_limits["state"] == far_limits["state"]
    if near_limits["earliest"] and far_limits["earliest"]:
        assert near_limits["earliest"] <= far_limits["earliest"]
    assert near_limits["next_check_by"] <= far_limits["next_check_by"]


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.dates().map(str),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
ROW = st.fixed_dictionaries(
    {
        "date": st.dates().map(str) | ANY_JSON,
        "fold_time_s": st.floats(0.2, 600) | ANY_JSON,
        "adjusted_half_turns": st.integers(-3, 3) | ANY_JSON,
    }
)
ANY_INPUT = st.fixed_dictionaries(
    {
        "visits": st.lists(ROW, max_size=8) | ANY_JSON,
        "window_low_s": st.floats(0.1, 700) | ANY_JSON,
        "window_high_s": st.floats(0.1, 700) | ANY_JSON,
        "timing_uncertainty_s": st.floats(0, 6) | ANY_JSON,
        "confidence": st.floats(0, 1) | ANY_JSON,
        "longest_interval_months": st.integers(0, 30) | ANY_JSON,
    }
)


@given(inputs=ANY_INPUT)
@unhurried(150)
def test_anything_gives_an_answer_or_named_errors(inputs: dict[str, Any]) -> None:
    """Whatever is given, the calculator answers whole or names each field that is wrong."""
    answered_or_named(fold_trend, inputs)


@given(
    times=st.lists(st.floats(0.2, 600), min_size=1, max_size=12),
    gaps=st.lists(st.integers(1, 3000), min_size=12, max_size=12),
    adjusted=st.lists(st.sampled_from([0, 0, 0, 1, -100]), min_size=12, max_size=12),
    low=st.floats(0.2, 599),
    width=st.floats(0.001, 1),
    timing=st.floats(0.005, 5),
    confidence=st.floats(0.5, 0.999),
)
@unhurried(150)
def test_any_visits_in_range_give_an_answer(
    times: list[float],
    gaps: list[int],
    adjusted: list[int],
    low: float,
    width: float,
    timing: float,
    confidence: float,
) -> None:
    """Visits within the declared ranges always give an answer that JSON can carry, and no fault of ours."""
    first, day, rows = date(2000, 1, 1), 0, []
    for i, time in enumerate(times):
        rows.append(
            {
                "date": (first + timedelta(days=day)).isoformat(),
                "fold_time_s": time,
                "adjusted_half_turns": adjusted[i],
            }
        )
        day += gaps[i]
    answer = ask(
        "fold-trend",
        {
            "visits": rows,
            "window_low_s": low,
            "window_high_s": low + width,
            "timing_uncertainty_s": timing,
            "confidence": confidence,
            "longest_interval_months": 3,
        },
    )
    assert set(answer) == {output.name for output in fold_trend.OUTPUTS}
    for row in answer["series"]:
        assert row["low_s"] is None or row["line_s"] is None or row["low_s"] < row["line_s"] < row["high_s"]


def test_the_line_is_drawn_on_from_the_last_visit_in_even_steps() -> None:
    """Six days ahead, evenly spaced from the last visit, of its run, without a time, the last on leaving."""
    answer = trend([18.5, 18.6, 18.7, 18.8, 18.9])
    ahead = answer["series"][5:]
    assert [(row["run"], row["fold_time_s"]) for row in ahead] == [(1, None)] * 6
    days = [date.fromisoformat(row["date"]) for row in answer["series"][4:]]
    gaps = {(later - earlier).days for earlier, later in pairwise(days)}
    assert max(gaps) - min(gaps) <= 1
    assert ahead[-1]["date"] == answer["leaves_window_on"]


def test_a_line_is_not_shown_below_zero() -> None:
    """5, 3.01, 1 and 0.5 s make 0.051 s on the last day, which is shown; what comes after is below zero."""
    answer = trend([5.0, 3.01, 1.0, 0.5], window_low_s=0.4, window_high_s=6)
    lines = [row["line_s"] for row in answer["series"]]
    assert lines[:4] == pytest.approx([4.704, 3.153, 1.602, 0.051], rel=1e-9)
    assert set(lines[4:]) == {None}
    lows = [row["low_s"] for row in answer["series"]]
    assert (lows[1], lows[2]) == (pytest.approx(0.309, abs=0.001), None)


def test_a_first_visit_can_end_its_run() -> None:
    """A half turn after the first visit begins a run with the second; visits before have no line."""
    rows = visits([18.5, 18.6, 18.7, 18.8, 18.9], after_0=1)
    answer = ask("fold-trend", {"visits": rows, **ASKED})
    assert [row["run"] for row in answer["series"][:5]] == [1, 2, 2, 2, 2]
    assert [answer["series"][0][name] for name in ("line_s", "low_s", "high_s")] == [None, None, None]


def test_a_trend_window_without_width_is_refused() -> None:
    """Equal limits are reported with what was given."""
    (error,) = trend([19.0], window_low_s=19.0, window_high_s=19.0)["errors"]
    assert (error["field"], error["value"]) == ("window_high_s", 19)


def test_sentences_name_the_numbers_of_the_answer() -> None:
    """A drift of 0.05 s in 30 days, give or take 3.182446 (Student t for 3 degrees and 0.95) times its sd."""
    answer = trend([18.5, 18.6, 18.7, 18.8, 18.9], confidence=0.95)
    reach = 3.182446305 * answer["slope_sd"]
    named = {
        "count": 5,
        "began": "2025-01-10",
        "last": "2025-09-07",
        "last_s": 18.9,
        "window_low_s": 18,
        "window_high_s": 20,
        "confidence_percent": 95,
        "next_check": answer["next_check_by"],
        "expected": answer["leaves_window_on"],
        "earliest": answer["earliest"],
        "latest": answer["latest"],
        "line_s": pytest.approx(18.9),
        "drift_s": pytest.approx(0.05),
        "low_s": pytest.approx(0.05 - reach),
        "high_s": pytest.approx(0.05 + reach),
        "least_s": pytest.approx(0.05 - reach),
        "most_s": pytest.approx(0.05 + reach),
    }
    for sentence in (answer["headline"], *answer["reasons"]):
        assert {name: sentence["values"][name] for name in named} == named


def test_a_falling_trend_names_its_drift_without_a_sign() -> None:
    """Least and most are of the drift's size, low and high of the slope with its sign."""
    answer = trend([19.5, 19.4, 19.3, 19.2, 19.1])
    values, reach = answer["headline"]["values"], 3.182446305 * answer["slope_sd"]
    assert values["drift_s"] == pytest.approx(0.05)
    assert [values["low_s"], values["high_s"]] == pytest.approx([-0.05 - reach, -0.05 + reach])
    assert [values["least_s"], values["most_s"]] == pytest.approx([0.05 - reach, 0.05 + reach])


def test_a_run_that_has_only_just_begun_is_told_by_the_last_visit() -> None:
    """Adjusted after the last visit, the run that follows has none yet: the last visit stands for it."""
    answer = ask("fold-trend", {"visits": visits([18.5, 18.6, 18.7], after_2=1), **ASKED})
    values = answer["headline"]["values"]
    assert (values["began"], values["jumped_s"], values["before_s"]) == ("2025-05-10", 18.7, 18.7)


@pytest.mark.parametrize(
    ("a", "half_b", "c", "roots"),
    [
        (1, -2.5, 6, (2, 3)),
        (2, 7, 24, (-4, -3)),
        (1, -2, 4, (2, 2)),
        (1, 0, 1, ()),
        (1, 0, 0, (0,)),
        (-1, 0, 4, (-2, 2)),
        (0, 2, -8, (2,)),
        (0, -3, -3, (-0.5,)),
        (0, 0, 1, ()),
        (1, -5e8, 1, (1e-9, 1e9)),
    ],
)
def test_roots_of_a_quadratic(a: float, half_b: float, c: float, roots: tuple[float, ...]) -> None:
    """a x^2 + 2 half_b x + c is 0 there: two, twice the same, one, or none; a tiny one keeps its digits."""
    assert _roots(a, half_b, c) == pytest.approx(roots, rel=1e-12)


def test_three_visits_make_a_line() -> None:
    """18.8, 19 and 19.1 s at three even days: slope 0.15 s a step about 18.967 s, scattering 0.0408 s."""
    line = fit_trend([0, 30, 60], [18.8, 19.0, 19.1], least_sd=0, confidence=0.95)
    assert (line.slope, line.level) == (pytest.approx(0.005), pytest.approx(56.9 / 3))
    assert line.residual_sd == pytest.approx(math.sqrt(6 * 0.05**2 / 9))


@pytest.mark.parametrize(("times_the_reach", "state"), [(0.999, "steady"), (1.001, "jump")])
def test_a_jump_is_what_one_new_timing_hardly_ever_shows(times_the_reach: float, state: str) -> None:
    """Four level visits and a fifth: 3.290526731, the normal quantile for 0.999, times 0.1 s and sqrt 2.5.

    The 2.5 is 1 for the new timing, 1/4 for the four, and 75 squared over 4500 for its distance in days.
    """
    times = [19.0, 19.0, 19.0, 19.0, 19 + times_the_reach * 3.290526731 * 0.1 * math.sqrt(2.5)]
    found = [
        split_runs(range(0, 150, 30), each, [0] * 5, timing_uncertainty=0.1)
        for each in (times, [38 - time for time in times])
    ]
    assert [runs[-1].began for runs in found] == (["first"] * 2 if state == "steady" else ["jump"] * 2)

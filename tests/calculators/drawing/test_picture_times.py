"""Where the marks of fold-time and fold-trend are, by hand from the numbers of an answer made by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from calculators.drawing.scale import Scale
from calculators.drawing.svg import text_width
from calculators.fold_time import picture as fold_time_picture
from calculators.fold_trend import picture as fold_trend_picture
from tests.calculators.drawing.picture_answers import FOLDS, MEAN, SERIES, TREND, VISITS, WINDOW, drawn, visit
from tests.calculators.drawing.picture_hearing import Terse
from tests.calculators.drawing.picture_reading import Drawn, day, parsed, points

NEAR = 0.06
"""Places are written to a tenth of a unit."""


def axis(shown: Drawn) -> tuple[float, float]:
    """Where the level axis begins and ends."""
    (start, _), (end, _) = shown.lines("axis")[0]
    return start, end


def level(shown: Drawn, low: float, high: float) -> Scale:
    """The scale of a level axis whose ends are known."""
    return Scale(low, high, *axis(shown))


def near(*places: tuple[float, float]) -> list[Any]:
    """Places as they are written."""
    return [pytest.approx(place, abs=NEAR) for place in places]


def test_fold_time_has_a_row_a_run_and_one_for_the_mean() -> None:
    """Runs are 22 apart from 37 down, the mean 32 above the axis; each name is at its mark's height."""
    shown, _ = drawn(fold_time_picture, FOLDS, MEAN)
    at = level(shown, 16.4 - 0.216, 20 + 0.216).at  # runs and window span 3.6 s; 6 % to spare
    assert axis(shown)[1] == 310
    assert shown.lines("axis")[0][0][1] == 138
    assert shown.marks("run") == near((at(17.6), 37), (at(16.4), 59), (at(17.0), 81))
    assert {each.get("fill") for each in shown.of_kind("run")} == {"none"}
    assert shown.marks("mean") == near((at(17.1), 106))
    names = shown.of_kind("label")[1:]
    left = axis(shown)[0] - 8 - 2
    assert [points(each)[0] for each in names[:4]] == near((left, 42), (left, 64), (left, 86), (left, 111))
    assert {each.get("text-anchor") for each in names[:4]} == {"end"}
    assert [each.get("font-weight") for each in names] == [None, None, None, "700", "700"]
    assert points(names[4])[0][1] == 128
    assert shown.size[1] == 205


def test_fold_time_shades_the_window_behind_its_rows() -> None:
    """The window reaches from above the first row to the axis between both limits, its name over it."""
    shown, _ = drawn(fold_time_picture, FOLDS, MEAN)
    at = level(shown, 16.184, 20.216).at
    low, high = at(18), at(20)
    assert points(shown.of_kind("window")[0]) == near((low, 20), (high, 20), (high, 138), (low, 138))
    assert shown.lines("limit")[:2] == [near((low, 20), (low, 138)), near((high, 20), (high, 138))]
    name = shown.of_kind("label")[0]
    assert (points(name)[0][1], name.get("text-anchor"), name.get("font-weight")) == (14, "middle", "700")


def test_fold_time_words_stand_over_what_they_name() -> None:
    """With room for them: the window's name over its middle, the mean's number under the mean."""
    svg, _ = fold_time_picture.draw(FOLDS, MEAN, Terse("test", {}, 0.95))
    shown = parsed(svg)
    at = level(shown, 16.184, 20.216).at
    assert axis(shown)[0] == pytest.approx(12 + 8.2 + 8, abs=NEAR)
    labels = shown.of_kind("label")
    assert points(labels[0]) == near((at(19), 14))
    assert points(labels[-1]) == near((at(17.1), 128))
    assert labels[-1].get("text-anchor") == "middle"


def test_fold_time_keeps_the_means_number_right_of_the_names() -> None:
    """A number too wide to be under its mean begins where the runs' names end."""
    shown, _ = drawn(fold_time_picture, FOLDS, MEAN)
    number = shown.of_kind("label")[-1]
    half = text_width(str(number.text), strong=True) / 2
    assert points(number)[0][0] == pytest.approx(axis(shown)[0] - 8 + half, abs=NEAR)


def test_fold_time_draws_the_interval_with_an_upright_at_each_end() -> None:
    """The bar reaches from the low to the high end, uprights of 14 there."""
    shown, _ = drawn(fold_time_picture, FOLDS, MEAN)
    at = level(shown, 16.184, 20.216).at
    low, high = at(16.5), at(17.5)
    assert shown.lines("bar")[:3] == [
        near((low, 106), (high, 106)),
        near((low, 99), (low, 113)),
        near((high, 99), (high, 113)),
    ]
    assert shown.of_kind("beyond") == []


def test_fold_time_cuts_an_interval_that_dwarfs_the_runs() -> None:
    """It may add as much as runs and window span to either side; beyond, arrowheads lead out."""
    shown, _ = drawn(fold_time_picture, FOLDS, MEAN | {"low_s": 3.0, "high_s": 40.0})
    low, high = axis(shown)
    at = level(shown, 12.8 - 0.648, 23.6 + 0.648).at  # 3.6 s more on both sides, then 6 % of 10.8 s
    assert shown.marks("run") == near((at(17.6), 37), (at(16.4), 59), (at(17.0), 81))
    assert shown.lines("bar")[0] == near((low, 106), (high, 106))
    left, right = (points(each) for each in shown.of_kind("beyond"))
    assert left[0] == pytest.approx((low - 7.2, 106), abs=NEAR)
    assert right[0] == pytest.approx((high + 7.2, 106), abs=NEAR)


def test_fold_time_never_shows_a_time_below_0_and_keeps_thumbs_in_mind() -> None:
    """The axis begins at 0 at the earliest; runs and window within half a second fill no more than that."""
    quick = FOLDS | {"runs_s": (0.4, 0.5), "window_low_s": 0.3, "window_high_s": 0.45}
    shown, _ = drawn(fold_time_picture, quick, MEAN | {"mean_s": 0.45, "low_s": 0.2, "high_s": 0.7})
    # 0.2 to 0.7 s span half a second; 6 % to spare
    at = level(shown, 0.17, 0.73).at
    assert shown.marks("run") == near((at(0.4), 37), (at(0.5), 59))
    shown, _ = drawn(fold_time_picture, quick, MEAN | {"mean_s": 0.45, "low_s": -1.0, "high_s": 0.5})
    at = level(shown, 0.0, 0.5 + 0.06 * 0.7).at  # from 0.3 - 0.5 to 0.5
    assert shown.marks("run") == near((at(0.4), 37), (at(0.5), 59))


def trend(**changes: Any) -> tuple[Drawn, Scale, Scale]:
    """The picture of the trend, and its scales: 181 days to the latest, 5 % to spare; times likewise."""
    shown, _ = drawn(fold_trend_picture, VISITS, TREND | changes)
    first, last = day("2026-01-10"), day("2026-07-10")
    times = Scale(17 - 0.15, 20 + 0.15, 210, 30)  # visits and window span 3 s
    return shown, level(shown, first - 9.05, last + 9.05), times


def test_fold_trend_marks_stand_at_their_days_and_times() -> None:
    """Each visit, the next check under the axis, and the day of leaving on the limit that it leads to."""
    shown, days, times = trend()
    assert axis(shown)[1] == 278
    assert shown.marks("visit") == near(
        *((days.at(day(row["date"])), times.at(row["fold_time_s"])) for row in SERIES[:4])
    )
    assert [each.get("fill") for each in shown.of_kind("visit")] == ["none", *["currentColor"] * 3]
    assert shown.marks("check") == near((days.at(day("2026-05-11")), 221))
    assert shown.marks("leaves") == near((days.at(day("2026-06-10")), times.at(20)))


def test_fold_trend_draws_the_days_between_which_it_leaves() -> None:
    """A bar on the limit from the earliest to the latest day, with uprights of 12."""
    shown, days, times = trend()
    early, late, y = days.at(day("2026-05-20")), days.at(day("2026-07-10")), times.at(20)
    uprights = [near((x, y - 6), (x, y + 6)) for x in (early, late)]
    assert shown.lines("bar") == [near((early, y), (late, y)), *uprights]
    assert shown.of_kind("beyond") == []
    shown, days, times = trend(earliest=None)
    middle = days.at(day("2026-06-10"))
    assert shown.lines("bar")[0] == near((middle, y), (late, y))


@pytest.mark.parametrize(("latest", "last"), [(None, "2026-06-10"), ("2029-01-01", "2026-07-30")])
def test_fold_trend_leaves_an_end_open_that_is_far_or_unknown(latest: str | None, last: str) -> None:
    """A latest day adds a third of the time shown at most (50 of 151 days); the bar ends in an arrowhead."""
    shown, _ = drawn(fold_trend_picture, VISITS, TREND | {"latest": latest})
    first, end = day("2026-01-10"), day(last) + (1 / 3 if latest else 0)
    room = 0.05 * (end - first)
    days = level(shown, first - room, end + room)
    assert shown.marks("visit")[0][0] == pytest.approx(days.at(first), abs=NEAR)
    assert shown.marks("check")[0][0] == pytest.approx(days.at(day("2026-05-11")), abs=NEAR)
    y = shown.marks("leaves")[0][1]
    assert shown.lines("bar")[0][1] == pytest.approx((270, y), abs=NEAR)
    assert points(shown.of_kind("beyond")[0])[0] == pytest.approx((277.2, y), abs=NEAR)
    assert len(shown.lines("bar")) == 2


def test_fold_trend_that_falls_leaves_at_the_lower_limit() -> None:
    """A slope below 0 leads to the shortest time allowed."""
    shown, _, times = trend(slope_s_per_30_days=-0.4)
    assert shown.marks("leaves")[0][1] == pytest.approx(times.at(18), abs=NEAR)


def test_fold_trend_draws_line_and_band_through_their_rows() -> None:
    """The line and both edges have a corner at each fitted day; the band goes along one and back."""
    shown, days, times = trend()
    fitted = SERIES[1:]
    low, high, middle = (
        [(days.at(day(row["date"])), times.at(row["line_s"] + side)) for row in fitted]
        for side in (-0.3, 0.3, 0)
    )
    assert shown.lines("line")[0] == near(*middle)
    assert shown.lines("edge")[:2] == [near(*low), near(*high)]
    assert points(shown.of_kind("band")[0]) == near(*low, *reversed(high))


def test_fold_trend_holds_what_goes_beyond_at_the_edge() -> None:
    """An end of the interval that nobody can give is drawn at the bottom, one far above at the top."""
    series = [SERIES[0], SERIES[1] | {"low_s": None, "high_s": 99.0}, *SERIES[2:]]
    shown, _ = drawn(fold_trend_picture, VISITS, TREND | {"series": series})
    low, high = shown.lines("edge")[:2]
    assert (low[0][1], high[0][1]) == pytest.approx((210, 30), abs=NEAR)


def test_fold_trend_marks_where_a_new_run_begins() -> None:
    """An upright half way between the visits of two runs, and one 8 behind a last adjusted visit."""
    shown, days, _ = trend()
    x = days.at((day("2026-01-10") + day("2026-02-10")) / 2)
    assert shown.lines("end")[:1] == [near((x, 30), (x, 210))]
    assert len(shown.lines("end")) == 2  # it, and its sample
    adjusted = {"visits": [{"date": date(2026, 4, 11), "adjusted_half_turns": -1}], **WINDOW}
    shown, _ = drawn(fold_trend_picture, adjusted, TREND)
    last = shown.marks("visit")[-1][0] + 8
    assert shown.lines("end")[1] == near((last, 30), (last, 210))
    assert {each.get("fill") for each in shown.of_kind("visit")} == {"none"}


def test_fold_trend_explains_full_and_open_marks() -> None:
    """Visits that the line goes through are full, those before open, and a change is an upright, as drawn."""
    shown, _, _ = trend()
    assert [each.get("fill") for each in shown.of_kind("sample-visit")] == ["currentColor", "none"]
    (top_x, top), (foot_x, foot) = shown.lines("end")[-1]
    assert (top_x, foot - top) == (foot_x, 16)


def test_fold_trend_leaves_room_for_the_mark_of_the_next_check() -> None:
    """The dates are 18 lower than under a bare axis, and so are title and legend."""
    shown, _, _ = trend()
    assert {points(each)[0][1] for each in shown.of_kind("x-tick")} == {247}
    assert points(shown.of_kind("title")[0])[0][1] == 267
    assert points(shown.of_kind("legend")[0])[0][1] == 288


def test_fold_trend_of_one_day_is_two_weeks_wide() -> None:
    """A visit that is its own next check is in the middle of 14 days."""
    bare = TREND | {
        "series": [visit("2026-01-10", 19.0, 1)],
        "next_check_by": "2026-01-10",
        "leaves_window_on": None,
        "earliest": None,
        "latest": None,
    }
    shown, _ = drawn(fold_trend_picture, VISITS, bare)
    start, end = axis(shown)
    assert shown.marks("visit")[0][0] == pytest.approx((start + end) / 2, abs=NEAR)
    ticks = shown.lines("tick-line")
    assert ticks[1][0][0] - ticks[0][0][0] == pytest.approx(5 * (end - start) / 14, abs=2 * NEAR)

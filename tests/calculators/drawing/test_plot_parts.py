"""What pictures are made of: scales, ticks, axes, margins, limits beside them, and the legend."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from calculators.drawing.axes import (
    LegendEntry,
    area_entry,
    bar_entry,
    below_x_axis,
    beside,
    left_margin,
    legend,
    line_entry,
    mark_entry,
    middle_of,
    x_axis,
    y_axis,
)
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, Tick, padded, spread, ticks
from calculators.drawing.svg import svg
from calculators.drawing.times import times_shown
from tests.calculators.drawing.picture_reading import Drawn, parsed, points

UP = Scale(10, 20, 200, 100)
"""10 at the bottom, 20 at the top."""


def drawn(parts: list[str]) -> Drawn:
    """Parts as a test reads them."""
    return parsed(svg(400, parts, "told"))


def described(parts: list[str]) -> list[tuple[str, list[tuple[float, float]]]]:
    """The kind and the corners of each part."""
    elements = drawn(parts).elements
    return [(str(each.get("class")).rpartition("ht-plot-")[2], points(each)) for each in elements]


def test_a_scale_is_straight_and_knows_its_ends() -> None:
    """Half the range is half way; beyond the ends a value is off the axis, or held at its end."""
    assert [UP.at(value) for value in (10, 15, 20, 22.5)] == [200, 150, 100, 75]
    assert [UP.held(value) for value in (9, 10, 15, 20, 21)] == [200, 200, 150, 100, 100]
    assert [UP.holds(value) for value in (9.9, 10, 15, 20, 20.1)] == [False, True, True, True, False]


@pytest.mark.parametrize(
    ("low", "high", "most", "shown"),
    [
        (0, 10, 6, ["0", "2", "4", "6", "8", "10"]),
        (0, 10, 3, ["0", "5", "10"]),
        (0.1, 9.9, 6, ["2", "4", "6", "8"]),
        (-1, 1, 5, ["\u22121.0", "\u22120.5", "0.0", "0.5", "1.0"]),
        (17.95, 18.05, 3, ["17.95", "18.00", "18.05"]),
        (0, 4000, 5, ["0", "1000", "2000", "3000", "4000"]),
        (0, 4001, 5, ["0", "2000", "4000"]),
        (0, 30, 3, ["0", "20"]),
        (0, 3, 6, ["0", "1", "2", "3"]),
        (0, 0.03, 6, ["0.00", "0.01", "0.02", "0.03"]),
    ],
)
def test_ticks_by_hand(low: float, high: float, most: int, shown: list[str]) -> None:
    """Steps of 1, 2 or 5 times a power of ten, both ends where they are round, the same decimals on all."""
    assert [tick.text for tick in ticks(low, high, most, ".")] == shown


@pytest.mark.parametrize(
    ("high", "values"), [(0.4, [0, 0.1, 0.2, 0.3, 0.4]), (4e5, [0, 1e5, 2e5, 3e5, 4e5]), (4, [0, 1, 2, 3, 4])]
)
def test_ticks_stand_at_exact_numbers(high: float, values: list[float]) -> None:
    """A tick's value is the number that its text says, to the last digit."""
    assert [tick.value for tick in ticks(0, high, 5, ".")] == values


def test_ticks_of_whole_things_are_whole() -> None:
    """A least step keeps half turns from being halved, and a language has its own mark."""
    assert [tick.text for tick in ticks(-0.7, 0.7, 9, ".", least_step=1)] == ["0"]
    assert [tick.value for tick in ticks(-1.3, 1.3, 9, ".", least_step=1)] == [-1, 0, 1]
    assert [tick.text for tick in ticks(0, 1, 3, ",")] == ["0,0", "0,5", "1,0"]


def test_a_range_is_padded_by_its_share_or_to_its_least() -> None:
    """A tenth of 10 on both sides; a range of nothing becomes as wide as the least."""
    assert padded(10, 20, 0.1, 1) == (9, 21)
    assert padded(15, 15, 0.1, 1) == (14.5, 15.5)
    assert padded(15, 15.5, 0.1, 1) == (14.75, 15.75)
    assert spread([3, 1, 2]) == (1, 3)


@pytest.mark.parametrize(
    ("times", "ends", "shown"),
    [
        ([10, 19], [], (9.55, 19.45)),
        ([10, 19], [9, 21, None], (9 - 0.6, 21 + 0.6)),
        ([10, 19], [1, 60], (7 - 0.75, 22 + 0.75)),
        ([10, 10.3], [5, None], (9 - 0.065, 10.3 + 0.065)),
        ([0.5, 3.5], [0.1], (0.0, 3.67)),
    ],
)
def test_ends_of_intervals_widen_times_by_a_third_at_most(
    times: list[float], ends: list[float | None], shown: tuple[float, float]
) -> None:
    """By hand: times 10 and 19 leave 3 s for intervals, any times 1 s, then 5 % to spare; never below 0."""
    assert times_shown(times, ends) == pytest.approx(shown)


def test_an_x_axis_has_its_words_below() -> None:
    """Ticks of 5 below the line, their words under them and under what needs room, then the title, right."""
    scale = Scale(0, 10, 50, 250)
    assert described(x_axis(scale, [Tick(5, "5"), Tick(10, "")], 100, "Time", room=18)) == [
        ("axis", [(50, 100), (250, 100)]),
        ("tick-line", [(150, 100), (150, 105)]),
        ("x-tick", [(150, 137)]),
        ("tick-line", [(250, 100), (250, 105)]),
        ("title", [(316, 157)]),
    ]
    assert (below_x_axis(100, room=18), below_x_axis(100)) == (163, 145)
    assert points(drawn(x_axis(scale, [Tick(5, "5")], 100, "Time")).of_kind("x-tick")[0]) == [(150, 119)]
    anchors = [each.get("text-anchor") for each in drawn(x_axis(scale, [Tick(5, "5")], 100, "Time")).elements]
    assert anchors == [None, None, "middle", "end"]


def test_a_y_axis_has_its_words_on_the_left() -> None:
    """Ticks of 5 to the left at their height, words before them, the title at the top left."""
    parts = y_axis(UP, [Tick(15, "15")], 60, "Seconds")
    assert described(parts) == [
        ("axis", [(60, 200), (60, 100)]),
        ("tick-line", [(55, 150), (60, 150)]),
        ("y-tick", [(52, 155)]),
        ("title", [(4, 14)]),
    ]
    assert [each.get("text-anchor") for each in drawn(parts).elements] == [None, None, "end", None]


def test_margins_follow_the_words() -> None:
    """The widest words decide, strong ones take more; a middle moves only as far as its words need."""
    assert left_margin(["1", "abc"]) == pytest.approx(12 + 3 * 7.2)
    assert left_margin(["1", "abc"], strong=True) == pytest.approx(12 + 3 * 8.2)
    assert middle_of("ab", 100) == 100
    assert (middle_of("ab", 0), middle_of("ab", 320)) == pytest.approx((12.2, 307.8))
    assert (middle_of("ab", 0, low=50), middle_of("ab", 320, high=300)) == pytest.approx((58.2, 291.8))


def test_limits_stand_at_their_height_unless_they_meet() -> None:
    """Two closer than a letter is high share their middle, the greater one above."""
    apart = drawn(beside(UP, [(10, "low"), (20, "high")], 280))
    assert [points(each) for each in apart.elements] == [[(280, 205)], [(280, 105)]]
    close = drawn(beside(UP, [(15, "low"), (16, "high")], 280))
    assert [points(each) for each in close.elements] == [[(280, 157)], [(280, 143)]]
    assert {each.get("font-weight") for each in close.elements} == {"700"}
    just = drawn(beside(UP, [(15, "low"), (16.4, "high")], 280))
    assert [points(each) for each in just.elements] == [[(280, 155)], [(280, 141)]]


SAMPLES: list[tuple[Callable[[], LegendEntry], list[tuple[str, list[tuple[float, float]]]]]] = [
    (
        lambda: area_entry("window", "limit", "w"),
        [
            ("window", [(89, 44), (111, 44), (111, 56), (89, 56)]),
            ("limit", [(89, 44), (111, 44)]),
            ("limit", [(89, 56), (111, 56)]),
        ],
    ),
    (lambda: line_entry("line", "w"), [("line", [(88, 50), (112, 50)])]),
    (lambda: line_entry("end", "w", upright=True), [("end", [(100, 42), (100, 58)])]),
    (
        lambda: bar_entry("circle", "mean", "w"),
        [
            ("bar", [(89, 50), (111, 50)]),
            ("bar", [(89, 45), (89, 55)]),
            ("bar", [(111, 45), (111, 55)]),
            ("sample-mean", [(100, 50)]),
        ],
    ),
    (lambda: mark_entry("circle", 5, "run", "w"), [("sample-run", [(100, 50)])]),
]


@pytest.mark.parametrize(("make", "parts"), SAMPLES)
def test_samples_stand_about_their_point(make: Callable[[], LegendEntry], parts: Any) -> None:
    """Each sample looks as what it stands for, centered where the legend puts it."""
    entry = make()
    assert entry.draw is not None
    assert entry.words == "w"
    assert described(entry.draw(100, 50)) == parts


def test_a_sample_is_full_or_open_as_its_mark() -> None:
    """A sample of an open mark is open, and is no mark of the picture itself."""
    looks = [mark_entry("circle", 5, "run", "w", full=full).draw for full in (True, False)]
    fills = [drawn(draw(9, 9)).elements[0].get("fill") for draw in looks if draw]
    assert fills == ["currentColor", "none"]
    assert drawn(looks[0](9, 9) if looks[0] else []).of_kind("run") == []


def test_a_legend_fills_its_lines() -> None:
    """Entries are 16 apart, on the next line, 20 lower, where the picture ends; words alone start left."""
    short, long = mark_entry("circle", 5, "run", "ab"), mark_entry("circle", 5, "run", "m" * 36)
    parts, end = legend([short, short, long, LegendEntry(None, "alone")], 100)
    shown = drawn(parts)
    assert shown.marks("sample-run") == [(16, 110), (16 + 58.4, 110), (16, 130)]
    assert [points(each)[0] for each in shown.of_kind("legend")] == [
        (32, 115),
        (32 + 58.4, 115),
        (32, 135),
        (4, 155),
    ]
    assert end == 162


def test_a_legend_breaks_long_words_between_them() -> None:
    """An entry wider than the picture continues below, under its own start, and the next entry follows."""
    parts, end = legend([line_entry("line", "one two " * 6), LegendEntry(None, "x")], 0)
    rows = [(points(each)[0], str(each.text)) for each in drawn(parts).of_kind("legend")]
    assert rows == [
        ((32, 15), "one two one two one two one two one two"),
        ((32, 35), "one two"),
        ((4, 55), "x"),
    ]
    assert end == 62


def test_words_of_a_picture() -> None:
    """A minus is one before a number and none in a date; percent and limits are said as measured."""
    say = {f"test.picture.{code}": code + " {lowest} {highest}" for code in ("a",)}
    say |= {
        "test.picture.day": "{day} at {n}",
        "test.picture.limits-unknown": "unknown",
        "test.picture.limits-lowest": "from {lowest}",
        "test.picture.limits-highest": "to {highest}",
        "test.picture.limits-lowest-highest": "{lowest} to {highest}",
        "decimal-mark": ",",
    }
    words = PlotWords("test", say, 0.95)
    assert (words.percent, words.decimal_mark, PlotWords("test", {}).decimal_mark) == (95, ",", ".")
    assert words.say("day", day="2026-03-01", n=-2) == "2026-03-01 at \u22122"
    assert (words.setting(-3), words.setting(0)) == ("\u22123", "0")
    assert [words.limits(*ends) for ends in ((None, None), (-2, None), (None, 3), (-2, 3))] == [
        "unknown",
        "from \u22122",
        "to 3",
        "\u22122 to 3",
    ]

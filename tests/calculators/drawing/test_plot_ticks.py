"""Where numbers, dates and settings of a nut are along an axis."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.drawing.dates import MOST_DAYS, MOST_MONTHS, MOST_YEARS, date_ticks
from calculators.drawing.nut import (
    nut,
    nut_entries,
    settings_scale,
    settings_shown,
    settings_ticks,
    thread_ends,
)
from calculators.drawing.scale import Scale, ticks
from calculators.drawing.svg import svg
from tests.calculators.drawing.picture_hearing import Heard, heard
from tests.calculators.drawing.picture_reading import Drawn, day, number, parsed, points

WORDS = Heard("test", {}, 0.95)


def drawn(parts: list[str]) -> Drawn:
    """Parts as a test reads them."""
    return parsed(svg(400, parts, "told"))


@pytest.mark.parametrize(
    ("first", "last", "texts"),
    [
        ("2026-01-15", "2026-04-10", ["2026-02", "2026-03", "2026-04"]),
        ("2026-02-01", "2026-04-01", ["2026-02", "2026-03", "2026-04"]),
        ("2026-01-01", "2026-05-20", ["2026-01", "2026-03", "2026-05"]),
        ("2026-01-02", "2026-08-20", ["2026-03", "2026-05", "2026-07"]),
        ("2026-01-02", "2026-10-20", ["2026-04", "2026-07", "2026-10"]),
        ("2026-01-01", "2026-12-31", ["2026-01", "2026-07"]),
        ("2025-06-01", "2027-06-01", ["2026", "2027"]),
        ("2020-01-01", "2024-12-31", ["2020", "2021", "2022", "2023", "2024"]),
        ("2020-03-15", "2029-06-01", ["2022", "2024", "2026", "2028"]),
        ("2000-01-01", "2031-01-01", ["2000", "2010", "2020", "2030"]),
    ],
)
def test_first_days_of_months_or_years(first: str, last: str, texts: list[str]) -> None:
    """Every so many months from January, at most 3 of them, or at most 5 years; both ends count."""
    found = date_ticks(int(day(first)), int(day(last)))
    assert [tick.text for tick in found] == texts
    assert [tick.value for tick in found] == [day(text) for text in texts]


@pytest.mark.parametrize(
    ("first", "last", "texts"),
    [
        ("2026-03-10", "2026-03-12", ["03-10", "03-11", "03-12"]),
        ("2026-03-10", "2026-03-13", ["03-10", "03-11", "03-12", "03-13"]),
        ("2026-03-10", "2026-03-14", ["03-10", "03-12", "03-14"]),
        ("2026-03-10", "2026-03-24", ["03-10", "03-15", "03-20"]),
        ("2026-03-02", "2026-03-30", ["03-02", "03-12", "03-22"]),
        ("2026-03-10", "2026-04-20", ["03-10", "03-25", "04-09"]),
        ("2026-07-02", "2026-08-31", ["07-02", "08-31"]),
    ],
)
def test_days_where_no_two_months_begin(first: str, last: str, texts: list[str]) -> None:
    """From the first day on, every 1, 2, 5, 10 or 15 days, so that at most 4 are there; else both ends."""
    found = date_ticks(int(day(first)), int(day(last)))
    assert [tick.text for tick in found] == texts
    year = date.fromordinal(int(found[0].value)).year
    assert [tick.value for tick in found] == [day(f"{year}-{text}") for text in texts]


def limits(low: int | None, high: int | None) -> dict[str, int | None]:
    """How much adjustment is left."""
    return {"half_turns_min": low, "half_turns_max": high}


@pytest.mark.parametrize(
    ("settings", "ends", "present", "do_now", "shown"),
    [
        ([0, 2], (None, None), 2, None, (0, 2)),
        ([0, 2], (None, None), 2, 1, (0, 3)),
        ([0, 2], (None, None), 0, -1, (-1, 2)),
        ([0, 2], (-5, 9), 2, 0, (-5, 9)),
        ([0, 2], (-6, 9), 2, 0, (0, 2)),
        ([0, 2], (-3, 20), 2, 0, (-3, 2)),
        ([0, 2], (-20, 5), 2, 0, (0, 5)),
        ([0, 2], (-20, 6), 2, 0, (0, 2)),
        ([0, 2], (-4, 20), 2, 0, (0, 2)),
        ([1], (None, 3), 1, None, (1, 3)),
    ],
)
def test_settings_that_are_shown(
    settings: list[int],
    ends: tuple[int | None, int | None],
    present: int,
    do_now: int | None,
    shown: tuple[int, int],
) -> None:
    """What was seen and the next one; both ends up to 14 half turns in all, beyond that an end within 3."""
    assert settings_shown(settings, limits(*ends), present, do_now) == shown


def test_a_scale_of_settings_has_some_to_spare() -> None:
    """0.7 half turns on both sides or 6 percent of many; one alone is between two that are not there."""
    scales = [settings_scale(shown, 50, 310) for shown in ((0, 5), (0, 50), (3, 3))]
    assert [(scale.low, scale.high) for scale in scales] == [(-0.7, 5.7), (-3, 53), (1.7, 4.3)]
    assert {(scale.start, scale.end) for scale in scales} == {(50, 310)}


def test_every_setting_of_a_few_has_a_tick() -> None:
    """Numbers as far as there is room, bare ticks between them, and up to 24 settings apart no more."""
    few = settings_ticks(Scale(-2.7, 2.7, 50, 310), WORDS)
    assert [(tick.value, tick.text) for tick in few] == [
        (-2, "\u22122"),
        (-1, "\u22121"),
        (0, "0"),
        (1, "1"),
        (2, "2"),
    ]
    many = settings_ticks(Scale(-12, 12, 50, 310), WORDS)
    named = {tick.value: tick.text for tick in many if tick.text}
    assert named == {-10: "\u221210", -5: "\u22125", 0: "0", 5: "5", 10: "10"}
    assert sorted(tick.value for tick in many) == list(range(-12, 13))
    assert {tick.text for tick in many} - set(named.values()) == {""}
    narrow = settings_ticks(Scale(-12, 12, 150, 270), WORDS)  # room for 3 numbers of 27, 4 apart
    assert [tick.text for tick in narrow if tick.text] == ["0"]
    assert all(tick.text for tick in settings_ticks(Scale(-12.9, 13.2, 50, 310), WORDS))


def test_ends_of_the_thread_are_drawn_where_they_are_in_the_picture() -> None:
    """An end that nobody measured, or that is beyond, is not drawn."""
    across = Scale(-1, 4, 50, 300)
    assert drawn(thread_ends(limits(-1, 3), across, (10, 90))).lines("end") == [
        [(50, 10), (50, 90)],
        [(250, 10), (250, 90)],
    ]
    assert drawn(thread_ends(limits(None, 3), across, (10, 90))).lines("end") == [[(250, 10), (250, 90)]]
    assert thread_ends(limits(-2, 5), across, (10, 90)) == []


@pytest.mark.parametrize(("do_now", "shape_points_to"), [(1, 1), (-1, -1)])
def test_the_nut_and_where_it_goes(do_now: int, shape_points_to: int) -> None:
    """The nut is 11 below the axis at its setting, and an arrow leads to the next, pointing that way."""
    shown = drawn(nut(1, do_now, Scale(0, 2, 100, 300), 200))
    assert shown.marks("nut") == [pytest.approx((200, 211), abs=0.1)]
    tip = 200 + 100 * do_now
    assert shown.lines("arrow") == [[(200, 211), (tip, 211)]]
    corners = points(shown.of_kind("next")[0])
    assert corners[0] == (tip + 6 * shape_points_to, 211)
    assert [y for _, y in corners[1:]] == pytest.approx([205.2, 216.8], abs=0.11)


@pytest.mark.parametrize("do_now", [0, None])
def test_a_nut_that_stays_has_no_arrow(do_now: int | None) -> None:
    """Without an order the nut is drawn alone, in picture and legend."""
    shown = drawn(nut(1, do_now, Scale(0, 2, 100, 300), 200))
    assert len(shown.elements) == 1
    entries = nut_entries(limits(None, None), do_now, Scale(0, 2, 100, 300), WORDS)
    assert [heard(entry.words)[0][0] for entry in entries] == ["nut", "limits-unknown"]


@pytest.mark.parametrize("do_now", [1, -1])
def test_signs_of_a_nut_that_goes(do_now: int) -> None:
    """The nut, its arrow pointing the same way, and the ends: with a sample where they are drawn."""
    entries = nut_entries(limits(0, 9), do_now, Scale(0, 2, 100, 300), WORDS)
    assert [heard(entry.words)[0] for entry in entries] == [
        ("nut", {}),
        ("next", {}),
        ("limits-lowest-highest", {"lowest": "0", "highest": "9"}),
    ]
    samples = [drawn(entry.draw(100, 50)) for entry in entries if entry.draw]
    assert len(samples) == 3
    assert samples[0].marks("sample-nut") == [pytest.approx((100, 50), abs=0.1)]
    tip = 100 + 6 * do_now
    assert samples[1].lines("arrow") == [[(100 - 11 * do_now, 50), (tip, 50)]]
    assert points(samples[1].of_kind("sample-next")[0])[0] == (tip + 6 * do_now, 50)
    assert samples[2].lines("end") == [[(100, 42), (100, 58)]]
    beyond = nut_entries(limits(-5, 9), do_now, Scale(0, 2, 100, 300), WORDS)
    assert beyond[2].draw is None


@given(st.floats(-80, 80), st.floats(0.001, 1000))
def test_ticks_are_round_and_inside(low: float, span: float) -> None:
    """Whatever the range: two ticks or more, at most as many as asked for, evenly apart, all within it."""
    found = ticks(low, low + span, 6, ".")
    assert 2 <= len(found) <= 6
    assert low - 1e-9 * span <= found[0].value and found[-1].value <= low + span * (1 + 1e-9)
    steps = {float(f"{b.value - a.value:.6g}") for a, b in pairwise(found)}
    assert len(steps) == 1
    assert f"{steps.pop():e}"[0] in "125"
    assert [number(tick.text) for tick in found] == pytest.approx([tick.value for tick in found])


@given(st.integers(0, 36_000), st.integers(14, 36_000))
def test_date_ticks_have_room_and_are_told_apart(first: int, days: int) -> None:
    """Whatever the dates: two ticks or more, no more than have room, all within the picture, each its own."""
    low = date(2000, 1, 1).toordinal() + first
    found = date_ticks(low, low + days)
    assert low <= found[0].value < found[-1].value <= low + days
    assert len({tick.text for tick in found}) == len(found)
    most = {4: MOST_YEARS, 7: MOST_MONTHS, 5: MOST_DAYS}
    assert 2 <= len(found) <= most[len(found[0].text)]

"""The service plan against RFC 5545: its dates by python-dateutil, its file by icalendar.

A rule such as "first Monday of every third month" has no place here: the plan counts from the last time, and
knows no weekday of a month.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, WEEKLY, YEARLY, rrule, rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from build_tools.made_pages.outside_values import OutsideCheck, read_checks
from calculators.service_plan.calculator import calculate
from calculators.shared.recurrence import date_after
from tests.calculators.drawn_inputs import UNHURRIED

CHECKS = [check for check in read_checks() if check.subject == "calendar"]


@pytest.mark.parametrize("check", CHECKS, ids=[check.id for check in CHECKS])
def test_dateutil_reads_the_rule_as_printed(check: OutsideCheck) -> None:
    """The oracle used below gives the printed days for the printed rule, so it can be believed."""
    start = datetime.fromisoformat(check.how["start"])
    days = tuple(f"{day:%Y-%m-%d}" for day in rrulestr(check.how["rule"], dtstart=start))
    assert days == check.expected
    assert check.how["until"] == max(*days, *check.besides)


ANCHORS = st.dates(date(2000, 1, 1), date(2060, 12, 31)) | st.sampled_from(
    [date(2024, 2, 29), date(2026, 1, 31), date(2027, 12, 31), date(2026, 8, 30), date(2000, 2, 29)]
)


@given(anchor=ANCHORS, every=st.integers(1, 24), count=st.integers(0, 40))
@UNHURRIED
def test_a_step_is_that_of_relativedelta(anchor: date, every: int, count: int) -> None:
    """Weeks, months and years from a date are those of python-dateutil, month ends and leap days included."""
    n = every * count
    found = [date_after(anchor, n, unit) for unit in ("week", "month", "year")]
    wanted = [relativedelta(weeks=n), relativedelta(months=n), relativedelta(years=n)]
    assert found == [anchor + each for each in wanted]


def by_rule(anchor: date, every: int, unit: str, count: int) -> list[date]:
    """The days of a rule that takes the month's last day where the day is missing."""
    if unit == "week":
        rule = rrule(WEEKLY, dtstart=anchor, interval=every, count=count)
    else:
        days = list(range(min(anchor.day, 28), anchor.day + 1))  # the last of these that the month has
        named: dict[str, Any] = {"bymonth": anchor.month} if unit == "year" else {}
        rule = rrule(
            MONTHLY if unit == "month" else YEARLY,
            dtstart=anchor,
            interval=every,
            count=count,
            bymonthday=days,
            bysetpos=-1,
            **named,
        )
    return [day.date() for day in rule]


@given(anchor=ANCHORS, every=st.integers(1, 13), unit=st.sampled_from(["week", "month", "year"]))
@UNHURRIED
def test_a_grid_is_that_of_a_rule(anchor: date, every: int, unit: str) -> None:
    """Counted from one day on, the jobs fall where RFC 5545's BYMONTHDAY and BYSETPOS put them."""
    assert [date_after(anchor, every * k, unit) for k in range(12)] == by_rule(anchor, every, unit, 12)


TASKS = [
    {"name": "Weekly check", "every": 1, "unit": "week", "every_cycles": None, "last_done": date(2026, 1, 2)},
    {
        "name": "Öl, Fett; \\ Tür 3 " + "ü" * 60,
        "every": 1,
        "unit": "month",
        "every_cycles": None,
        "last_done": date(2025, 12, 31),
    },
    {"name": "Lip \U0001f527 " * 5, "every": None, "unit": None, "every_cycles": 700, "last_done": None},
]


def answer(tasks: Sequence[dict[str, Any]] = TASKS, place: str | None = "Door 3, north") -> dict[str, Any]:
    """A plan of half a year with signs of all lengths in it, weekends closed."""
    return calculate(
        start=date(2026, 1, 3),
        until=date(2026, 6, 30),
        tasks=tasks,
        cycles_per_day=10,
        closed_days=(),
        closed_weekdays=[{"weekday": "saturday"}, {"weekday": "sunday"}],
        place=place,
    )


def test_icalendar_reads_the_file_without_complaint() -> None:
    """Every job is one all-day event with its task as it was named, on its day, and with a UID of its own."""
    found = answer()
    calendar = Calendar.from_ical(found["calendar"].encode())
    events = calendar.walk("VEVENT")
    assert [event.errors for event in (calendar, *events) if event.errors] == []
    assert [(str(event["SUMMARY"]), event["DTSTART"].dt) for event in events] == [
        (f"Door 3, north: {row['task']}", date.fromisoformat(row["date"])) for row in found["due"]
    ]
    assert {event["DTEND"].dt - event["DTSTART"].dt for event in events} == {timedelta(days=1)}
    assert {type(event["DTSTART"].dt) for event in events} == {date}
    assert len({str(event["UID"]) for event in events}) == len(events) > 30


def test_the_file_has_all_that_the_standard_requires() -> None:
    """VERSION 2.0 and a PRODID; in each event one UID, one DTSTAMP in UTC, one DTSTART, no repeating rule."""
    calendar = Calendar.from_ical(answer()["calendar"].encode())
    assert (str(calendar["VERSION"]), bool(str(calendar["PRODID"]))) == ("2.0", True)
    for event in calendar.walk("VEVENT"):
        names = ("UID", "DTSTAMP", "DTSTART", "SUMMARY")
        assert [name for name in names if isinstance(event[name], list)] == []
        assert event["DTSTAMP"].dt.isoformat() == "2026-01-03T00:00:00+00:00"
        assert "RRULE" not in event


def test_lines_are_as_the_standard_has_them() -> None:
    """Every line ends with CRLF, holds 75 octets at most, and is whole UTF-8 by itself."""
    octets = answer()["calendar"].encode()
    assert octets.endswith(b"END:VCALENDAR\r\n")
    lines = octets.removesuffix(b"\r\n").split(b"\r\n")
    assert [line for line in lines if b"\n" in line or b"\r" in line or not line] == []
    assert max(len(line) for line in lines) <= 75
    assert sum(line.startswith(b" ") for line in lines) > 5
    assert [line.decode() for line in lines]


def test_icalendar_writes_the_same_events() -> None:
    """Read and written again by icalendar, the file unfolds to the same lines, property by property."""
    text = answer()["calendar"]
    again = Calendar.from_ical(text.encode()).to_ical(sorted=False).decode()
    assert again.replace("\r\n ", "") == text.replace("\r\n ", "")


NAMES = st.text(st.characters(blacklist_categories=["Cs", "Cc", "Zl", "Zp"]), min_size=1, max_size=80)


@given(name=NAMES.filter(lambda name: name.strip() == name))
@UNHURRIED
def test_any_name_comes_back_as_it_was(name: str) -> None:
    """Whatever sign a task's name holds, a calendar reads the same name."""
    found = answer([{**TASKS[0], "name": name}], place=None)
    (first, *_) = Calendar.from_ical(found["calendar"].encode()).walk("VEVENT")
    assert str(first["SUMMARY"]) == name

"""Steps on the calendar: weeks, months and years from a date, month ends clamped, closed days worked round.

Every step is counted from the anchor itself, never from a step before: monthly from the 31st goes to the 28th
in February and back to the 31st in March. Dates are days of a calendar, without times or time zones.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

UNITS = ("week", "month", "year")
_MONTHS = {"month": 1, "year": 12}


def step(anchor: date, count: int, unit: str) -> date:
    """Return the date `count` weeks, months or years after the anchor.

    A day that the month lacks becomes its last one: 31 January and one month make 28 or 29 February.
    """
    if unit == "week":
        return anchor + timedelta(weeks=count)
    months = anchor.year * 12 + anchor.month - 1 + count * _MONTHS[unit]
    year, month = months // 12, months % 12 + 1
    last = date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
    return last.replace(day=min(anchor.day, last.day))


def last_open_day(due: date, earliest: date, is_closed: Callable[[date], bool]) -> date | None:
    """Return the open day nearest to `due`, not after it and not before `earliest`; None if there is none."""
    day = due
    while day >= earliest:
        if not is_closed(day):
            return day
        day -= timedelta(days=1)
    return None


def first_open_day(earliest: date, latest: date, is_closed: Callable[[date], bool]) -> date | None:
    """Return the first open day from `earliest` to `latest`; None if there is none."""
    day = earliest
    while day <= latest:
        if not is_closed(day):
            return day
        day += timedelta(days=1)
    return None

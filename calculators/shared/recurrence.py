"""Dates that recur: weeks, months and years after an anchor, month ends clamped, closed days avoided.

Each date is counted from the anchor itself, not from the date before: monthly from the 31st is the 28th in
February and the 31st again in March. Dates are calendar days, without times or time zones.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

UNITS = ("week", "month", "year")
_MONTHS = {"month": 1, "year": 12}


def date_after(anchor: date, count: int, unit: str) -> date:
    """Return the date `count` weeks, months or years (`unit`) after the anchor.

    Where the month has no such day it is the month's last: 31 January and one month is 28 or 29 February.

    Raises:
        KeyError: the unit is not one of UNITS.
        ValueError, OverflowError: the date is beyond the year 9999.
    """
    if unit == "week":
        return anchor + timedelta(weeks=count)
    months = anchor.year * 12 + anchor.month - 1 + count * _MONTHS[unit]
    year, month = months // 12, months % 12 + 1
    last = date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
    return last.replace(day=min(anchor.day, last.day))


def last_open_day(due: date, earliest: date, is_closed: Callable[[date], bool]) -> date | None:
    """Return the last open day from `earliest` to `due`; None if there is none."""
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

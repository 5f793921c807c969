"""Round dates along an axis: first days of years or months, or days where a picture holds no more."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from calculators.drawing.scale import Tick

MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240)
"""Steps in months; each starts in January, so that years fall on them."""
MOST_YEARS, MOST_MONTHS, MOST_DAYS = 5, 3, 4
"""How many have room on a phone: 2026, 2026-03 and 03-15."""
DAYS = (1, 2, 5, 10, 15)


def date_ticks(first: int, last: int) -> list[Tick]:
    """Return round days from first to last, both as date.toordinal() gives them, as many as have room.

    Written as year-month, as years where all are first days of a year, and as month-day where days are what
    tells them apart.
    """
    for step in MONTHS:
        found = [day for day in _month_starts(step, first, last) if first <= day.toordinal() <= last]
        if len(found) <= (MOST_YEARS if step % 12 == 0 else MOST_MONTHS):
            break
    if len(found) < 2:
        return _days(first, last)
    years = all(day.month == 1 for day in found)
    return [Tick(day.toordinal(), f"{day:%Y}" if years else f"{day:%Y-%m}") for day in found]


def _month_starts(step: int, first: int, last: int) -> Iterator[date]:
    """Yield the first day of every so many months, counted from year 0, around first to last."""
    begin, end = (day.year * 12 + day.month - 1 for day in map(date.fromordinal, (first, last)))
    for count in range(begin - begin % step, end + 1, step):
        yield date(count // 12, count % 12 + 1, 1)


def _days(first: int, last: int) -> list[Tick]:
    step = next((step for step in DAYS if (last - first) // step < MOST_DAYS), last - first)
    return [Tick(day, f"{date.fromordinal(day):%m-%d}") for day in range(first, last + 1, max(1, step))]

"""Round dates along an axis: first days of years or months, or single days over a short time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from calculators.drawing.scale import Tick

MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240)
"""Spacings in months; each begins in January, so that the first days of years are among them."""
MOST_YEARS, MOST_MONTHS, MOST_DAYS = 5, 3, 4
"""How many ticks have room on a phone, written 2026, 2026-03 and 03-15."""
DAYS = (1, 2, 5, 10, 15)


def date_ticks(first: int, last: int) -> list[Tick]:
    """Return ticks at round days from first to last, as many as have room; days are those of toordinal().

    They are written as years where all are first days of a year, as year-month for other months, and as
    month-day for single days.
    """
    for spacing in MONTHS:
        starts = [day for day in _month_starts(spacing, first, last) if first <= day.toordinal() <= last]
        if len(starts) <= (MOST_YEARS if spacing % 12 == 0 else MOST_MONTHS):
            break
    if len(starts) < 2:
        return _days(first, last)
    years = all(day.month == 1 for day in starts)
    return [Tick(day.toordinal(), f"{day:%Y}" if years else f"{day:%Y-%m}") for day in starts]


def _month_starts(spacing: int, first: int, last: int) -> Iterator[date]:
    """Yield the first day of every `spacing`th month, counted from year 0, around the days first to last."""
    begin, end = (day.year * 12 + day.month - 1 for day in map(date.fromordinal, (first, last)))
    for count in range(begin - begin % spacing, end + 1, spacing):
        yield date(count // 12, count % 12 + 1, 1)


def _days(first: int, last: int) -> list[Tick]:
    spacing = next((days for days in DAYS if (last - first) // days < MOST_DAYS), last - first)
    return [Tick(day, f"{date.fromordinal(day):%m-%d}") for day in range(first, last + 1, max(1, spacing))]

"""The next days of doors as a calendar file, so that a day opens its own door in the book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from calculators.service_plan.calendar_text import Event, calendar_text
from calculators.shared.words import say

MAKER = "visit"


def dues_calendar(due: Sequence[Mapping[str, Any]], *, made_on: date, words: Mapping[str, str]) -> str | None:
    """Return an RFC 5545 calendar of all-day events, see `calendar_text`; None without days.

    Args:
        due: a row a day: place, leveler, job and why as texts, on as 2026-11-30, address as a whole URI.
        made_on: the day on which the file is made.
        words: sentences by code.

    A day keeps its mark as long as leveler, job and day stay: read again, it replaces itself.
    """
    return calendar_text([_event(row, words) for row in due], made_on=made_on, maker=MAKER)


def _event(row: Mapping[str, Any], words: Mapping[str, str]) -> Event:
    return Event(
        day=date.fromisoformat(row["on"]),
        summary=say(words, "visit.calendar.summary", {"place": row["place"], "job": row["job"]}),
        identity=(row["leveler"], row["job"], row["on"]),
        note=row["why"],
        address=row["address"],
    )

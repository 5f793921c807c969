"""A calendar file with one all-day event a job: RFC 5545 text.

Every job is an event of its own. A rule that repeats would lose what matters here: it skips a month that has
no 31st, and knows no closed days. The text depends on its inputs alone: the same plan gives the same bytes.
An event keeps its UID while its task keeps its name and its latest day, so that a calendar which reads a
later plan changes the event and adds no second one.

Source: RFC 5545: 3.1 lines and folding, 3.3.4 dates, 3.3.11 text, 3.6.1 events, 3.8.4.7 UID, 3.8.7.2 DTSTAMP.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

LONGEST_LINE = 75
"""Octets of UTF-8 in a line, without its end."""
LINE_END = "\r\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One day with a summary; identity is what tells it from every other event, part by part."""

    day: date
    summary: str
    identity: tuple[str, ...]


def calendar_text(events: Sequence[Event], *, made_on: date) -> str | None:
    """Write a calendar file.

    Args:
        events: in the order of the file.
        made_on: the day that the plan is made from; the stamp of every event, in place of a clock.

    Returns:
        The text with CRLF line ends, to be stored as UTF-8; None without events, since a calendar without any
        is not allowed.
    """
    if not events:
        return None
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Half-Turn//service-plan//EN", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += _event_lines(event, made_on)
    lines.append("END:VCALENDAR")
    return "".join(part + LINE_END for line in lines for part in fold(line))


def _event_lines(event: Event, made_on: date) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{uid(event.identity)}",
        f"DTSTAMP:{made_on:%Y%m%d}T000000Z",
        f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{event.day + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escape(event.summary)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def uid(identity: tuple[str, ...]) -> str:
    """Return an identifier that the same parts always give; no part may hold a line break."""
    return f"{hashlib.sha256(chr(10).join(identity).encode()).hexdigest()[:32]}@service-plan.half-turn"


def escape(text: str) -> str:
    """Escape one line of text; the backslash first, or it would escape the others' escapes."""
    for sign in "\\;,":
        text = text.replace(sign, f"\\{sign}")
    return text


def fold(line: str) -> Iterator[str]:
    """Cut a line into parts of 75 octets at most, never inside a sign; a space starts each but the first."""
    part, octets = "", 0
    for sign in line:
        width = len(sign.encode())
        if octets + width > LONGEST_LINE:
            yield part
            part, octets = " ", 1
        part, octets = part + sign, octets + width
    yield part

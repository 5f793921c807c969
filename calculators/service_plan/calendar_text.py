"""A calendar file with one all-day event for each job: RFC 5545 text.

Every job is an event of its own, since a recurrence rule skips months without a 31st and does not know closed
days. The text depends on its inputs alone: the same plan has the same bytes. An event keeps its UID as long
as its task keeps its name and its latest day, so a calendar that reads a later plan changes the event instead
of adding a second one.

Source: RFC 5545: 3.1 lines and folding, 3.3.4 dates, 3.3.11 text, 3.6.1 events, 3.8.1.5 DESCRIPTION,
3.8.4.6 URL, 3.8.4.7 UID, 3.8.7.2 DTSTAMP.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

LONGEST_LINE = 75
"""Most octets of UTF-8 in a line, without its line end."""
LINE_END = "\r\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One day with a summary. The parts of `identity` together distinguish it from every other event."""

    day: date
    summary: str
    identity: tuple[str, ...]
    note: str = ""
    address: str = ""
    """Where the job is opened, as a whole URI; "" where there is none."""


def calendar_text(events: Sequence[Event], *, made_on: date, maker: str) -> str | None:
    """Return a calendar file.

    Args:
        events: in the order of the file.
        made_on: the first day of the plan, the DTSTAMP of every event, so that no clock is needed.
        maker: what in this book wrote the file, "service-plan"; two makers never share a UID.

    Returns:
        The text with CRLF line ends, to be stored as UTF-8; None without events, since RFC 5545 allows no
        empty calendar.
    """
    if not events:
        return None
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:-//Half-Turn//{maker}//EN", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += _event_lines(event, made_on, maker)
    lines.append("END:VCALENDAR")
    return "".join(part + LINE_END for line in lines for part in fold(line))


def _event_lines(event: Event, made_on: date, maker: str) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{uid(event.identity, maker)}",
        f"DTSTAMP:{made_on:%Y%m%d}T000000Z",
        f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{event.day + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escape(event.summary)}",
        *([f"DESCRIPTION:{escape(event.note)}"] if event.note else []),
        *([f"URL:{event.address}"] if event.address else []),
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def uid(identity: tuple[str, ...], maker: str) -> str:
    """Return an identifier that depends on maker and parts alone; no part may contain a line break."""
    return f"{hashlib.sha256(chr(10).join(identity).encode()).hexdigest()[:32]}@{maker}.half-turn"


def escape(text: str) -> str:
    """Return a text escaped (3.3.11); the backslash first, or it would escape the other escapes."""
    for sign in "\\;,":
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", "\\n")


def fold(line: str) -> Iterator[str]:
    """Yield a line in parts of at most 75 octets; a space begins each later part, and no character is cut."""
    part, octets = "", 0
    for sign in line:
        width = len(sign.encode())
        if octets + width > LONGEST_LINE:
            yield part
            part, octets = " ", 1
        part, octets = part + sign, octets + width
    yield part

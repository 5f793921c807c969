"""The page "What changed", and what the phone needs to tell a reader what is new to this phone."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from build_tools.book.book import CHANGES_PAGE
from build_tools.book.changes import NEW, REMOVED, EditionChanges, PageChange, changes_between, history
from build_tools.book.record import EditionRecord
from build_tools.book.withdrawn import WithdrawnPage
from build_tools.reading.pages import address_of
from build_tools.registers.registers import Registers
from build_tools.shown.html_parts import tag
from build_tools.shown.marks import Marks

CHANGES_FILE = "half-turn/changes.json"
EDITIONS_TOLD = 12
"""Older editions are not told apart: a phone that kept one reads the whole page."""


def changes_page(
    records: Sequence[EditionRecord],
    present: EditionRecord,
    withdrawn: Sequence[WithdrawnPage],
    registers: Registers,
) -> str:
    """Return the page as Markdown: the editions, the newest first, and the pages withdrawn."""
    marks = Marks(registers, "")
    editions = history(records, present)[:EDITIONS_TOLD]
    parts: list[object] = [
        f"---\ntitle: {json.dumps(marks.say('changes.title'))}\nkind: reference\n"
        f"summary: {json.dumps(marks.say('changes.summary'))}\nrevised: {present.date}\n---\n",
        f"# {marks.say('changes.title')}\n",
        f"{marks.say('changes.intro')}\n",
        tag("section", data_changes="since", class_="ht-changes-since", hidden=True),
        *_withdrawn(withdrawn, marks),
        *(part for edition in editions for part in _edition(edition, marks)),
    ]
    if not editions:
        parts.append(f"{marks.say('changes.first')}\n")
    return "\n".join(str(part) + "\n" for part in parts)


def changes_data(records: Sequence[EditionRecord], present: EditionRecord) -> dict[str, Any]:
    """Return what half-turn/changes.json holds.

    "marks": every page to read first, the newest edition first; a phone shows those that it has not seen.
    "since": what is different now from each recorded edition, whatever came in between.
    """
    marks = [
        {"mark": change.digest, "url": change.address, "title": change.title, "date": edition.date}
        for edition in history(records, present)[:EDITIONS_TOLD]
        for change in edition.pages
        if change.read_first and change.src in present.pages
    ]
    told = records[-EDITIONS_TOLD:]
    since = {record.date: [_data(change) for change in changes_between(record, present)] for record in told}
    page = address_of(CHANGES_PAGE)
    return {"date": present.date, "page": page, "marks": _newest_only(marks), "since": since}


def _newest_only(marks: list[dict[str, str]]) -> list[dict[str, str]]:
    """A page marked in several editions is read once, in its newest words."""
    newest: dict[str, dict[str, str]] = {}
    for mark in marks:
        newest.setdefault(mark["url"], mark)
    return list(newest.values())


def _data(change: PageChange) -> dict[str, Any]:
    return {
        "url": None if change.kind == REMOVED else change.address,
        "title": change.title,
        "kind": change.kind,
        "was": list(change.was),
        "now": [] if change.kind == NEW else list(change.now),
    }


def _withdrawn(withdrawn: Sequence[WithdrawnPage], marks: Marks) -> list[object]:
    if not withdrawn:
        return []
    rows = [
        tag("li", marks.say("changes.withdrawn-page", page=row.page, date=row.before), " ", row.reason)
        for row in withdrawn
    ]
    return [f"## {marks.say('changes.withdrawn')}\n", tag("ul", *rows, class_="ht-withdrawn")]


def _edition(edition: EditionChanges, marks: Marks) -> list[object]:
    heading = f"## {marks.say('changes.edition', date=edition.date)}\n"
    rows = [_page(change, marks) for change in edition.pages]
    return [heading, tag("div", *rows, class_="ht-edition-changes", data_edition_date=edition.date)]


def _page(change: PageChange, marks: Marks) -> Markup:
    title = change.title if change.kind == REMOVED else tag("a", change.title, href=change.address)
    told = {NEW: "changes.new", REMOVED: "changes.removed"}.get(change.kind)
    return tag(
        "section",
        tag("h3", title),
        tag("p", marks.say("changes.read-first"), class_="ht-read-first-mark") if change.read_first else None,
        tag("p", marks.say(told)) if told else None,
        *(tag("p", tag("del", sentence)) for sentence in change.was),
        *(tag("p", tag("ins", sentence)) for sentence in (() if change.kind == NEW else change.now)),
        class_="ht-row",
        data_change=change.kind,
        data_page=change.src,
    )

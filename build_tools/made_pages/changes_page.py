"""The page "What changed", and the file from which a phone shows its reader what is new on this phone."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TypedDict

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
EDITIONS_COMPARED = 12
"""How many editions are compared: a phone with an older one shows the whole page."""


class PageToRead(TypedDict):
    """A page to read before the next job. Its `mark` is a hash of its words: a phone shows it once."""

    mark: str
    url: str
    title: str
    date: str


class ChangedPage(TypedDict):
    """A page that differs; `kind` is "new", "changed" or "removed", and a removed page has no address."""

    url: str | None
    title: str
    kind: str
    was: list[str]
    now: list[str]


class ChangesData(TypedDict):
    """The contents of half-turn/changes.json. Dates are YYYY-MM-DD, addresses from the site's root."""

    date: str
    page: str
    """The address of "What changed"."""
    marks: list[PageToRead]
    """Newest edition first; a phone shows those that it has not shown yet."""
    since: dict[str, list[ChangedPage]]
    """By an edition's date: how this edition differs from it, whatever came in between."""


def changes_page(
    records: Sequence[EditionRecord],
    present: EditionRecord,
    withdrawn: Sequence[WithdrawnPage],
    registers: Registers,
) -> str:
    """Return the page as Markdown: withdrawn pages, then the editions, newest first.

    Args:
        records: the editions recorded so far, oldest first.
        present: this edition.
        withdrawn: the rows of the register of withdrawn pages.
        registers: for the words.
    """
    marks = Marks(registers, "")
    editions = history(records, present)[:EDITIONS_COMPARED]
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


def changes_data(records: Sequence[EditionRecord], present: EditionRecord) -> ChangesData:
    """Return the contents of half-turn/changes.json; `records` are the earlier editions, oldest first."""
    to_read: list[PageToRead] = [
        {"mark": change.digest, "url": change.address, "title": change.title, "date": edition.date}
        for edition in history(records, present)[:EDITIONS_COMPARED]
        for change in edition.pages
        if change.read_first and change.src in present.pages
    ]
    # A phone knows only the day of its edition: where a day has several, it is told from the first.
    earlier = {old.date: old for old in reversed(records[-EDITIONS_COMPARED:])}
    since = {
        date: [_data(change) for change in changes_between(old, present)]
        for date, old in sorted(earlier.items())
    }
    page = address_of(CHANGES_PAGE)
    return {"date": present.date, "page": page, "marks": _newest_only(to_read), "since": since}


def _newest_only(to_read: list[PageToRead]) -> list[PageToRead]:
    """Return each page once, with its newest words."""
    newest: dict[str, PageToRead] = {}
    for page in to_read:
        newest.setdefault(page["url"], page)
    return list(newest.values())


def _data(change: PageChange) -> ChangedPage:
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
    code = {NEW: "changes.new", REMOVED: "changes.removed"}.get(change.kind)
    return tag(
        "section",
        tag("h3", title),
        tag("p", marks.say("changes.read-first"), class_="ht-read-first-mark") if change.read_first else None,
        tag("p", marks.say(code)) if code else None,
        *(tag("p", tag("del", sentence)) for sentence in change.was),
        *(tag("p", tag("ins", sentence)) for sentence in (() if change.kind == NEW else change.now)),
        class_="ht-row",
        data_change=change.kind,
        data_page=change.src,
    )

"""What changed from one edition to another, sentence by sentence, and which pages a phone shows first."""

from __future__ import annotations

import difflib
import hashlib
import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from build_tools.book.record import EditionRecord, PageRecord
from build_tools.reading.pages import address_of

NEW, CHANGED, REMOVED = "new", "changed", "removed"


@dataclass(frozen=True, slots=True)
class PageChange:
    """A page that differs between two editions. `was` and `now` are the sentences that differ."""

    src: str
    title: str
    kind: str
    was: tuple[str, ...]
    now: tuple[str, ...]
    read_first: bool
    digest: str
    """A hash of the page's words, 12 hex digits: a phone announces the same words of a page once."""

    @property
    def address(self) -> str:
        """The page's address from the site's root."""
        return address_of(self.src)


@dataclass(frozen=True, slots=True)
class EditionChanges:
    """What an edition changed from the one before it."""

    date: str
    pages: tuple[PageChange, ...]


def changes_between(old: EditionRecord, new: EditionRecord) -> tuple[PageChange, ...]:
    """Return the pages that differ, by path; what changed and changed back in between does not count."""
    changes = [
        _page_change(src, old.pages.get(src), new.pages.get(src)) for src in sorted({*old.pages, *new.pages})
    ]
    return tuple(change for change in changes if change is not None)


def history(records: Sequence[EditionRecord], present: EditionRecord) -> tuple[EditionChanges, ...]:
    """Return what each edition changed, newest first; the oldest has nothing to be compared with."""
    line = [*records, present] if not records or records[-1].pages != present.pages else list(records)
    changes = [EditionChanges(new.date, changes_between(old, new)) for old, new in itertools.pairwise(line)]
    return tuple(reversed(changes))


def _page_change(src: str, old: PageRecord | None, new: PageRecord | None) -> PageChange | None:
    if old is None and new is not None:
        return PageChange(src, new.title, NEW, (), new.sentences, new.read_first, _digest(src, new))
    if new is None and old is not None:
        return PageChange(src, old.title, REMOVED, (), (), read_first=False, digest=_digest(src, old))
    if old is None or new is None or (old.sentences, old.title) == (new.sentences, new.title):
        return None
    was, now = _differing(old.sentences, new.sentences)
    if old.title != new.title:
        was, now = (old.title, *was), (new.title, *now)
    return PageChange(src, new.title, CHANGED, was, now, new.read_first, _digest(src, new))


def _differing(old: Sequence[str], new: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    was: list[str] = []
    now: list[str] = []
    for tag, old_from, old_to, new_from, new_to in difflib.SequenceMatcher(
        None, old, new, False
    ).get_opcodes():
        if tag != "equal":
            was += old[old_from:old_to]
            now += new[new_from:new_to]
    return tuple(was), tuple(now)


def _digest(src: str, page: PageRecord) -> str:
    return hashlib.sha256("\n".join([src, page.title, *page.sentences]).encode()).hexdigest()[:12]

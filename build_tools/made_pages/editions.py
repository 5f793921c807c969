"""All editions of a book: what the site needs for the page "What changed" and for the phones."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from build_tools.book.book import Book
from build_tools.book.record import EditionRecord, read_records, record_of
from build_tools.book.withdrawn import Withdrawal, WithdrawnPage, read_withdrawn
from build_tools.made_pages.changes_page import CHANGES_FILE, changes_data, changes_page


@dataclass(frozen=True)
class EditionHistory:
    """The editions recorded so far (oldest first), the present one, and the withdrawn pages."""

    records: list[EditionRecord]
    present: EditionRecord
    withdrawn: list[WithdrawnPage]

    def page(self, book: Book) -> str:
        """Return "What changed" as Markdown."""
        return changes_page(self.records, self.present, self.withdrawn, book.registers)

    def files(self) -> Mapping[str, bytes]:
        """Return the files that the browser reads, their bytes by address on the site."""
        data = changes_data(self.records, self.present)
        return {CHANGES_FILE: json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode()}

    def for_edition(self) -> list[Withdrawal]:
        """Return the withdrawn pages as edition.json lists them."""
        return [page.for_edition() for page in self.withdrawn]


def read_editions(book: Book, *, date: str) -> EditionHistory:
    """Read the records and withdrawn pages of a book without problems; `date` is that of this edition."""
    records, _ = read_records(book)
    withdrawn, _ = read_withdrawn(book, {src for record in records for src in record.pages})
    return EditionHistory(records, record_of(book, date), withdrawn)

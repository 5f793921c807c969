"""The register of withdrawn pages, which phones cover with "Do not use" as soon as they learn of it."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from typing import TypedDict
from urllib.parse import quote

from build_tools.book.book import REGISTERS, Book
from build_tools.reading.pages import address_of
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import Key, Shape, check_shape
from build_tools.registers.reader import RegisterReader

WITHDRAWN = "withdrawn.yml"
_SHAPE: Shape = {
    "page": Key("text", "phones cover this page", "procedures/time-the-lip-fold.md"),
    "before": Key("date", "copies in editions before this day are covered", "2026-11-20"),
    "reason": Key("text", "the technician must learn why", "The step order was wrong."),
}


class Withdrawal(TypedDict):
    """A withdrawn page in edition.json: its copies in editions dated before `before` must not be used."""

    url: str
    """The page's address from the site's root."""
    before: str
    """YYYY-MM-DD"""


@dataclass(frozen=True, slots=True)
class WithdrawnPage:
    """A row of the register: copies of `page` in editions dated before `before` must not be used."""

    page: str
    before: str
    reason: str
    file: str
    line: int

    def for_edition(self) -> Withdrawal:
        """Return the entry of edition.json."""
        return {"url": quote(address_of(self.page)), "before": self.before}


def read_withdrawn(book: Book, recorded: Container[str]) -> tuple[list[WithdrawnPage], list[Problem]]:
    """Read withdrawn.yml; return its good rows and all problems.

    A page counts as known where the book has it or `recorded`, the pages of all recorded editions, has it.
    """
    reader = RegisterReader(book.docs / REGISTERS)
    root = reader.read(WITHDRAWN)
    if root is None or root.value is None:
        return [], reader.problems
    file = reader.file(WITHDRAWN)
    if not isinstance(root.value, list):
        what, why = f"{WITHDRAWN} is not a list", "each withdrawn page is one item of a list"
        fix = "start each row with `- page: ...`"
        return [], [*reader.problems, Problem(file, root.line, what, why, fix)]
    found = []
    for row in root.value:
        problems = check_shape(row, _SHAPE, file=file, subject="a withdrawn page")
        if not problems:
            texts = {key: row.value[key].written for key in _SHAPE}
            withdrawn = WithdrawnPage(**texts, file=file, line=row.line)
            problems = _check(withdrawn, book, recorded)
        reader.problems += problems
        found += [] if problems else [withdrawn]
    return found, reader.problems


def _check(withdrawn: WithdrawnPage, book: Book, recorded: Container[str]) -> list[Problem]:
    page = book.pages.get(withdrawn.page)
    if page is None:
        if withdrawn.page in recorded:
            return []
        what = f"a page is withdrawn that no edition had: '{withdrawn.page}'"
        why = "the page that was meant would stay in use"
        fix = suggestion(withdrawn.page, book.pages, otherwise="write its path in the content folder")
        return [Problem(withdrawn.file, withdrawn.line, what, why, fix)]
    revised = page.text("revised")
    if revised >= withdrawn.before:
        return []
    what = f"'{withdrawn.page}' is withdrawn before {withdrawn.before}, but was last revised {revised}"
    why = "the words that are withdrawn would still stand in this edition"
    fix = "correct the page and set its `revised`, or take the page out of the book"
    return [Problem(withdrawn.file, withdrawn.line, what, why, fix)]

"""Each page has one job: above its first section it says what it is not for. Home alone is for everything."""

from __future__ import annotations

from collections.abc import Iterable

from build_tools.book.book import MADE_PAGES, Book
from build_tools.reading.pages import Page
from build_tools.reading.phrases import phrase_pattern
from build_tools.reading.problems import Problem

HOME = "home"
WORDS = "book.not-for"
"""The code of the words by which such a sentence is known, "not for" in English."""


def check_scope(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Give every page that does not say what it is not for."""
    words = book.registers.words.get(WORDS, "")
    return [
        _unbounded(page, words)
        for page in pages
        if words and page.src not in MADE_PAGES and page.kind not in ("", HOME) and not _says(page, words)
    ]


def _says(page: Page, words: str) -> bool:
    first = min((heading.line for heading in page.scan.headings if heading.level > 1), default=None)
    told = (sentence for passage in page.passages for sentence in passage.sentences)
    shape = phrase_pattern(words)
    return any(shape.search(each.plain) for each in told if first is None or each.line < first)


def _unbounded(page: Page, words: str) -> Problem:
    line = next((heading.line for heading in page.scan.headings if heading.level == 1), 1)
    what = "the page does not say what it is not for"
    why = "a reader with another job in hand would do this one"
    fix = f"above the first section write a sentence with the words '{words}', and link to the page that is"
    return Problem(page.file, line, what, why, fix)

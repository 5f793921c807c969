"""What every page says it is not for, and what every procedure ends with: when to stop, and the full cycle.

The page of the operating cycle says `closing_cycle: here` in its front matter. Every other procedure has a
step after its first that links to it: a cycle before the work shows nothing about the work. A procedure that
changes nothing on the leveler says `closing_cycle: not needed`.
Every page but the home page says above its first section what it is not for.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator

from build_tools.book.book import MADE_PAGES, Book
from build_tools.reading.lines import Scan
from build_tools.reading.pages import CLOSING_HERE, Page
from build_tools.reading.phrases import phrase_pattern
from build_tools.reading.problems import Problem

HOME = "home"
NOT_FOR = "book.not-for"
"""The code of the words by which such a sentence is known, "not for" in English."""


def check_procedures(book: Book) -> list[Problem]:
    """Return every procedure that has no stop condition or does not end with the operating cycle."""
    closing = {src for src, page in book.pages.items() if page.text("closing_cycle") == CLOSING_HERE}
    found = []
    for page in book.pages.values():
        if page.kind == "procedure":
            found += _stops(page, book.registers.words.get("book.section.stop", ""))
            found += _closes(page, closing)
    return found


def _stops(page: Page, title: str) -> list[Problem]:
    headings = [heading for heading in page.scan.headings if heading.level <= 2]
    start = next((heading.line for heading in headings if heading.text == title), None)
    if start is None:  # told as a missing section
        return []
    end = min((heading.line for heading in headings if heading.line > start), default=None)
    lines = page.scan.masked.split("\n")[start : end - 1 if end else None]
    if any(line.lstrip().startswith(("- ", "* ", "+ ")) for line in lines):
        return []
    what = f"the section '{title}' names no condition"
    why = "the technician must know before the work what ends it"
    return [
        Problem(page.file, start, what, why, "write a list, each item starting with `- `: what is then so")
    ]


def _closes(page: Page, closing: set[str]) -> list[Problem]:
    if page.text("closing_cycle") or not page.scan.steps:
        return []
    if any(target in closing for target in _later_targets(page)):
        return []
    line = page.scan.steps[-1].line
    what = "the procedure does not end with the operating cycle"
    why = "only a full cycle shows that the leveler works as it should after the work"
    names = ", ".join(sorted(closing)) or "a page with `closing_cycle: here`"
    fix = f"link a step after the first to {names}, or write `closing_cycle: not needed` in the front matter"
    return [Problem(page.file, line, what, why, fix)]


def _later_targets(page: Page) -> Iterator[str]:
    """Return the pages that the steps after the first link to, by their paths in the docs folder."""
    for link in page.scan.links:
        if _step_number(page.scan, link.line) > 1:
            path = link.target.partition("#")[0]
            yield posixpath.normpath(posixpath.join(posixpath.dirname(page.src), path)) if path else page.src


def _step_number(scan: Scan, line: int) -> int:
    """Count the steps up to the one in which a line stands; 0 for a line outside the steps' blocks."""
    ends = {block.line: block.end or len(scan.text) for block in scan.blocks if block.name == "steps"}
    inside = any(start < line < end for start, end in ends.items())
    return sum(step.line <= line for step in scan.steps) if inside else 0


def check_scope(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every page that does not say what it is not for."""
    words = book.registers.words.get(NOT_FOR, "")
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

"""What every procedure ends with: when to stop, and the full operating cycle.

The page of the operating cycle says `closing_cycle: here` in its front matter. Every other procedure has a
step after its first that links to it: a cycle before the work shows nothing about the work. A procedure that
changes nothing on the leveler says `closing_cycle: not needed`.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterator

from build_tools.book.book import Book
from build_tools.reading.lines import Scan
from build_tools.reading.pages import CLOSING_HERE, Page
from build_tools.reading.problems import Problem


def check_procedures(book: Book) -> list[Problem]:
    """Give every procedure that has no stop condition or does not end with the operating cycle."""
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
    """Give the pages that the steps after the first link to, by their paths in the docs folder."""
    for link in page.scan.links:
        if _step_number(page.scan, link.line) > 1:
            path = link.target.partition("#")[0]
            yield posixpath.normpath(posixpath.join(posixpath.dirname(page.src), path)) if path else page.src


def _step_number(scan: Scan, line: int) -> int:
    """Count the steps up to the one in which a line stands; 0 for a line outside the steps' blocks."""
    ends = {block.line: block.end or len(scan.text) for block in scan.blocks if block.name == "steps"}
    inside = any(start < line < end for start, end in ends.items())
    return sum(step.line <= line for step in scan.steps) if inside else 0

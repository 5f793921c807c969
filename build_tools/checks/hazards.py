"""Hazards of a procedure: what the front matter declares stands before the step that needs it."""

from __future__ import annotations

from collections.abc import Iterable

from build_tools.book.book import Book
from build_tools.reading.marked_yaml import Node
from build_tools.reading.pages import SECTIONS, Page
from build_tools.reading.problems import Problem, closest, suggestion


def check_hazards(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every problem with hazards, `takes` and sections of pages."""
    found = []
    for page in pages:
        shown = _first_shown(page)
        for hazard, step in page.hazards.items():
            found += _declared(page, hazard, step, shown, book)
        found += _takes(page, book)
        if page.kind == "procedure":
            found += _undeclared(page, shown, book) + _sections(page, book)
    return found


def _first_shown(page: Page) -> dict[str, int]:
    shown: dict[str, int] = {}
    for block in page.scan.blocks:
        if block.name == "hazard":
            shown.setdefault(block.argument, block.line)
    return shown


def _declared(page: Page, hazard: str, step: Node, shown: dict[str, int], book: Book) -> list[Problem]:
    known = {*book.registers.hazards, *book.registers.left_out}
    lines = {found.id: found.line for found in page.scan.steps if found.id}
    needed = lines.get(step.written)
    line = step.line
    if hazard not in known:
        what, why = f"unknown hazard '{hazard}'", "content/registers/hazards.yml has no such id"
        fix = suggestion(hazard, book.registers.hazards, otherwise="add it to the register")
    elif needed is None:
        what = f"hazard '{hazard}' is declared for the step '{step.written}', which is not on the page"
        why = "nobody can tell whether the caution comes in time"
        fix = suggestion(step.written, lines, otherwise="write the id of the first step that needs it")
    elif hazard not in shown:
        what = f"hazard '{hazard}' is declared but never shown"
        why = f"the reader reaches the step '{step.written}' without it"
        fix = f"write `/// hazard | {hazard}` and `///` before line {needed}"
    elif shown[hazard] > needed:
        line = shown[hazard]
        what = f"hazard '{hazard}' stands after the step '{step.written}' that needs it (line {needed})"
        why, fix = "the reader would be warned too late", f"move the hazard block above line {needed}"
    else:
        return []
    return [Problem(page.file, line, what, why, fix)]


def _undeclared(page: Page, shown: dict[str, int], book: Book) -> list[Problem]:
    found = []
    for hazard, line in shown.items():
        if hazard in page.hazards or hazard not in book.registers.hazards:
            continue
        step = next((step.id for step in page.scan.steps if step.id and step.line > line), "the-step-id")
        what = f"hazard '{hazard}' is shown but not declared in the front matter"
        why = "the list at the top of the procedure would leave it out"
        found.append(Problem(page.file, line, what, why, f"add `{hazard}: {step}` under `hazards:`"))
    return found


def _takes(page: Page, book: Book) -> list[Problem]:
    takes = page.fields.get("takes")
    known = {*book.registers.figures, *book.registers.left_out}
    if takes is None or takes.value is None or takes.written in known:
        return []
    what = f"'takes' names an unknown figure '{takes.written}'"
    fix = suggestion(takes.written, book.registers.figures, otherwise="add it to the register")
    return [Problem(page.file, takes.line, what, "content/registers/figures.yml has no such id", fix)]


def _sections(page: Page, book: Book) -> list[Problem]:
    present = [heading.text for heading in page.scan.headings if heading.level == 2]
    words = book.registers.words
    names = [words[f"book.section.{code}"] for code in SECTIONS if f"book.section.{code}" in words]
    why = f"every procedure has the same four, so that nobody searches: {', '.join(names)}"
    found = []
    for name in names:
        if name not in present:
            near = closest(name, present)
            fix = f"add a line `## {name}`" + (f" (there is '{near}')" if near else "")
            what = f"the procedure has no section '{name}'"
            found.append(Problem(page.file, page.scan.body_line, what, why, fix))
    return found

"""Hazards of a procedure: what the front matter declares must stand on the page before the step that needs it."""

from __future__ import annotations

from build_tools.book import Book
from build_tools.marked_yaml import Node
from build_tools.pages import SECTIONS, Page
from build_tools.problems import Problem, closest


def check_hazards(book: Book) -> list[Problem]:
    """Give every problem with hazards, `takes` and sections of all pages."""
    found = []
    for page in book.pages.values():
        first_shown = _first_shown(page)
        for hazard, step in page.hazards.items():
            found += _declared(page, hazard, step, first_shown, book)
        found += _takes(page, book)
        if page.kind == "procedure":
            found += _undeclared(page, first_shown, book) + _sections(page)
    return found


def _first_shown(page: Page) -> dict[str, int]:
    shown: dict[str, int] = {}
    for block in page.scan.blocks:
        if block.name == "hazard":
            shown.setdefault(block.argument, block.line)
    return shown


def _declared(page: Page, hazard: str, step: Node, shown: dict[str, int], book: Book) -> list[Problem]:
    if hazard not in book.registers.hazards:
        near = closest(hazard, book.registers.hazards)
        return [Problem(page.file, step.line, f"unknown hazard '{hazard}'",
                        "content/registers/hazards.yml has no such id",
                        f"write '{near}' (closest id), or add it to the register" if near
                        else "add it to the register")]
    lines = {found.id: found.line for found in page.scan.steps if found.id}
    needed = lines.get(step.written)
    if needed is None:
        near = closest(step.written, lines)
        return [Problem(page.file, step.line, f"hazard '{hazard}' is declared for the step '{step.written}', which is "
                        "not on the page", "nobody can tell whether the caution comes in time",
                        f"write '{near}' (closest step id)" if near else "write the id of the first step that needs it")]
    if hazard not in shown:
        return [Problem(page.file, step.line, f"hazard '{hazard}' is declared but never shown",
                        f"the reader reaches the step '{step.written}' without it",
                        f"write `/// hazard | {hazard}` and `///` before line {needed}")]
    if shown[hazard] > needed:
        return [Problem(page.file, shown[hazard], f"hazard '{hazard}' stands after the step '{step.written}' that needs it "
                        f"(line {needed})", "the reader would be warned too late",
                        f"move the hazard block above line {needed}")]
    return []


def _undeclared(page: Page, shown: dict[str, int], book: Book) -> list[Problem]:
    following = [(step.line, step.id) for step in page.scan.steps if step.id]
    found = []
    for hazard, line in shown.items():
        if hazard in page.hazards or hazard not in book.registers.hazards:
            continue
        step = next((id_ for at, id_ in following if at > line), "the-step-id")
        found.append(Problem(page.file, line, f"hazard '{hazard}' is shown but not declared in the front matter",
                             "the list at the top of the procedure would leave it out",
                             f"add `{hazard}: {step}` under `hazards:`"))
    return found


def _takes(page: Page, book: Book) -> list[Problem]:
    takes = page.fields.get("takes")
    if takes is None or takes.value is None or takes.written in book.registers.figures:
        return []
    near = closest(takes.written, book.registers.figures)
    return [Problem(page.file, takes.line, f"'takes' names an unknown figure '{takes.written}'",
                    "content/registers/figures.yml has no such id",
                    f"write '{near}' (closest id), or add it to the register" if near else "add it to the register")]


def _sections(page: Page) -> list[Problem]:
    present = [heading.text for heading in page.scan.headings if heading.level == 2]
    return [Problem(page.file, page.scan.body_line, f"the procedure has no section '{name}'",
                    f"every procedure has the same four, so that nobody searches: {', '.join(SECTIONS)}",
                    f"add a line `## {name}`" + (f" (there is '{near}')" if (near := closest(name, present)) else ""))
            for name in SECTIONS if name not in present]

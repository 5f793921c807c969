"""Blocks and steps as written: known, closed, rightly named, every step with an id of its own."""

from __future__ import annotations

from build_tools.blocks import BLOCK_NAMES
from build_tools.book import Book
from build_tools.lines import Block
from build_tools.pages import Page
from build_tools.problems import Problem, closest
from build_tools.shapes import ID
from calculators._run import NAMES


def check_blocks(book: Book) -> list[Problem]:
    """Give every problem with the blocks and steps of all pages."""
    found = []
    for page in book.pages.values():
        for block in page.scan.blocks:
            found += _block(page, block, book)
        found += [Problem(page.file, line, "closing slashes that close no block",
                          "the block was meant to start above and did not",
                          "remove the line, or write `/// name | argument` where the block starts")
                  for line in page.scan.stray_ends]
        found += _steps(page)
    return found


def _block(page: Page, block: Block, book: Book) -> list[Problem]:
    if block.name not in BLOCK_NAMES:
        near = closest(block.name, BLOCK_NAMES)
        return [Problem(page.file, block.line, f"unknown block '{block.name}'",
                        "the page would show the slashes as text",
                        f"write '{near}' (closest)" if near else f"use one of: {', '.join(BLOCK_NAMES)}")]
    found = []
    if block.end is None:
        found.append(Problem(page.file, block.line, f"the {block.name} block is never closed",
                             "it would swallow the rest of the page", "write a line `///` where it ends"))
    if block.name == "hazard":
        found += _named(page, block, book.registers.hazards, "hazard", "content/registers/hazards.yml has no such id")
    if block.name == "calculator":
        found += _named(page, block, NAMES, "calculator", "calculators/ has none of this name")
    if block.name == "steps" and not any(step.block == block.line for step in page.scan.steps):
        found.append(Problem(page.file, block.line, "the steps block has no numbered list",
                             "only the items of a numbered list become steps", "start each step with `1. `"))
    return found


def _named(page: Page, block: Block, known: object, noun: str, why: str) -> list[Problem]:
    names = list(known)  # type: ignore[call-overload]
    if block.argument in names:
        return []
    if not block.argument:
        return [Problem(page.file, block.line, f"the {noun} block names no {noun}", "nothing can be shown",
                        f"write `/// {noun} | {names[0] if names else 'its-id'}` (an example)")]
    near = closest(block.argument, names)
    return [Problem(page.file, block.line, f"unknown {noun} '{block.argument}'", why,
                    f"write '{near}' (closest id)" if near else f"use one of: {', '.join(sorted(names))}")]


def _steps(page: Page) -> list[Problem]:
    found = []
    seen: dict[str, int] = {}
    for step in page.scan.steps:
        if step.id is None:
            found.append(Problem(page.file, step.line, f"the step '{_start(step.text)}' has no id",
                                 "ticks, links and records find a step by its id",
                                 "write one at the end of the line, {#like-this}, or run "
                                 "`python3 -m build_tools check --fix`"))
        elif not ID.fullmatch(step.id):
            found.append(Problem(page.file, step.line, f"the step id '{step.id}' is malformed",
                                 "links and records need an id that never needs quoting",
                                 "use small letters, digits and single hyphens, a letter first"))
        elif step.id in seen:
            found.append(Problem(page.file, step.line, f"the step id '{step.id}' stands twice (first on line "
                                 f"{seen[step.id]})", "a tick or a link could mean either step",
                                 "give this step another id"))
        else:
            seen[step.id] = step.line
    return found


def _start(text: str) -> str:
    return text if len(text) <= 40 else text[:39].rstrip() + "…"

"""Blocks and steps: written as they should be, and taken by Markdown for what they are."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping

from build_tools.blocks.blocks import BLOCK_NAMES
from build_tools.blocks.pocket_card import NAME as CARD
from build_tools.blocks.pocket_card_block import check_pocket_card
from build_tools.blocks.rendering import Rendered
from build_tools.book.book import Book
from build_tools.book.fault_words import FAULT_PATH
from build_tools.checks.drawings import check_drawing, check_terms
from build_tools.checks.figures import use_problems
from build_tools.reading.lines import Block, Step
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import ID
from build_tools.reading.stamps import expected_stamps
from calculators.answering import NAMES

_NO_STEP = re.compile(r" {0,3}(?:\d+[.)](?![\s\d])|\d+\)[ \t]|[-*+][ \t])")
"""The start of a line at the margin that is meant as a step, and that is none of the numbered list."""


def check_blocks(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every problem with the blocks and steps of pages."""
    found = []
    for page in pages:
        for block in page.scan.blocks:
            found += _block(page, block, book)
        found += _twice(page)
        for line in page.scan.stray_ends:
            what, why = "closing slashes that close no block", "the block meant here did not start"
            fix = "remove the line, or write `/// name | argument` where the block starts"
            found.append(Problem(page.file, line, what, why, fix))
        found += _steps(page) + _look_like_steps(page)
    return found


def _block(page: Page, block: Block, book: Book) -> list[Problem]:
    if block.name not in BLOCK_NAMES:
        what, why = f"unknown block '{block.name}'", "the page would show the slashes as text"
        fix = suggestion(block.name, BLOCK_NAMES, otherwise=f"use one of: {', '.join(BLOCK_NAMES)}")
        return [Problem(page.file, block.line, what, why, fix)]
    found = []
    if block.end is None:
        what, why = f"the {block.name} block is never closed", "it would swallow the rest of the page"
        found.append(Problem(page.file, block.line, what, why, "write a line `///` where it ends"))
    if block.name == "hazard":
        known = {*book.registers.hazards, *book.registers.left_out}
        found += _argument(page, block, known, "content/registers/hazards.yml has no such id")
    if block.name == FAULT_PATH:
        known = {*book.registers.faults, *book.registers.left_out}
        found += _argument(page, block, known, "content/registers/faults.yml has no such id")
    if block.name == "calculator":
        found += _argument(page, block, NAMES, "calculators/ has none of this name")
    if block.name == "drawing":
        found += check_drawing(page, block, book.registers)
    if block.name == "terms":
        found += check_terms(page, block, book.registers)
    if block.name == CARD:
        found += check_pocket_card(page, block, book.registers)
    if block.name == "steps" and not any(step.block == block.line for step in page.scan.steps):
        what = "the steps block has no numbered list"
        why = "only the items of a numbered list become steps"
        found.append(Problem(page.file, block.line, what, why, "start each step with `1. `"))
    return found


def _look_like_steps(page: Page) -> list[Problem]:
    """Give each line of a steps block that is meant as an item and is none of the numbered list."""
    with_steps = {step.block for step in page.scan.steps}
    spans = [range(block.line, block.end or 0) for block in page.scan.blocks if block.line in with_steps]
    why = "it would lose its number and its tick, and the steps after it would count on wrong"
    fix = "write `1. ` and the step, a space after the dot, with its id at the end: {#like-this}"
    return [
        Problem(page.file, number, f"the line '{_start(line.strip())}' is no step", why, fix)
        for number, line in page.scan.body_lines()
        if _NO_STEP.match(line) and any(number in span for span in spans)
    ]


def _twice(page: Page) -> list[Problem]:
    seen: dict[str, int] = {}
    found = []
    for block in page.scan.blocks:
        if block.name != "calculator":
            continue
        if block.argument in seen:
            what = f"the calculator '{block.argument}' stands twice (first on line {seen[block.argument]})"
            why = "what is typed into one would overwrite what is kept of the other"
            fix = f"link to the first one instead: [...](#{block.argument})"
            found.append(Problem(page.file, block.line, what, why, fix))
        seen.setdefault(block.argument, block.line)
    return found


def _argument(page: Page, block: Block, known: Collection[str], why: str) -> list[Problem]:
    if block.argument in known:
        return []
    names = sorted(known)
    if not block.argument:
        what = f"the {block.name} block names no {block.name}"
        example = names[0] if names else "its-id"
        fix = f"write `/// {block.name} | {example}` (an example)"
        return [Problem(page.file, block.line, what, "nothing can be shown", fix)]
    fix = suggestion(block.argument, names, otherwise=f"use one of: {', '.join(names)}")
    return [Problem(page.file, block.line, f"unknown {block.name} '{block.argument}'", why, fix)]


def _steps(page: Page) -> list[Problem]:
    found = []
    seen: dict[str, int] = {}
    for step in page.scan.steps:
        problem = _step(page, step, seen)
        if problem is not None:
            found.append(problem)
        elif step.id is not None:
            seen[step.id] = step.line
    return found


def _step(page: Page, step: Step, seen: dict[str, int]) -> Problem | None:
    if step.id is None:
        what = f"the step '{_start(step.text)}' has no id"
        why = "ticks, links and records find a step by its id"
        fix = "write one at the end of the line, {#like-this}, or run `python3 -m build_tools check --fix`"
    elif not ID.fullmatch(step.id):
        what = f"the step id '{step.id}' is malformed"
        why = "links and records need an id that never needs quoting"
        fix = "use small letters, digits and single hyphens, a letter first"
    elif step.id in seen:
        what = f"the step id '{step.id}' stands twice (first on line {seen[step.id]})"
        why, fix = "a tick or a link could mean either step", "give this step another id"
    else:
        return None
    return Problem(page.file, step.line, what, why, fix)


def _start(text: str) -> str:
    return text if len(text) <= 40 else text[:39].rstrip() + "…"


def check_rendered(book: Book, rendered: Mapping[str, Rendered]) -> list[Problem]:
    """Return a problem for each block, figure and step that Markdown did not take for one.

    What the other checks have named already, such as an unknown figure, is left out.
    """
    why = "Markdown reads the line as plain text here, and so would the technician"
    fix = "look at the indent (none, or four spaces inside a list item) and leave an empty line around it"
    found = []
    for src, page in book.pages.items():
        expected = expected_stamps(page.scan)
        missing = {stamp: expected[stamp] for stamp in expected.keys() - rendered[src].stamps}
        if not missing or _blocks_are_broken(page):
            continue
        named = set(_named_already(page, book))
        for stamp, what in missing.items():
            if stamp not in named:
                found.append(Problem(page.file, stamp[1], f"{what} does not come out as one", why, fix))
    return found


def _named_already(page: Page, book: Book) -> Iterator[tuple[str, int]]:
    for use in page.scan.figure_uses:
        unknown = use_problems(book.registers, page.file, use.line, use.id, use.part)
        if unknown or use.id in book.registers.left_out:
            yield "figure", use.line
    for block in page.scan.blocks:
        if block.name == "drawing" and check_drawing(page, block, book.registers):
            yield "block", block.line


def _blocks_are_broken(page: Page) -> bool:
    blocks = page.scan.blocks
    return bool(page.scan.stray_ends) or any(
        block.end is None or block.name not in BLOCK_NAMES for block in blocks
    )

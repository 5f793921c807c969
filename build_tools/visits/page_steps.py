"""The steps of a page as a visit needs them: their order, what stands before each, and ranges of them."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from build_tools.book.fault_words import FAULT_PATH
from build_tools.reading.lines import Step
from build_tools.reading.pages import Page
from build_tools.registers.sequences import RANGE


@dataclass(frozen=True, slots=True)
class PageStep:
    """One step: hazards that stand between it and the step before, whether a drawing does, where it links."""

    step: Step
    hazards: tuple[str, ...]
    drawing: bool
    leads_to: tuple[str, ...]
    """Pages, with their anchors, in the order of its links; from the docs folder."""

    @property
    def id(self) -> str:
        """The step's id; a step without one is named by the checks."""
        return self.step.id or ""


def page_steps(page: Page) -> list[PageStep]:
    """Return the page's steps in order."""
    steps = page.scan.steps
    found = []
    for number, step in enumerate(steps):
        before = steps[number - 1].line if number else 0
        between = [block for block in page.scan.blocks if before < block.line < step.line]
        end = min([item.line for item in steps[number + 1 : number + 2]] + [_block_end(page, step)])
        hazards = tuple(dict.fromkeys(block.argument for block in between if block.name == "hazard"))
        drawing = bool(number) and any(block.name == "drawing" for block in between)
        links = [link for link in page.scan.links if step.line <= link.line < end and not link.is_image]
        found.append(PageStep(step, hazards, drawing, tuple(_target(page, link.target) for link in links)))
    return found


def expanded(written: Iterable[str], ids: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return the ids that a list of ids and ranges names, in the page's order, and those it does not have.

    A range is "first..last", both among them.
    """
    named: set[str] = set()
    unknown = []
    for text in written:
        first, range_, last = text.partition(RANGE)
        ends = [first, last] if range_ else [first]
        unknown += [end for end in ends if end not in ids]
        if all(end in ids for end in ends):
            start, stop = ids.index(first), ids.index(ends[-1])
            named |= {*ids[start : stop + 1]}
            unknown += [text] if stop < start else []
    return [id_ for id_ in ids if id_ in named], unknown


def around_path(page: Page, steps: Sequence[PageStep]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the steps above the page's fault path, and those below it."""
    at = next((block.line for block in page.scan.blocks if block.name == FAULT_PATH), 0)
    above = tuple(step.id for step in steps if step.step.line < at)
    return above, tuple(step.id for step in steps if step.id not in above)


def first_step_at(page: Page, anchor: str, slugs: dict[str, int]) -> str:
    """Return the step that an anchor of the page names, or the first below such a heading; "" for none."""
    for step in page.scan.steps:
        if step.id == anchor:
            return step.id
    line = slugs.get(anchor)
    if line is None:
        return ""
    return next((step.id or "" for step in page.scan.steps if step.line > line), "")


def _block_end(page: Page, step: Step) -> int:
    return next(
        (block.end or step.line + 1 for block in page.scan.blocks if block.line == step.block), step.line + 1
    )


def _target(page: Page, target: str) -> str:
    path, hash_, anchor = target.partition("#")
    full = posixpath.normpath(posixpath.join(posixpath.dirname(page.src), path)) if path else page.src
    return f"{full}{hash_}{anchor}"

"""The block that puts the pocket card on a page: `/// pocket-card | half-turn-step, timing-runs`."""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree import ElementTree

from build_tools.blocks.block import BookBlock, element_of
from build_tools.blocks.pocket_card import CAUTIONS, NAME, pocket_card
from build_tools.reading.lines import Block, listed
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.registers import Registers


class PocketCardBlock(BookBlock):
    """The card with the figures that its argument lists; unknown ones are left out."""

    NAME = NAME

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Build both sides."""
        element = element_of(pocket_card(listed(self.name), self.page.marks))
        element.attrib |= self.stamp
        parent.append(element)
        return element


def check_pocket_card(page: Page, block: Block, registers: Registers) -> list[Problem]:
    """Return the problems of one pocket card: no figure, unknown figures, hazards that the register lacks."""
    names = listed(block.argument)
    if not names:
        what, why = "the pocket card names no figure", "its second side would be empty"
        fix = f"write `/// {NAME} | half-turn-step, timing-runs` (an example)"
        return [Problem(page.file, block.line, what, why, fix)]
    known = {*registers.figures, *registers.left_out}
    found = [_unknown(page, block, name, sorted(known)) for name in names if name not in known]
    hazards = {*registers.hazards, *registers.left_out}
    return found + [_no_hazard(page, block, id_) for id_ in CAUTIONS if id_ not in hazards]


def figures_on_cards(pages: Iterable[Page]) -> set[str]:
    """Return the ids of every figure that a card names."""
    return {
        id_
        for page in pages
        for block in page.scan.blocks
        if block.name == NAME
        for id_ in listed(block.argument)
    }


def _unknown(page: Page, block: Block, name: str, known: list[str]) -> Problem:
    why = "content/registers/figures.yml has no such id"
    fix = suggestion(name, known, otherwise="add it to the register, or take it off the card")
    return Problem(page.file, block.line, f"unknown figure '{name}' on the pocket card", why, fix)


def _no_hazard(page: Page, block: Block, name: str) -> Problem:
    what, why = f"the pocket card warns of hazard '{name}', which the register lacks", "it asks for turns"
    return Problem(page.file, block.line, what, why, "add the row to content/registers/hazards.yml")

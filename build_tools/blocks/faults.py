"""The blocks that show a fault path and the list of symptoms."""

from __future__ import annotations

from xml.etree import ElementTree

from build_tools.blocks.block import BookBlock, element_of
from build_tools.book.fault_words import FAULT_PATH, SYMPTOMS
from build_tools.shown.fault_table import path_html, symptoms_html


class FaultPathBlock(BookBlock):
    """A fault path; an unknown one leaves an empty div, for the checks have named it."""

    NAME = FAULT_PATH

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Build the table, its cautions above it."""
        marks = self.page.marks
        path = marks.registers.faults.get(self.name)
        if path is None:
            return ElementTree.SubElement(parent, "div", self.stamp)
        element = element_of(path_html(path, marks, self.page.places, self.page.hazards_shown))
        self.page.hazards_shown |= {*path.all_cautions()}
        element.attrib |= self.stamp
        parent.append(element)
        return element

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element | None:
        """Put anything written inside the block after the table."""
        return block


class SymptomsBlock(BookBlock):
    """Every symptom of the register as a link to the page of its path."""

    NAME = SYMPTOMS

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Build the list, in the order of the register."""
        marks = self.page.marks
        element = element_of(symptoms_html(marks.registers.faults.values(), self.page.places))
        element.attrib |= self.stamp
        parent.append(element)
        return element

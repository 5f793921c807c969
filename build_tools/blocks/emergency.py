"""The block with the emergency number: first thing on the home page, and on the page that says what to do."""

from __future__ import annotations

from xml.etree import ElementTree

from markdown.util import AtomicString

from build_tools.blocks.block import BookBlock


class EmergencyBlock(BookBlock):
    """The number as a button that calls it, its note, and above them whatever the author writes inside."""

    NAME = "emergency"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Open the box."""
        return ElementTree.SubElement(parent, "div", {"class": "ht-emergency", **self.stamp})

    def on_end(self, block: ElementTree.Element) -> None:
        """Add the button; without a register the checks have said so."""
        marks = self.page.marks
        emergency = marks.registers.emergency
        if emergency is None:
            return
        call = ElementTree.SubElement(block, "p", {"class": "ht-emergency-call"})
        link = ElementTree.SubElement(call, "a", {"href": f"tel:{emergency.number}"})
        link.text = AtomicString(marks.say("emergency.call", number=emergency.number))
        if emergency.note:
            note = ElementTree.SubElement(block, "p", {"class": "ht-emergency-note"})
            note.text = AtomicString(emergency.note)
        # The page's script writes in it where the leveler in hand is; without a script it stays out of sight.
        ElementTree.SubElement(block, "div", {"data-place-in-hand": "", "hidden": ""})

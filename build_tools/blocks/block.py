"""What all blocks of the book share: the page being read, their stamps, and our HTML among Markdown's."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.etree import ElementTree

from markdown.util import AtomicString
from markupsafe import Markup
from pymdownx.blocks.block import Block

from build_tools.drawing.catalogue import Request
from build_tools.shown.fault_table import Places
from build_tools.shown.marks import Marks

STAMPED = "data-stamp"
_STAMP = re.compile(r"[ \t]*@(\d+)$")


@dataclass
class PageContext:
    """What the blocks of one page need while Markdown reads it, and what they have counted so far."""

    marks: Marks
    calculator: Callable[[str], str]
    """Makes the HTML of a calculator from its name."""
    drawing: Callable[[Request, str], str]
    """Makes the HTML of a drawing from what was asked for and an id that is unique on the page."""
    places: Places = field(default_factory=Places)
    stamps: set[tuple[str, int]] = field(default_factory=set)
    """(kind, line) of each stamp that came out of Markdown."""
    steps: int = 0
    """How many steps and, below, how many drawings the page has so far."""
    drawings: int = 0
    hazards_shown: set[str] = field(default_factory=set)
    """Ids of the hazards whose message the page has already."""


class BookBlock(Block):  # type: ignore[misc]  # pymdownx is untyped
    """A block of the book. Its `name` is its argument without the stamp, mostly the id of a row."""

    ARGUMENT = None

    @property
    def page(self) -> PageContext:
        """The page that holds the block."""
        page: PageContext = self.config["extension"].page
        return page

    def on_validate(self, parent: ElementTree.Element) -> bool:
        """Split the argument into `name` and `stamp`; each is valid here, since the checks come first."""
        argument = self.argument or ""
        stamp = _STAMP.search(argument)
        self.name = _STAMP.sub("", argument).strip()
        self.stamp = {STAMPED: f"block {stamp[1]}"} if stamp else {}
        return True


def element_of(html: Markup) -> ElementTree.Element:
    """Return our own HTML as an element whose text Markdown does not read. It must be well-formed XML."""
    element = ElementTree.fromstring(str(html))
    for part in element.iter():
        part.text = AtomicString(part.text) if part.text else part.text
        part.tail = AtomicString(part.tail) if part.tail else part.tail
    return element

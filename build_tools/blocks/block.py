"""What every block of the book shares: the page in hand, its stamp, and HTML of our own among Markdown's."""

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
class PageInHand:
    """The page that Markdown is reading, and the stamps that have come out of it."""

    marks: Marks
    calculator: Callable[[str], str]
    """Gives the HTML of a calculator by its name."""
    drawing: Callable[[Request, str], str]
    """Gives the HTML of a drawing, given an id of its own on the page."""
    places: Places = field(default_factory=Places)
    stamps: set[tuple[str, int]] = field(default_factory=set)
    steps: int = 0
    drawings: int = 0
    hazards_shown: set[str] = field(default_factory=set)


class BookBlock(Block):  # type: ignore[misc]  # pymdownx is untyped
    """A block of the book: its argument without the stamp is its `name`."""

    ARGUMENT = None

    @property
    def page(self) -> PageInHand:
        """The page that holds it."""
        page: PageInHand = self.config["extension"].page
        return page

    def on_validate(self, parent: ElementTree.Element) -> bool:
        """Take the stamp off the argument."""
        argument = self.argument or ""
        stamp = _STAMP.search(argument)
        self.name = _STAMP.sub("", argument).strip()
        self.stamp = {STAMPED: f"block {stamp[1]}"} if stamp else {}
        return True


def element_of(html: Markup) -> ElementTree.Element:
    """Return HTML of our own as an element whose words Markdown leaves alone."""
    element = ElementTree.fromstring(str(html))
    for part in element.iter():
        part.text = AtomicString(part.text) if part.text else part.text
        part.tail = AtomicString(part.tail) if part.tail else part.tail
    return element

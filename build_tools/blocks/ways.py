"""Sentences that hold for one way of doing a thing, found by the bold label that they begin with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from xml.etree import ElementTree

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor

from build_tools.registers.ways import Way


class WayGatherer(Treeprocessor):
    """Puts each such label, and what follows it on its line, into a span that names the way."""

    def __init__(self, md: Markdown, ways: Callable[[], Mapping[str, Way]]) -> None:
        super().__init__(md)
        self.ways = ways
        self.by_label: dict[str, Way] = {}

    def run(self, root: ElementTree.Element) -> None:
        """Walk the page once."""
        self.by_label = {f"{way.label}:": way for way in self.ways().values()}
        for parent in list(root.iter()):
            if any(self._way(child) for child in parent):
                self._gather(parent)

    def _way(self, element: ElementTree.Element) -> Way | None:
        return self.by_label.get(element.text or "") if element.tag == "strong" and not len(element) else None

    def _gather(self, parent: ElementTree.Element) -> None:
        """Rebuild the parent's children; a way goes on to the end of its line, or to the next label."""
        children, open_ = list(parent), None
        for child in children:
            parent.remove(child)
        for child in children:
            way = self._way(child)
            if way is not None:
                attributes = {"class": "ht-way", "data-way": way.id, "data-way-of": way.of}
                open_ = ElementTree.SubElement(parent, "span", attributes)
            (parent if open_ is None else open_).append(child)
            if open_ is not None and "\n" in (child.tail or ""):
                said, _, rest = (child.tail or "").partition("\n")
                child.tail, open_.tail = said, f"\n{rest}"
                open_ = None

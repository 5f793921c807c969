"""The blocks that show what a part looks like and is called: drawings, and terms with their meaning."""

from __future__ import annotations

from xml.etree import ElementTree

from markdown.util import AtomicString
from pymdownx.blocks.block import type_string

from build_tools.blocks.block import BookBlock, element_of
from build_tools.drawing.catalogue import OPTIONS, Request
from build_tools.reading.lines import listed
from build_tools.shown.html_parts import tag


class DrawingBlock(BookBlock):
    """A drawing; `state:` and `leveler:` may be options under its first line. Its HTML is stashed."""

    NAME = "drawing"
    OPTIONS = {name: ["", type_string] for name in OPTIONS}  # noqa: RUF012  # pymdownx reads it on the class

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Put a placeholder where the drawing will be; the checks have named an unknown one."""
        self.page.drawings += 1
        request = Request(self.name, *(str(self.options[name]) for name in OPTIONS))
        html = self.page.drawing(request, f"drawing-{self.page.drawings}")
        holder = ElementTree.SubElement(parent, "div", self.stamp)
        kept = ElementTree.SubElement(holder, "p")
        kept.text = AtomicString(self.md.htmlStash.store(html))
        return holder


class TermsBlock(BookBlock):
    """Terms with their meaning; unknown ones are left out, for the checks have named them."""

    NAME = "terms"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Build the list, each term linked to its row."""
        marks = self.page.marks
        known = [marks.registers.terms[id_] for id_ in listed(self.name) if id_ in marks.registers.terms]
        rows = [
            tag(
                "div",
                tag("dt", tag("a", term.term, href=f"{marks.figures_page}#term-{term.id}")),
                tag("dd", marks.with_figures(term.meaning)),
                data_term=term.id,
            )
            for term in known
        ]
        element = element_of(tag("dl", *rows, class_="ht-terms"))
        element.attrib |= self.stamp
        parent.append(element)
        return element

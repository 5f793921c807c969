"""The blocks and the figures that authors write in Markdown, made with the pymdownx Blocks API.

    /// hazard | lip-path       the hazard message of that row
    /// steps                   a numbered list as steps that can be ticked
    /// calculator | fold-time  the calculator with its worked answer
    /// drawing | side-view     the drawing, labeled with terms; options `state:` and `leveler:` under it
    /// terms | platform, lip   these terms with what they mean, from the register
    /// fault-path | noisy      the questions of that symptom, as a table and one a screen
    /// symptoms                every symptom of the register, linked to its path
    /// emergency               the number to call, as a button, below what stands in the block
    /// pocket-card | half-turn-step   the card for a pocket: half-turn table, and these figures
    {{ lip-fold-time }}         the figure, linked to its row
    **Lip raised by hand:**     what follows holds for that way, a row of ways.yml

Sources reach Markdown with their lines stamped in (see reading/stamps.py); here the stamps are collected and
removed. Whatever an author can get wrong has been found by the checks before this runs.
"""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

from markdown import Markdown
from markdown.inlinepatterns import InlineProcessor
from markdown.treeprocessors import Treeprocessor
from markdown.util import AtomicString
from pymdownx.blocks import BlocksExtension, BlocksProcessor

from build_tools.blocks.block import STAMPED, BookBlock, PageContext, element_of
from build_tools.blocks.drawings import DrawingBlock, TermsBlock
from build_tools.blocks.emergency import EmergencyBlock
from build_tools.blocks.faults import FaultPathBlock, SymptomsBlock
from build_tools.blocks.pocket_card_block import PocketCardBlock
from build_tools.blocks.ways import WayGatherer
from build_tools.reading.lines import STEP_ID
from build_tools.reading.pages import address_of
from build_tools.reading.step_marks import read_mark

BLOCK_NAMES = (
    "hazard",
    "steps",
    "calculator",
    "drawing",
    "terms",
    "fault-path",
    "symptoms",
    "pocket-card",
    "emergency",
)
EXTENSIONS = ("tables", "fenced_code", "toc", "sane_lists")
"""The extensions of Markdown that the book needs besides its own."""
_FIGURE = r"\{\{[ \t]*([a-z0-9-]+)(?:\.([a-z]+))?[ \t]*(?:@(\d+)[ \t]*)?\}\}"
_HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")


class BookExtension(BlocksExtension):  # type: ignore[misc]  # pymdownx is untyped
    """Adds the blocks and figures to a Markdown object. Set `page` before each conversion."""

    page: PageContext

    def __init__(self, page: PageContext | None = None) -> None:
        super().__init__()
        if page is not None:
            self.page = page

    def extendMarkdownBlocks(self, md: Markdown, block_mgr: BlocksProcessor) -> None:  # noqa: N802  # their name
        """Register the blocks, the figures and what runs after them."""
        for block in _BLOCKS:
            block_mgr.register(block, {"extension": self})
        md.inlinePatterns.register(FigureProcessor(_FIGURE, md, self), "half-turn-figure", 175)
        # After inline parsing (20) and before the table of contents reads the headings (5).
        md.treeprocessors.register(StampGatherer(md, self), "half-turn-stamps", 15)
        ways = WayGatherer(md, lambda: self.page.marks.registers.ways)
        md.treeprocessors.register(ways, "half-turn-ways", 14)
        md.treeprocessors.register(PageLinks(md), "half-turn-links", -1)


class HazardBlock(BookBlock):
    """The hazard message of a row of hazards.yml; the first message of a row on a page has the anchor."""

    NAME = "hazard"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Build the message; an unknown id leaves an empty div, for the checks have named it."""
        marks = self.page.marks
        hazard = marks.registers.hazards.get(self.name)
        if hazard is None:
            return ElementTree.SubElement(parent, "div", self.stamp)
        first = hazard.id not in self.page.hazards_shown
        self.page.hazards_shown.add(hazard.id)
        element = element_of(marks.hazard(hazard, f"hazard-{hazard.id}" if first else None))
        element.attrib |= self.stamp
        parent.append(element)
        return element

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element | None:
        """Put anything written inside the block after the three parts of the message."""
        return block


class StepsBlock(BookBlock):
    """A numbered list as steps; the numbers continue over all steps blocks of a page."""

    NAME = "steps"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Make the element around the list."""
        return ElementTree.SubElement(parent, "div", {"class": "ht-steps", **self.stamp})

    def on_markdown(self) -> str:
        """Return that Markdown must read the block's content, the list."""
        return "block"

    def on_end(self, block: ElementTree.Element) -> None:
        """Turn each numbered list in the block into steps."""
        for child in block:
            if child.tag == "ol":
                child.attrib = {"class": "steps", "start": str(self.page.steps + 1)}
                for item in child.findall("li"):
                    self.page.steps += 1
                    self._make_step(item)

    def _make_step(self, item: ElementTree.Element) -> None:
        if item.text and item.text.strip():
            _wrap_text(item)
        first = next((child for child in item if child.tag == "p"), None)
        id_ = _take_id(first) if first is not None else None
        if first is not None:
            _set_note_apart(item, first)
        item.set("data-number", str(self.page.steps))
        name = None
        if id_ is not None:
            written, _, line = id_.partition(" @")
            mark = read_mark(written)
            name = mark.id
            item.attrib |= {"data-step": name, "id": name}
            if mark.asks:
                item.set("data-asks", ",".join(mark.asks))
            if line:
                item.set(STAMPED, f"step {line}")
        item.insert(0, self._tick(name or ""))

    def _tick(self, name: str) -> ElementTree.Element:
        label = ElementTree.Element("label", {"class": "ht-tick", "data-search-exclude": ""})
        ElementTree.SubElement(
            label,
            "input",
            {"type": "checkbox", "autocomplete": "off", "name": name},
        )
        words = ElementTree.SubElement(label, "span", {"class": "ht-spoken"})
        words.text = AtomicString(self.page.marks.say("step-done", number=self.page.steps))
        return label


class CalculatorBlock(BookBlock):
    """A calculator. Its HTML is stashed, so that Markdown does not read it."""

    NAME = "calculator"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Put a placeholder where the calculator will be."""
        holder = ElementTree.SubElement(
            parent, "div", {"class": "ht-calculator", "id": self.name, **self.stamp}
        )
        kept = ElementTree.SubElement(holder, "p")
        kept.text = AtomicString(self.md.htmlStash.store(self.page.calculator(self.name)))
        return holder


_BLOCKS = (
    HazardBlock,
    StepsBlock,
    CalculatorBlock,
    DrawingBlock,
    TermsBlock,
    FaultPathBlock,
    SymptomsBlock,
    PocketCardBlock,
    EmergencyBlock,
)


class FigureProcessor(InlineProcessor):
    """`{{ id }}` and `{{ id.part }}` in running text."""

    def __init__(self, pattern: str, md: Markdown, extension: BookExtension) -> None:
        super().__init__(pattern, md)
        self.extension = extension

    def handleMatch(  # type: ignore[override]  # noqa: N802  # Markdown calls it by this name, with data
        self, m: re.Match[str], data: str
    ) -> tuple[Any, int | None, int | None]:
        """Build the figure; an unknown one stays as text, for the checks have named it."""
        marks = self.extension.page.marks
        figure = marks.registers.figures.get(m[1])
        if figure is None or (m[2] and m[2] not in figure.parts()):
            return None, None, None
        element = element_of(marks.figure(figure, m[2] or ""))
        if m[3]:
            element.set(STAMPED, f"figure {m[3]}")
        return element, m.start(0), m.end(0)


class StampGatherer(Treeprocessor):
    """Collects and removes the stamps, and removes the links of figures within headings and other links."""

    def __init__(self, md: Markdown, extension: BookExtension) -> None:
        super().__init__(md)
        self.extension = extension

    def run(self, root: ElementTree.Element) -> None:
        """Walk the page once."""
        for element in root.iter():
            stamp = element.attrib.pop(STAMPED, None)
            if stamp is not None:
                kind, _, line = stamp.partition(" ")
                self.extension.page.stamps.add((kind, int(line)))
        for holder in root.iter():
            if holder.tag in _HEADINGS or holder.tag == "a":
                _unlink_figures(holder)


class PageLinks(Treeprocessor):
    """Turns links to sources into links to pages, as MkDocs does with the pages that it renders itself."""

    def run(self, root: ElementTree.Element) -> None:
        """Walk the page once. The checks have named links that lead nowhere."""
        for link in root.iter("a"):
            target, hash_, anchor = link.get("href", "").partition("#")
            if target.endswith(".md") and "://" not in target:
                link.set("href", f"{address_of(target)}{hash_}{anchor}")


def _unlink_figures(holder: ElementTree.Element) -> None:
    for span in holder.iter("span"):
        link = span.find("a")
        if "data-figure" in span.attrib and link is not None:
            span.text = link.text
            span.remove(link)


def _wrap_text(item: ElementTree.Element) -> None:
    """Put a step's bare text into a paragraph, so that every step has the same shape."""
    paragraph = ElementTree.Element("p")
    paragraph.text, item.text = item.text, None
    item.insert(0, paragraph)


def _set_note_apart(item: ElementTree.Element, action: ElementTree.Element) -> None:
    """Move what follows a step's first line into its own paragraph, so that what to do is seen before why."""
    for further in item.findall("p"):
        if further is not action:
            further.set("class", "ht-step-note")
    said, _, rest = (action.text or "").partition("\n")
    if not rest.strip():
        return
    note = ElementTree.Element("p", {"class": "ht-step-note"})
    action.text, note.text = said, rest.strip()
    item.insert(list(item).index(action) + 1, note)


def _take_id(paragraph: ElementTree.Element) -> str | None:
    first, newline, rest = (paragraph.text or "").partition("\n")
    match = STEP_ID.search(first)
    if match is None:
        return None
    paragraph.text = first[: match.start()] + newline + rest
    return match["id"]

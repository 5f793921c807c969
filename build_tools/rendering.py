"""Pages run through Markdown without MkDocs, to see what comes out: missing stamps, anchors to link to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markdown import Markdown
from markdown.extensions.toc import slugify

from build_tools.blocks import BLOCK_NAMES, EXTENSIONS, BookExtension
from build_tools.book import REGISTER_PAGE, Book
from build_tools.book_block import PageInHand
from build_tools.check_drawings import check_drawing
from build_tools.check_figures import use_problems
from build_tools.fault_html import Places
from build_tools.fault_words import homes
from build_tools.marks import Marks
from build_tools.pages import Page
from build_tools.problems import Problem
from build_tools.register_pages import anchors, headings
from build_tools.stamps import expected_stamps, stamped_body

_ID = re.compile(r"<[^>]*\bid=\"([^\"]+)\"")


@dataclass(frozen=True, slots=True)
class Rendered:
    """What Markdown made of a page."""

    anchors: frozenset[str]
    stamps: frozenset[tuple[str, int]]


def render_pages(book: Book) -> dict[str, Rendered]:
    """Give what Markdown makes of every page, the register page included, by path in the docs folder."""
    extension = BookExtension()
    markdown = Markdown(extensions=[*EXTENSIONS, extension])
    stand = homes(book.pages.values())
    rendered = {
        src: _render(page, markdown, extension, book, stand) for src, page in book.pages.items()
    }
    made = {slugify(heading, "-") for heading in headings(Marks(book.registers, ""))}
    return {**rendered, REGISTER_PAGE: Rendered(frozenset(anchors(book.registers) | made), frozenset())}


def check_rendered(book: Book, rendered: dict[str, Rendered]) -> list[Problem]:
    """Give a problem for each block, figure and step that Markdown did not take for one.

    What the other checks have named already, such as an unknown figure, is left out.
    """
    why = "Markdown reads the line as plain text here, and so would the technician"
    fix = "look at the indent (none, or four spaces inside a list item) and leave an empty line around it"
    found = []
    for src, page in book.pages.items():
        named = set(_named_already(page, book))
        for stamp, what in expected_stamps(page.scan).items():
            if stamp not in rendered[src].stamps and stamp not in named and not _blocks_are_broken(page):
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


def _render(
    page: Page, markdown: Markdown, extension: BookExtension, book: Book, stand: Mapping[str, str]
) -> Rendered:
    markdown.reset()
    marks, places = Marks(book.registers, REGISTER_PAGE), Places(page.src, homes=stand)
    extension.page = PageInHand(marks, lambda name: "", lambda *_: "", places)
    html = markdown.convert(stamped_body(page.scan))
    return Rendered(frozenset(_ID.findall(html)), frozenset(extension.page.stamps))

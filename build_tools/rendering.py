"""Pages run through Markdown without MkDocs, to see what comes out: missing stamps, anchors to link to."""

from __future__ import annotations

import re
from dataclasses import dataclass

from markdown import Markdown

from build_tools.blocks import EXTENSIONS, BookExtension, PageInHand
from build_tools.book import REGISTER_PAGE, Book
from build_tools.marks import Marks
from build_tools.pages import Page, page_from
from build_tools.problems import Problem
from build_tools.register_pages import register_page
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
    made, _ = page_from(register_page(book.registers, revised="", uses={}), REGISTER_PAGE, REGISTER_PAGE)
    return {
        src: _render(page, markdown, extension, book)
        for src, page in {**book.pages, REGISTER_PAGE: made}.items()
    }


def check_rendered(book: Book, rendered: dict[str, Rendered]) -> list[Problem]:
    """Give a problem for each block, figure and step that Markdown did not take for one."""
    return [
        Problem(
            page.file,
            line,
            f"{what} does not come out as one",
            "Markdown reads the line as plain text here, and so would the technician",
            "look at the indent (none, or four spaces inside a list item) and leave an empty line around it",
        )
        for src, page in book.pages.items()
        for (kind, line), what in expected_stamps(page.scan).items()
        if (kind, line) not in rendered[src].stamps
    ]


def _render(page: Page, markdown: Markdown, extension: BookExtension, book: Book) -> Rendered:
    markdown.reset()
    extension.page = PageInHand(Marks(book.registers, REGISTER_PAGE), lambda name: "")
    html = markdown.convert(stamped_body(page.scan))
    return Rendered(frozenset(_ID.findall(html)), frozenset(extension.page.stamps))

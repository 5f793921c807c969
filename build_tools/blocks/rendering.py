"""Pages run through Markdown, once: the checks look at what comes out, and the build shows the same."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from markdown import Markdown
from markdown.extensions.toc import slugify

from build_tools.blocks.block import PageInHand
from build_tools.blocks.blocks import EXTENSIONS, BookExtension
from build_tools.book.book import REGISTER_PAGE, Book
from build_tools.book.fault_words import homes
from build_tools.made_pages.register_pages import anchors, headings
from build_tools.reading.pages import Page
from build_tools.reading.stamps import stamped_body
from build_tools.shown.fault_table import Places
from build_tools.shown.marks import Marks

_ID = re.compile(r"<[^>]*\bid=\"([^\"]+)\"")


@dataclass(frozen=True, slots=True)
class Rendered:
    """What Markdown made of a page."""

    anchors: frozenset[str]
    stamps: frozenset[tuple[str, int]]
    html: str = ""
    contents: Sequence[Any] = ()
    """The headings, as the table of contents of Markdown gives them."""


@dataclass(frozen=True, slots=True)
class Press:
    """Turns sources into HTML: Markdown, our part of it, and what that needs to know about each page."""

    markdown: Markdown
    extension: BookExtension
    in_hand: Callable[[Page], PageInHand]
    depends: tuple[str, ...] | None = None
    """All that its work depends on beside the page and the registers; None where that cannot be told."""


def checking_press(book: Book) -> Press:
    """Return the press for a look at a book, without calculators and drawings: no link leads into one."""
    extension = BookExtension()
    stand, marks = homes(book.pages.values()), Marks(book.registers, REGISTER_PAGE)

    def in_hand(page: Page) -> PageInHand:
        return PageInHand(marks, lambda name: "", lambda *_: "", Places(page.src, homes=stand))

    markdown = Markdown(extensions=[*EXTENSIONS, extension])
    return Press(markdown, extension, in_hand, ("checking", json.dumps(stand)))


def render_pages(book: Book, press: Press | None = None) -> dict[str, Rendered]:
    """Return what Markdown makes of every page, the register page included, by path in the docs folder."""
    press = press or checking_press(book)
    rendered = {src: render_page(book, page, press) for src, page in book.pages.items()}
    made = {slugify(heading, "-") for heading in headings(Marks(book.registers, ""))}
    return {**rendered, REGISTER_PAGE: Rendered(frozenset(anchors(book.registers) | made), frozenset())}


def render_page(book: Book, page: Page, press: Press) -> Rendered:
    """Return what Markdown makes of one page, kept from an earlier build where nothing has changed for it."""
    if press.depends is None or book.kept.folder is None:
        return _render(page, stamped_body(page.scan), press)
    source = stamped_body(page.scan)
    depends = (book.key, *press.depends, page.src, page.kind, source)
    known = book.kept.of("page", depends, lambda: _written(_render(page, source, press)))
    stamps = frozenset((kind, line) for kind, line in known["stamps"])
    return Rendered(frozenset(known["anchors"]), stamps, known["html"], known["contents"])


def _written(page: Rendered) -> dict[str, Any]:
    """Return a page as JSON can write it, in an order that is always the same."""
    return {
        "anchors": sorted(page.anchors),
        "stamps": sorted(page.stamps),
        "html": page.html,
        "contents": page.contents,
    }


def _render(page: Page, source: str, press: Press) -> Rendered:
    press.markdown.reset()
    press.extension.page = press.in_hand(page)
    html = press.markdown.convert(source)
    contents = getattr(press.markdown, "toc_tokens", ())
    return Rendered(frozenset(_ID.findall(html)), frozenset(press.extension.page.stamps), html, contents)

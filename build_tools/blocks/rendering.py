"""Runs each page through Markdown once: the checks look at what comes out, and the build shows the same."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from markdown import Markdown
from markdown.extensions.toc import slugify

from build_tools.blocks.block import PageContext
from build_tools.blocks.blocks import EXTENSIONS, BookExtension
from build_tools.book.book import REGISTER_PAGE, Book
from build_tools.book.fault_words import page_of_path
from build_tools.made_pages.register_pages import anchors, headings
from build_tools.reading.pages import Page
from build_tools.reading.stamps import stamped_body
from build_tools.shown.fault_table import Places
from build_tools.shown.marks import Marks

_ID = re.compile(r"<[^>]*\bid=\"([^\"]+)\"")


@dataclass(frozen=True, slots=True)
class Rendered:
    """What Markdown made of a page. `stamps` are (kind, line), `anchors` every id in the HTML."""

    anchors: frozenset[str]
    stamps: frozenset[tuple[str, int]]
    html: str = ""
    contents: Sequence[Any] = ()
    """The headings, as Markdown's table of contents returns them."""


@dataclass(frozen=True, slots=True)
class PageRenderer:
    """Turns sources into HTML: Markdown, our extension of it, and what the blocks need for each page."""

    markdown: Markdown
    extension: BookExtension
    context_of: Callable[[Page], PageContext]
    depends: tuple[str, ...] | None = None
    """What its HTML depends on besides page and registers; None where that is not known: nothing is kept."""


def checking_renderer(book: Book) -> PageRenderer:
    """Return a renderer for checks alone, without calculators and drawings: no link leads into one."""
    extension = BookExtension()
    pages_of_paths, marks = page_of_path(book.pages.values()), Marks(book.registers, REGISTER_PAGE)

    def context_of(page: Page) -> PageContext:
        return PageContext(
            marks, lambda name: "", lambda *_: "", Places(page.src, page_of_path=pages_of_paths)
        )

    markdown = Markdown(extensions=[*EXTENSIONS, extension])
    return PageRenderer(markdown, extension, context_of, ("checking", json.dumps(pages_of_paths)))


def render_pages(book: Book, renderer: PageRenderer | None = None) -> dict[str, Rendered]:
    """Return every page as rendered, by path in the docs folder; of the register page the anchors alone."""
    renderer = renderer or checking_renderer(book)
    rendered = {src: render_page(book, page, renderer) for src, page in book.pages.items()}
    made = {slugify(heading, "-") for heading in headings(Marks(book.registers, ""))}
    return {**rendered, REGISTER_PAGE: Rendered(frozenset(anchors(book.registers) | made), frozenset())}


def render_page(book: Book, page: Page, renderer: PageRenderer) -> Rendered:
    """Return one page as rendered, from an earlier build where nothing that it depends on has changed."""
    if renderer.depends is None or book.kept.folder is None:
        return _render(page, stamped_body(page.scan), renderer)
    source = stamped_body(page.scan)
    depends = (book.key, *renderer.depends, page.src, page.kind, source)
    known = book.kept.of("page", depends, lambda: _written(_render(page, source, renderer)))
    stamps = frozenset((kind, line) for kind, line in known["stamps"])
    return Rendered(frozenset(known["anchors"]), stamps, known["html"], known["contents"])


def _written(page: Rendered) -> dict[str, Any]:
    """Return a page as JSON can hold it, in an order that never varies."""
    return {
        "anchors": sorted(page.anchors),
        "stamps": sorted(page.stamps),
        "html": page.html,
        "contents": page.contents,
    }


def _render(page: Page, source: str, renderer: PageRenderer) -> Rendered:
    renderer.markdown.reset()
    renderer.extension.page = renderer.context_of(page)
    html = renderer.markdown.convert(source)
    contents = getattr(renderer.markdown, "toc_tokens", ())
    return Rendered(frozenset(_ID.findall(html)), frozenset(renderer.extension.page.stamps), html, contents)

"""The menu: an entry that is written once for many pages is on each what the theme would write there."""

from __future__ import annotations

import importlib.util
import random
from itertools import product
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from markupsafe import Markup
from mkdocs.utils import get_relative_url

from build_tools.places import PROJECT
from build_tools.site.building import build_book
from build_tools.site.menu import Menu

OURS = PROJECT / "build_tools/theme/partials/nav.html"
LINKS = (
    *("index.html", "a/one.html", "a/two.html", "a/b/three.html", "a/b/c/four.html"),
    *("d/five.html", "d/e/six.html"),
)


def item(*children: Any, url: str | None = None) -> Any:
    """An entry of a menu as MkDocs has it, which leads away from the page in hand."""
    return SimpleNamespace(children=list(children), url=url, active=False)


def all_links(entry: Any, url: str) -> str:
    """What the theme writes of an entry, as far as it differs: the way from a page to every page below."""
    own = "" if entry.url is None else f"[{get_relative_url(entry.url, url)}]"
    return own + "".join(all_links(child, url) for child in entry.children)


def test_an_entry_leads_from_every_page_to_the_same_pages() -> None:
    """Whatever pages were written before, the links of an entry are those that lead there from this page."""
    entries = [
        item(url="index.html"),
        item(url="https://example.org/a"),
        item(item(url="a/one.html"), item(item(url="a/b/three.html"))),
        item(item(url="a/b/c/four.html"), item(url="d/five.html")),
        item(item(url="d/e/six.html")),
    ]
    pages = [SimpleNamespace(url=url) for url in (*LINKS, "a/", "./", "d/e/seven/", "x/y/z.html")]
    for seed in range(20):
        menu = Menu()
        order = list(product(pages, enumerate(entries)))
        random.Random(seed).shuffle(order)
        for page, (place, entry) in order:

            def render(entry: Any, place: str, level: int, url: str = page.url) -> Markup:
                return Markup(all_links(entry, url))

            assert menu.entry(render, entry, f"__nav_{place}", page) == all_links(entry, page.url)


def test_an_entry_is_written_once_for_pages_alike() -> None:
    """Pages as deep as each other share an entry; one that leads to the page in hand is written each time."""
    written: list[str] = []

    def render(entry: Any, place: str, level: int) -> Markup:
        written.append(place)
        return Markup("")

    menu, entry = Menu(), item(item(url="a/one.html"))
    for url in ("d/five.html", "x/y.html", "d/e/six.html", "d/seven.html"):
        menu.entry(render, entry, "__nav_1", SimpleNamespace(url=url))
    assert len(written) == 2
    entry.active = True
    menu.entry(render, entry, "__nav_1", SimpleNamespace(url="a/one.html"))
    menu.entry(render, entry, "__nav_1", SimpleNamespace(url="a/one.html"))
    menu.entry(render, entry, "__nav_1", None)
    assert len(written) == 5


def test_the_theme_is_followed_but_for_one_line() -> None:
    """Our copy of the theme's file for the menu differs from it in the head and in who writes an entry."""
    theme = importlib.util.find_spec("material")
    assert theme is not None and theme.origin is not None
    original = Path(theme.origin).parent / "templates/partials/nav.html"
    lines, ours = (path.read_text(encoding="utf-8").splitlines() for path in (original, OURS))

    start = lines.index("-#}") + 1
    assert ours[1:] == [
        line.replace("item.render(nav_item, path, 1)", "menu_entry(item.render, nav_item, path, page)")
        for line in lines[start:]
    ]
    assert sum("item.render(nav_item, path, 1)" in line for line in lines) == 1


def test_pages_are_those_of_the_theme(
    good_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every page of a book is the same where the theme writes each entry anew."""
    ours = build_book(good_book, tmp_path / "ours").folder
    monkeypatch.setattr(Menu, "entry", lambda self, render, item, place, page: render(item, place, 1))
    theirs = build_book(good_book, tmp_path / "theirs").folder

    pages = [page.relative_to(ours) for page in ours.rglob("*.html")]
    assert len(pages) > 3
    assert [page for page in pages if (ours / page).read_bytes() != (theirs / page).read_bytes()] == []

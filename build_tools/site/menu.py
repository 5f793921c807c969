"""The menu of a page. Most of it is the same on many pages, and the theme would write all of it anew on each.

An entry that does not lead to the page in hand differs from page to page by the way to it alone.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterator
from typing import Any

from markupsafe import Markup

Render = Callable[[Any, str, int], Markup]
"""The theme's macro for an entry: the entry, its place in the menu such as "__nav_2", its level."""


class Menu:
    """The entries of one build's menu."""

    def __init__(self) -> None:
        self._written: dict[tuple[str, str], Markup] = {}
        self._folders: dict[str, frozenset[str]] = {}

    def entry(self, render: Render, item: Any, place: str, page: Any) -> Markup:
        """Return an entry of the top level with all below it, for a page of MkDocs, or for none."""
        if item.active or not page:
            return render(item, place, 1)
        key = place, self._way(item, place, page.url)
        if key not in self._written:
            self._written[key] = render(item, place, 1)
        return self._written[key]

    def _way(self, item: Any, place: str, url: str) -> str:
        """Name the way from a page to the pages of an entry: how deep the page is, or, where a folder is
        common to both, in which folder."""
        folder = posixpath.dirname(url).removeprefix(".")
        if place not in self._folders:
            self._folders[place] = frozenset(_first_folders(item))
        if folder.partition("/")[0] in self._folders[place]:
            return folder
        return "../" * (folder.count("/") + 1) if folder else ""


def _first_folders(item: Any) -> Iterator[str]:
    for child in item.children or ():
        yield from _first_folders(child)
    url = getattr(item, "url", None) or ""
    if "/" in url:
        yield url.partition("/")[0]

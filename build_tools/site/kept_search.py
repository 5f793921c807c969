"""What search finds in a page, kept from build to build: reading a page takes search as long as Markdown."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.pages import Page as SitePage

from build_tools.book.kept_results import KeptResults


class PageForSearch:
    """One page while search reads it: made before that, put back after it.

    The theme's search adds its entries of a page to a list of its own (seen in Material 9.8.2). Where there
    is no such list, search reads every page each time.
    """

    def __init__(
        self, page: SitePage, contents: Sequence[Any], config: MkDocsConfig, kept: KeptResults
    ) -> None:
        self.page = page
        self.whole = page.content or ""
        self._entries = _entries(config)
        self._before = len(self._entries or ())
        self._kept = kept
        facts = [page.url, str(page.title), page.meta, contents]
        self._depends = (self.whole, json.dumps(facts, sort_keys=True, default=repr))

    def show(self) -> None:
        """Let search read nothing of a page that it has read before."""
        known = None if self._entries is None else self._kept.find("search", self._depends)
        if self._entries is not None and known is not None:
            self._entries += known
            self._entries, self.page.content = None, ""

    def put_back(self) -> str:
        """Keep what search has found, and return the page as it was."""
        if self._entries is not None:
            self._kept.keep("search", self._depends, self._entries[self._before :])
        return self.whole


def _entries(config: MkDocsConfig) -> list[dict[str, Any]] | None:
    """Return the list to which search adds its entries; none where it reads a dictionary that may change."""
    for name in ("material/search", "search"):
        search = config.plugins.get(name)
        found = getattr(getattr(search, "search_index", None), "entries", None)
        if search is not None and isinstance(found, list):
            return None if any("dict" in key and value for key, value in search.config.items()) else found
    return None

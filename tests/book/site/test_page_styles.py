"""A page loads the styles of what it shows: none of them may be left out where something of theirs stands."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

OWN = re.compile(r"\.ht-[\w-]+|\[data-[\w-]+")
"""Our classes and data attributes; scripts put the theme's elements into what bears them."""
RULE = re.compile(r"([^{}@]+)\{")
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
UNLESS = re.compile(r":not\((?:[^()]|\([^()]*\))*\)")
APART = re.compile(r",(?![^()]*\))")
THEMES = {"[data-md-color-scheme", "[data-md-toggle"}


@pytest.fixture(scope="module")
def styles(site: Path) -> dict[str, set[frozenset[str]]]:
    """What each style sheet's selectors need to be on a page, by the sheet's file name."""
    found = sorted((site / "half-turn" / "style").glob("*.css"))
    return {path.name: set(needs(path.read_text(encoding="utf-8"))) for path in found}


def needs(style: str) -> Iterator[frozenset[str]]:
    """Return the classes and attributes of ours that each selector of a style names."""
    for rule in RULE.finditer(COMMENT.sub("", style)):
        for selector in APART.split(UNLESS.sub("", rule[1])):
            if own := frozenset(OWN.findall(selector)) - THEMES:
                yield own


def on_page(page: BeautifulSoup) -> set[str]:
    """Name the classes and data attributes that stand on a page."""
    tags = page.find_all(True)
    classes = {f".{name}" for tag in tags for name in tag.get("class", [])}
    return classes | {f"[{name}" for tag in tags for name in tag.attrs if name.startswith("data-")}


def test_no_page_lacks_a_style_of_what_it_shows(
    pages: dict[str, BeautifulSoup], styles: dict[str, set[frozenset[str]]]
) -> None:
    """Where all that a selector names stands on a page, the page loads the selector's style sheet."""
    left_out = 0
    for name, page in pages.items():
        there = on_page(page)
        loaded = {str(link["href"]).rpartition("/")[2] for link in page.select("link[rel=stylesheet]")}
        assert loaded & styles.keys(), name
        for sheet in styles.keys() - loaded:
            left_out += 1
            assert [sorted(needed) for needed in styles[sheet] if needed <= there] == [], (name, sheet)
    assert left_out > len(pages)

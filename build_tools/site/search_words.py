"""What technicians say when they look for a page: words of the registers, given to the search index.

A row of terms.yml that `leads_to` pages lends them its name, its other names and its search words.
A fault path lends its page the symptom and what people say of it.
In the index they are a field of their own, which the theme's search reads too (seen in Material 9.8.2).
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from build_tools.book.book import Book
from build_tools.book.fault_words import page_of_path
from build_tools.reading.pages import address_of

INDEX = "search/search_index.json"
FIELD = "said"
WEIGHT = 2000.0
"""Twice what the theme gives a title: what is said of a page comes before a word in some other heading."""
PLAIN_SEPARATOR = r"[\s\-]+"
SEPARATOR = r"[\s\-,.:;!?()\"“”/]+"
"""Else a word with a comma, a bracket or a quotation mark beside it is another word to the search."""

_APOSTROPHE = re.compile(r"['’]")


def said_of_pages(book: Book) -> dict[str, str]:
    """Return what is said of each page, by its address from the site's root, in the order of the register."""
    said: dict[str, list[str]] = {}
    for term in book.registers.terms.values():
        for page in term.leads_to:
            words = said.setdefault(address_of(page), [])
            words += [spelling for phrase in term.names for spelling in spellings(phrase)]
    stand = page_of_path(book.pages.values())
    for path in book.registers.faults.values():
        if path.id in stand:
            words = said.setdefault(address_of(stand[path.id]), [])
            words += [spelling for phrase in (path.symptom, *path.said_as) for spelling in spellings(phrase)]
    return {address: "; ".join(dict.fromkeys(words)) for address, words in said.items()}


def spellings(phrase: str) -> tuple[str, ...]:
    """Return a phrase as a desk, a phone and a hurried thumb type it: won't, won’t, wont."""
    if not _APOSTROPHE.search(phrase):
        return (phrase,)
    return tuple(_APOSTROPHE.sub(sign, phrase) for sign in ("'", "’", ""))


def index_with(index: Mapping[str, Any], said: Mapping[str, str]) -> dict[str, Any]:
    """Return the theme's index with what is said of pages at their first entries, the whole page's."""
    config = dict(index["config"])
    config["fields"] = {**config["fields"], FIELD: {"boost": WEIGHT}}
    if config["separator"] == PLAIN_SEPARATOR:
        config["separator"] = SEPARATOR
    entries = [
        {**entry, FIELD: said[entry["location"]]} if entry["location"] in said else entry
        for entry in index["docs"]
    ]
    return {"config": config, "docs": entries}


def write_said(site: Path, book: Book) -> None:
    """Put what is said of pages into the index of a finished site; a site without search stays as it is."""
    path = site / INDEX
    if not path.is_file():
        return
    index = index_with(json.loads(path.read_text(encoding="utf-8")), said_of_pages(book))
    path.write_text(json.dumps(index, separators=(",", ":")), encoding="utf-8")

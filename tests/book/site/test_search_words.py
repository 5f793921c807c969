"""The search index: what technicians say is in it, at the page that answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from build_tools.registers.registers import Registers
from build_tools.site.search_words import FIELD, INDEX, SEPARATOR, WEIGHT, index_with, spellings


@pytest.mark.parametrize(
    ("phrase", "expected"),
    [
        ("lip drops fast", ("lip drops fast",)),
        ("won't rise", ("won't rise", "won’t rise", "wont rise")),
        ("won’t rise", ("won't rise", "won’t rise", "wont rise")),
    ],
)
def test_spellings(phrase: str, expected: tuple[str, ...]) -> None:
    """A word with an apostrophe is found with a straight one, with a curled one and without."""
    assert spellings(phrase) == expected


def test_what_is_said_stands_at_the_whole_page() -> None:
    """The page's own entry gets the words, its sections do not; a separator that was chosen stays."""
    page, section = ({"location": at, "title": "Lip", "text": ""} for at in ("lip.html", "lip.html#steps"))
    chosen = {"separator": r"\s", "fields": {"title": {"boost": 1000.0}}}

    index = index_with({"config": chosen, "docs": [page, section]}, {"lip.html": "lip drops fast"})

    assert index["docs"] == [{**page, FIELD: "lip drops fast"}, section]
    assert index["config"] == {**chosen, "fields": {"title": {"boost": 1000.0}, FIELD: {"boost": WEIGHT}}}


def test_the_built_index_has_every_word_of_the_register(site: Path, registers: Registers) -> None:
    """Each page that a term leads to has the term's names and search words in the index of the real book."""
    index = json.loads((site / INDEX).read_text(encoding="utf-8"))
    said = {entry["location"]: entry[FIELD].split("; ") for entry in index["docs"] if FIELD in entry}

    leads = [(term, page) for term in registers.terms.values() for page in term.leads_to]
    assert len({page for _, page in leads}) > 20
    missing = [
        (page, name)
        for term, page in leads
        for name in term.names
        if name not in said[page.removesuffix(".md") + ".html"]
    ]
    assert missing == []
    assert index["config"]["separator"] == SEPARATOR

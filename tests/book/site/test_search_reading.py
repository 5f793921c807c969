"""What search reads of a page is all that it keeps of the page, found in fewer tags."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from material.plugins.search.plugin import Parser

from build_tools.site.search_reading import as_search_reads

PAGES = (
    "index.html",
    "figures.html",
    "checked.html",
    "author/author-guide.html",
    "procedures/set-the-mainspring.html",
    "faults/will-not-rise-fully.html",
)


def found_in(html: str) -> list[tuple[str | None, str, str]]:
    """The sections that search makes of a page: address, heading and words, spaces counted once."""
    parser = Parser()
    parser.feed(html)
    parser.close()
    texts = [
        (section.id, section.title, section.text) for section in parser.data if not section.is_excluded()
    ]
    return [(id_, *(re.sub(r"\s+", " ", "".join(each)).strip() for each in parts)) for id_, *parts in texts]


@pytest.mark.parametrize("name", PAGES)
def test_search_finds_the_same(site: Path, name: str) -> None:
    """The theme's search finds the same sections and words in a page as in what it is given of the page."""
    html = (site / name).read_text(encoding="utf-8")
    content = html[html.index("<article") : html.index("</article>")]
    less = as_search_reads(content)

    assert found_in(less) == found_in(content)
    assert less.count("<") < 0.7 * content.count("<")


def test_words_stay_apart_and_headings_stay() -> None:
    """Cells, marks and links lose their tags; what is left out goes; one with a heading in it stays."""
    assert as_search_reads('<td class="x">one</td>\n<td>two</td>') == "one\ntwo"
    assert as_search_reads('a <strong>b</strong> <a href="c.html">c</a>') == "a b c"
    assert as_search_reads('<p>a<sup data-search-exclude="">1</sup></p>') == "<p>a</p>"
    for kept in (
        '<a class="headerlink" href="#a">#</a>',
        '<strong data-search-exclude="">a</strong>',
        '<aside data-search-exclude=""><h2 id="a">a</h2></aside>',
        '<span data-search-exclude=""><span>a</span>b</span>',
    ):
        assert found_in(as_search_reads(kept)) == found_in(kept)

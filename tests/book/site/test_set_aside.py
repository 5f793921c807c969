"""Calculators and drawings set aside: made once, whole on the page, short for search."""

from __future__ import annotations

import json
from pathlib import Path

from build_tools.site.pieces import without_picture
from build_tools.site.set_aside import Piece, SetAside, place


def test_a_piece_is_made_once_and_only_when_a_page_needs_it() -> None:
    """However many pages show a piece, its maker is asked once, and not before the first of them."""
    made: list[str] = []

    def make(*what: str) -> Piece:
        made.append("|".join(what))
        return Piece("<form>all of it</form>", "<h3>its question</h3>")

    aside = SetAside(make)
    pages = [f"<p>{number}</p>{place('calculator', 'fold-time', '..')}<p>after</p>" for number in range(3)]
    assert made == []
    told = [aside.told(page) for page in pages]
    assert all("<h3>its question</h3>" in page and "form" not in page for page in told)
    assert [aside.whole(page) for page in told] == [
        f"<p>{number}</p><form>all of it</form><p>after</p>" for number in range(3)
    ]
    assert made == ["calculator|fold-time|.."]


def test_pieces_that_differ_stay_apart() -> None:
    """Two pieces on one page come back each in its own place, whatever read the page in between."""
    aside = SetAside(lambda name: Piece(name, name * 2))
    page = place("1") + place("2")
    assert aside.told(page).replace("<!--set back-->", "") == f"{place('1')}11{place('2')}22"
    assert aside.whole(aside.told(page)) == "12"


def test_search_finds_a_drawing_by_its_caption() -> None:
    """What is told of a drawing is all but the picture."""
    caption = "<figcaption>At rest</figcaption>"
    figure = f"<figure><svg><g><svg></svg></g></svg>{caption}</figure>"
    assert without_picture(figure) == f"<figure>{caption}</figure>"


def test_search_finds_a_calculator_by_its_question_and_its_fields(site: Path) -> None:
    """The index has the question and the names of fields and results, and no number of the example."""
    index = json.loads((site / "search/search_index.json").read_text(encoding="utf-8"))["docs"]
    found = [entry for entry in index if entry["location"].endswith("#fold-time-title")]
    assert {entry["title"] for entry in found} == {"Is the fold time right?"}
    assert all("Shortest fold time allowed" in entry["text"] for entry in found)
    assert not any("16.4" in entry["text"] for entry in found)
    assert not any("<!--" in entry["text"] or "set aside" in entry["text"] for entry in index)


def test_no_page_is_left_with_a_piece_set_aside(site: Path) -> None:
    """Every calculator and drawing of the real book is in its place."""
    pages = [path.read_text(encoding="utf-8") for path in site.rglob("*.html")]
    assert sum(page.count("data-calculator=") for page in pages) > 5
    assert [page for page in pages if "<!--set " in page] == []

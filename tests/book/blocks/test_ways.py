"""Sentences for one way of doing a thing: marked by their bold label, and by nothing else."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.checks.all_checks import check_book
from build_tools.site.building import build_book

WAYS = """- {id: lip-by-hand, of: lip, label: Lip raised by hand}
- {id: lip-by-hold, of: lip, label: Lip kept out by a lip hold}
"""
STEP = "1. Clear the lip. {#clear-the-lip}"
NOTE = """1. Clear the lip. {#clear-the-lip}

    **Lip raised by hand:** open *both* hands. **Lip kept out by a lip hold:** work the release.
    Then stand still. **Something else:** is only bold.
"""


@pytest.fixture
def book(good_book: Path) -> Path:
    """The good book with two ways, and a step whose note speaks of both."""
    (good_book / "content/registers/ways.yml").write_text(WAYS, encoding="utf-8")
    return good_book


def ways_on(page: Path) -> list[Tag]:
    """The marked sentences of a built page."""
    return list(BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser").select("ol.steps [data-way]"))


def test_a_label_marks_its_line_up_to_the_next_label(book: Path, tmp_path: Path) -> None:
    """Each way holds its own sentence; the next line, and other words in bold, are everybody's."""
    source = book / "content/procedures/time-the-lip.md"
    source.write_text(source.read_text(encoding="utf-8").replace(STEP, NOTE, 1), encoding="utf-8")
    built = build_book(book, tmp_path / "site").folder
    found = ways_on(built / "procedures/time-the-lip.html")
    assert [(part["data-way"], part["data-way-of"], part.get_text().strip()) for part in found] == [
        ("lip-by-hand", "lip", "Lip raised by hand: open both hands."),
        ("lip-by-hold", "lip", "Lip kept out by a lip hold: work the release."),
    ]


@pytest.mark.parametrize(
    ("ways", "what"),
    [
        ("[lip-by-hnd]", "unknown way 'lip-by-hnd'"),
        ("[lip-by-hand, lip-by-hold]", "'lip-by-hold' and 'lip-by-hand' are two ways of one thing ('lip')"),
    ],
)
def test_a_leveler_has_one_known_way_of_a_thing(book: Path, ways: str, what: str) -> None:
    """A way that no row has, or a second way of the same thing, is named with the leveler's file."""
    row = next((book / "content/registers/equipment").glob("*.yml"))
    row.write_text(f"{row.read_text(encoding='utf-8')}ways: {ways}\n", encoding="utf-8")
    found = [problem for problem in check_book(book) if what in problem.what]
    assert [problem.file for problem in found] == [f"content/registers/equipment/{row.name}"]


def test_a_figure_holds_for_a_known_way(book: Path, changed: Callable[[Path, str, str], None]) -> None:
    """A way that no row has is named at its line in the figures."""
    figures = book / "content/registers/figures.yml"
    changed(figures, "  basis: common practice\n", "  basis: common practice\n  holds_for: lip-by-hnd\n")
    found = [problem for problem in check_book(book) if "lip-by-hnd" in problem.what]
    assert [(problem.what, problem.fix) for problem in found] == [
        (
            "figure 'lip-fold-time' holds for an unknown way 'lip-by-hnd'",
            "write 'lip-by-hand' (closest), or add it to the register",
        )
    ]
    assert figures.read_text(encoding="utf-8").splitlines()[found[0].line - 1] == "  holds_for: lip-by-hnd"


def test_a_levelers_own_figure_is_plausible(book: Path) -> None:
    """A leveler may give a figure of the book by its id, within what is plausible for it and not beyond."""
    row = next((book / "content/registers/equipment").glob("*.yml"))
    text = row.read_text(encoding="utf-8")
    own = "  lip_fold_time: {value: VALUE, basis: owner's manual, where: invented manual}\n"
    row.write_text(f"{text}{own.replace('VALUE', '40')}", encoding="utf-8")
    assert [problem.what for problem in check_book(book) if "lip_fold_time" in problem.what] == []
    row.write_text(f"{text}{own.replace('VALUE', '41')}", encoding="utf-8")
    assert [problem.what for problem in check_book(book) if "lip_fold_time" in problem.what] == [
        "equipment 'practice-leveler' gives 'lip_fold_time' as 41, outside what is plausible, 10 to 40"
    ]

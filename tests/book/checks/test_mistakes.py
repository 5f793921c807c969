"""Authors' mistakes and the exact text each one gets; a case is a file in mistakes/."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from build_tools.book.kept_results import KeptResults
from build_tools.checks.all_checks import check_book
from build_tools.reading.problems import has_errors, render

CASES = sorted((Path(__file__).parent / "mistakes").glob("*.yml"))


def _read(case: Path) -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(case.read_text(encoding="utf-8"))
    return found


def test_the_good_book_has_no_problem(good_book: Path) -> None:
    """The book that every case starts from is without mistake and without warning."""
    assert render(check_book(good_book, today="2026-11-26")) == ""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder of kept results for the books of all cases."""
    return tmp_path_factory.mktemp("kept") / "results"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_mistake(case: Path, good_book: Path, changed: Callable[[Path, str, str], None], kept: Path) -> None:
    """Each mistake gets the text of its case, no more and no less, whatever results are kept."""
    mistake = _read(case)
    for edit in mistake.get("edits", []):
        changed(good_book / edit["file"], edit["old"], edit["new"])
    for name, text in mistake.get("files", {}).items():
        (good_book / name).parent.mkdir(parents=True, exist_ok=True)
        (good_book / name).write_text(text, encoding="utf-8")

    problems = check_book(good_book, today=mistake.get("today"))

    assert render(problems) + "\n" == mistake["problems"]
    assert has_errors(problems) == (" mistake" in mistake["problems"].splitlines()[-1])
    for _ in range(2):  # what all the other cases have left, and then what this one has
        results = KeptResults(kept)
        assert check_book(good_book, today=mistake.get("today"), kept=results) == problems
        results.save("check")


def test_there_are_many_cases_each_with_its_rule() -> None:
    """The cases cover at least 30 mistakes, and each says in a sentence which rule it shows."""
    assert len(CASES) >= 30
    assert [case.stem for case in CASES if not _read(case)["about"].endswith(".")] == []


def test_a_file_that_is_not_utf_8_is_told_with_its_line(good_book: Path) -> None:
    """A page saved in another encoding stops with the line of the first bad character."""
    page = good_book / "content/learn/why.md"
    page.write_bytes(page.read_bytes().replace(b"plain words", b"pl\xe4in words"))

    assert render(check_book(good_book)) == (
        "content/learn/why.md:11: the line holds a character that is not UTF-8\n"
        "  why: phones would show a wrong sign in its place\n"
        "  fix: save the file as UTF-8 in the editor, and type the character again\n"
        "1 mistake"
    )


def test_a_folder_without_a_book_is_told(tmp_path: Path) -> None:
    """Where there is no mkdocs.yml, that is said, and nothing else is made of it."""
    assert "mkdocs.yml:1: the file is missing" in render(check_book(tmp_path))

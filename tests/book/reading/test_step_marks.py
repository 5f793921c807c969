"""The marks behind a step's id: what the scanner reads, and what is left of them in the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_tools.blocks.rendering import render_pages
from build_tools.book.book import read_book
from build_tools.reading.lines import scan
from build_tools.reading.step_ids import fill_step_ids
from build_tools.reading.step_marks import StepMark, read_mark

MARKS = {
    "pull": StepMark("pull"),
    "pull .with": StepMark("pull", with_before=True),
    "pull asks=rise": StepMark("pull", asks=("rise",)),
    "pull .with asks=rise,lock-on:ring": StepMark("pull", True, ("rise", "lock-on:ring")),
    "pull .wiht asks=": StepMark("pull", unknown=(".wiht", "asks=")),
    "pull the ring": StepMark("pull the ring"),
}


@pytest.mark.parametrize(("written", "mark"), MARKS.items(), ids=MARKS)
def test_a_mark_is_read(written: str, mark: StepMark) -> None:
    """Words with a dot before them or an equals sign in them are marks; all other words stay with the id."""
    assert read_mark(written) == mark


def test_the_scanner_gives_each_step_its_mark() -> None:
    """The id is the mark's, and neither stands in the step's text."""
    text = "/// steps\n1. Pull it. {#pull asks=rise}\n2. Look. {#look .with}\n3. Go on.\n///\n"
    steps = [(step.id, step.text, step.mark) for step in scan(text).steps]
    assert steps == [
        ("pull", "Pull it.", StepMark("pull", asks=("rise",))),
        ("look", "Look.", StepMark("look", with_before=True)),
        (None, "Go on.", StepMark("")),
    ]


def test_a_reader_sees_nothing_of_a_mark(good_book: Path) -> None:
    """A page with marks is the page without them, but for `data-asks` at the step."""
    page = good_book / "content/procedures/time-the-lip.md"
    plain = page.read_text(encoding="utf-8")
    marked = plain.replace("{#do-it-again}", "{#do-it-again .with asks=runs,temperature}")
    assert marked != plain
    page.write_text(marked, encoding="utf-8")
    with_marks = render_pages(read_book(good_book)[0])["procedures/time-the-lip.md"].html
    page.write_text(plain, encoding="utf-8")
    without = render_pages(read_book(good_book)[0])["procedures/time-the-lip.md"].html

    step = BeautifulSoup(with_marks, "html.parser").find("li", id="do-it-again")
    assert step is not None
    assert step["data-asks"] == "runs,temperature"
    assert with_marks.replace(' data-asks="runs,temperature"', "") == without


def test_filling_in_ids_leaves_marks_alone(tmp_path: Path) -> None:
    """`check --fix` writes the missing ids and changes nothing of those that stand."""
    page = tmp_path / "page.md"
    page.write_text("/// steps\n1. Pull it. {#pull asks=rise}\n2. Look along.\n///\n", encoding="utf-8")
    assert fill_step_ids(page) == ["look-along"]
    assert page.read_text(encoding="utf-8") == (
        "/// steps\n1. Pull it. {#pull asks=rise}\n2. Look along. {#look-along}\n///\n"
    )

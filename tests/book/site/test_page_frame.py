"""The frame that the build sets around a page."""

from __future__ import annotations

from pathlib import Path

from bs4 import BeautifulSoup

from build_tools.reading.pages import page_from
from build_tools.registers.registers import load_registers
from build_tools.shown.marks import Marks
from build_tools.site.page_frame import Office, framed

FRONT_MATTER = """\
---
title: "Time <it> for {{ lip-fold-time }}"
kind: KIND
summary: A.
who: Anyone & all
takes: takes-timing
tools: [stopwatch]
hazards: {}
revised: 2026-11-20
review_by: 2027-11-20
---
"""


def _framed(content: str, kind: str, book: Path, office: Office | None = None) -> BeautifulSoup:
    page, problems = page_from(FRONT_MATTER.replace("KIND", kind), "a/b.md", "content/a/b.md")
    assert problems == []
    registers, _ = load_registers(book / "content/registers")
    html = framed(content, page, Marks(registers, "../figures.html"), office=office)
    return BeautifulSoup(html, "html.parser")


def _outline(page: BeautifulSoup) -> list[str]:
    return [".".join([tag.name, *tag.get("class", [])]) for tag in page.find_all(recursive=False)]


def test_facts_and_caution_follow_a_procedures_title(good_book: Path) -> None:
    """Whoever opens a procedure sees facts and caution before the author's first word."""
    page = _framed("<h1>Mine</h1><p>Words</p>", "procedure", good_book)

    assert _outline(page) == ["h1", "dl.ht-facts", "aside.ht-defer", "p", "p.ht-dates"]


def test_a_procedure_without_a_title_gets_that_of_its_front_matter(good_book: Path) -> None:
    """The title is escaped and its figures are plain text."""
    page = _framed("<p>Words</p>", "procedure", good_book)

    assert _outline(page) == ["h1", "dl.ht-facts", "aside.ht-defer", "p", "p.ht-dates"]
    assert str(page.h1) == "<h1>Time &lt;it&gt; for 18 to 20 s</h1>"
    assert page.select("[data-fact=who] dd")[0].get_text() == "Anyone & all"
    assert page.select("[data-fact=hazards]") == []


def test_the_office_can_be_called_from_the_stops(good_book: Path) -> None:
    """Under the heading of the stops stands the office's number as a link; elsewhere it does not."""
    stops = '<h2 id="steps">Steps</h2><h2 id="stop-and-call">Stop and call</h2><ul><li>It leaks.</li></ul>'
    page = _framed(f"<h1>Mine</h1>{stops}", "procedure", good_book, office=Office("Our office", "555-0142"))

    lines = page.select(".ht-call")
    assert [line.get_text() for line in lines] == ["Our office: 555-0142"]
    assert lines[0].find_previous_sibling() == page.select_one("#stop-and-call")
    assert lines[0].select_one("a[href='tel:555-0142']") is not None


def test_other_pages_have_the_caution_last(good_book: Path) -> None:
    """On a home page or a guide the caution stands after the words, before the dates."""
    page = _framed("<h1>Mine</h1><p>Words</p>", "guide", good_book)

    assert _outline(page) == ["h1", "p", "aside.ht-defer", "p.ht-dates"]

"""What the build adds for paper alone: the foot of a sheet, and a calculator's lines for the pen."""

from __future__ import annotations

from bs4 import BeautifulSoup

from build_tools.registers.registers import Registers
from build_tools.sheets.given import asked
from build_tools.sheets.paper import paper_sheet
from build_tools.shown.marks import Marks
from build_tools.shown.sheet_words import SheetWords
from build_tools.site.paper_foot import foot_attributes
from calculators import answering


def test_the_foot_names_page_company_and_edition(registers: Registers) -> None:
    """The foot has the page's name, then company, office and edition; characters in them are escaped."""
    extra = {"company": "A & B", "office": "Office", "office_phone": "555-0100", "edition_date": "2026-11-25"}
    assert foot_attributes('The "lip"', extra, Marks(registers, "figures.html")) == (
        ' data-paper-name="The &#34;lip&#34;" '
        'data-paper-foot="A &amp; B · Office 555-0100 · Edition of 2026-11-25"'
    )


def test_a_foot_without_an_office_leaves_it_out(registers: Registers) -> None:
    """A company that gives no telephone has no half of a line about its office."""
    foot = foot_attributes("Page", {"company": "A", "office": "Office"}, Marks(registers, "figures.html"))
    assert foot == ' data-paper-name="Page" data-paper-foot="A"'


def test_the_pen_is_asked_for_what_is_read_off(registers: Registers) -> None:
    """The lines for the pen ask for what the form asks for openly, never for what the book fills in."""
    words = SheetWords("turn-plan", registers, "..")
    sheet = BeautifulSoup(paper_sheet(asked(answering.module("turn-plan").INPUTS), words), "html.parser")
    heads = [head.get_text() for head in sheet.select("th")]
    assert heads == ["Half turns from as found", "Fold time (s)"]
    assert [line.get_text() for line in sheet.select("li")] == [
        "Shortest fold time allowed (s)",
        "Longest fold time allowed (s)",
        "Half turns left to loosen",
        "Half turns left to tighten",
    ]


def test_every_calculator_has_lines_for_the_pen(registers: Registers) -> None:
    """No calculator prints as an empty box."""
    for name in answering.NAMES:
        sheet = BeautifulSoup(
            paper_sheet(asked(answering.module(name).INPUTS), SheetWords(name, registers, "..")),
            "html.parser",
        )
        assert sheet.select("td, .ht-pen-line"), name

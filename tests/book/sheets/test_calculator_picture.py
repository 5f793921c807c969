"""Picture and working on a work sheet without JavaScript: the example's, and the places of the live ones."""

from __future__ import annotations

import json

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.registers.registers import Registers
from build_tools.sheets.example import INSTRUCTIONS, answer_for
from build_tools.sheets.section import render
from build_tools.shown.sheet_words import SheetWords
from calculators import answering
from calculators.pictures import DRAWN, picture
from calculators.shared.working_lines import line_text
from calculators.workings import working


@pytest.fixture(params=answering.NAMES, scope="module")
def name(request: pytest.FixtureRequest) -> str:
    """Each calculator's name."""
    return str(request.param)


@pytest.fixture(scope="module")
def html(name: str, registers: Registers) -> str:
    """The work sheet of one calculator."""
    return render(name, registers, root="..")


@pytest.fixture(scope="module")
def sheet(html: str) -> Tag:
    """The same, parsed."""
    return BeautifulSoup(html, "html.parser").find("section")  # type: ignore[return-value]


def test_the_example_has_the_picture_of_its_answer(
    name: str, html: str, sheet: Tag, registers: Registers
) -> None:
    """The picture in the page is the calculators' own, to the last character, and holds no order."""
    inputs = json.loads(sheet.select_one("[data-example]")["data-inputs"])
    answer = answer_for(inputs, SheetWords(name, registers, ".."))
    told = {key: value for key, value in answer.items() if key not in INSTRUCTIONS}
    drawn = picture(name, inputs, told, registers.words)
    assert len(sheet.select("[data-example] figure svg")) == (name in DRAWN)
    assert (drawn is not None) == (name in DRAWN)
    if drawn:
        assert drawn["svg"] in html
        assert "ht-plot-next" not in drawn["svg"] and "ht-plot-goal" not in drawn["svg"]


def test_the_example_has_its_working_folded(name: str, sheet: Tag, registers: Registers) -> None:
    """Every line of the working is in the example's fold, in order."""
    inputs = json.loads(sheet.select_one("[data-example]")["data-inputs"])
    answer = answer_for(inputs, SheetWords(name, registers, ".."))
    told = {key: value for key, value in answer.items() if key not in INSTRUCTIONS}
    lines = [line_text(each, registers.words) for each in working(name, inputs, told)]
    fold = sheet.select_one("[data-example] details.ht-working")
    assert not fold.has_attr("open")
    assert [line.get_text() for line in fold.select("li")] == lines != []


def test_the_live_places_are_there_and_empty(name: str, sheet: Tag) -> None:
    """After what to do comes the picture, then why, the numbers and the working; all wait for an answer."""
    answer = sheet.select_one("[data-answer]")
    order = [
        child.get("data-part") or child.get("class")[0]
        for child in answer.find_all(recursive=False)
        if child.get("data-part") or child.get("class")
    ]
    wanted = [*(["picture"] if name in DRAWN else []), "explanation-fault", "reasons", "ht-numbers"]
    assert [part for part in order if part in wanted] == wanted
    assert order[-1] == "working"
    assert all(answer.select_one(f"[data-part={part}]").has_attr("hidden") for part in wanted[:-2])
    assert answer.select_one("[data-list=working]").get_text() == ""
    assert answer.find("svg") is None


def test_a_picture_brings_nothing_that_the_page_refuses(name: str, sheet: Tag) -> None:
    """No style, no script, no id and no address within a picture of the page."""
    for part in (part for drawn in sheet.select("svg") for part in [drawn, *drawn.find_all(True)]):
        assert part.name in ("svg", "path", "circle", "text")
        assert not {"style", "id", "href", "xlink:href", "onload"} & set(part.attrs)

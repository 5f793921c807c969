"""A work sheet's answer: a place for every result, cautions before orders, what-if without them."""

from __future__ import annotations

import dataclasses

import pytest

from build_tools.registers.registers import Registers
from build_tools.sheets.example import INSTRUCTIONS
from build_tools.sheets.results import NUMBERS
from build_tools.shown.shown_values import short_part
from calculators import answering
from calculators.answering import NAMES
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from tests.book.sheets.work_sheet import sheet


@pytest.mark.parametrize("name", NAMES)
def test_every_result_has_its_place(name: str, registers: Registers) -> None:
    """Each output of the schema is in the answer area once, under that name; a question apart."""
    section = sheet(name, registers)
    places = [str(place["data-field"]) for place in section.select("[data-answer] output[data-field]")]
    outputs = answering.schema(name)["outputs"]
    asking = [output["name"] for output in outputs if output["kind"] == "question"]
    assert sorted([*places, *asking]) == sorted(output["name"] for output in outputs)
    assert len(section.select("[data-answer] [data-part=question]")) == len(asking)


STATISTICS = ("standard uncertainty", "coverage factor", "degrees of freedom", "standard deviation")
"""Words that help nobody at a dock."""


@pytest.mark.parametrize("name", NAMES)
def test_statistics_stand_in_a_fold(name: str, registers: Registers) -> None:
    """What is seen of an answer without unfolding, and what is said of it, names no statistics."""
    area = sheet(name, registers).select_one("[data-answer]")
    assert area is not None
    behind = " ".join(fold.get_text(" ") for fold in area.select("details")).lower()
    for fold in area.select("details"):
        fold.decompose()
    said = [
        text
        for code, text in registers.words.items()
        if code.startswith(
            (f"{name}.headline.", f"{name}.reason.", f"page.do.{name}.", "page.own.", "question.")
        )
    ]
    seen = " ".join([area.get_text(" "), *said]).lower()
    assert [word for word in STATISTICS if word in seen] == []
    assert (STATISTICS[1] in behind) == (name == "fold-time")


@pytest.mark.parametrize("name", NAMES)
def test_cautions_stand_in_full_above_the_action(name: str, registers: Registers) -> None:
    """Without JavaScript too, the cautions of all it may order are there in three parts before its place."""
    outputs = {output["name"] for output in answering.schema(name)["outputs"]}
    wanted = [
        *(BEFORE_TURNING if "before_turning" in outputs else ()),
        *(BEFORE_CYCLING if "before_cycling" in outputs else ()),
    ]
    section = sheet(name, registers)
    area = section.select_one("[data-answer]")
    assert area is not None
    cautions = area.select("[data-before] aside[data-hazard]")
    assert [caution["data-hazard"] for caution in cautions] == wanted
    for caution in cautions:
        hazard = registers.hazards[str(caution["data-hazard"])]
        assert caution["data-signal"] == hazard.signal
        assert [hazard.what, hazard.avoid] == [part.get_text() for part in caution.find_all("p")[1:]]
    action = area.select_one("[data-part=do]") or area.select_one("output[data-field=headline]")
    assert action is not None
    assert cautions[-1:] == action.find_all_previous("aside")[:1]
    assert [
        part for part in section.select("[data-before], [data-before] *") if part.has_attr("hidden")
    ] == []


@pytest.mark.parametrize(
    ("name", "count", "places"),
    [
        ("curve", 12, list(range(12))),
        ("curve", 41, [*range(0, 40, 4), 40]),
        ("curve", 13, [0, 2, 4, 6, 8, 10, 12]),
        ("due", 14, list(range(12))),
        ("series", 14, list(range(2, 14))),
    ],
)
def test_which_rows_stand_open(name: str, count: int, places: list[int]) -> None:
    """A curve is thinned evenly with both ends, a history shows its end, a plan its beginning."""
    assert short_part(name, count) == places


@pytest.mark.parametrize("name", NAMES)
def test_what_if_gives_no_order(name: str, registers: Registers) -> None:
    """Moved values are headed as not measured; no result that orders is there, nor a headline that may."""
    section = sheet(name, registers)
    part = section.select_one("details[data-part=what-if]")
    assert part is not None
    outputs = {output["name"]: output["kind"] for output in answering.schema(name)["outputs"]}
    shown = {str(place["data-what-if"]) for place in part.select("output[data-what-if]")}
    may_order = {"before_turning", "before_cycling"} & set(outputs)
    assert shown.isdisjoint(INSTRUCTIONS | {"reasons", "before_turning", "before_cycling"})
    assert ("headline" in shown) == (not may_order)
    assert {kind for result, kind in outputs.items() if result in shown} <= {*NUMBERS, "rows", "sentence"}
    assert part.select("output[data-field]") == []
    mark = part.select_one("[data-part=what-if-answer] > p")
    assert mark is not None
    assert mark.get_text() == "WHAT IF, NOT MEASURED"
    assert part.has_attr("hidden")


@pytest.mark.parametrize("name", NAMES)
def test_the_form_is_no_noise_in_the_search(name: str, registers: Registers) -> None:
    """Labels, help and empty answers are left out of the search; the question itself is found."""
    section = sheet(name, registers)
    left_out = section.select("[data-search-exclude]")
    assert {"form", "div"} <= {part.name for part in left_out}
    assert section.select("[data-search-exclude] h3") == []


def test_words_of_a_register_never_become_markup(registers: Registers) -> None:
    """A sentence with angle brackets is shown with them."""
    changed = dataclasses.replace(
        registers, words={**registers.words, "fold-time.title": "Is <b>it</b> & right?"}
    )
    heading = sheet("fold-time", changed).find("h3")
    assert heading is not None
    assert heading.get_text() == "Is <b>it</b> & right?"


@pytest.mark.parametrize(
    ("root", "href"), [(".", "figures.html"), ("..", "../figures.html"), ("../..", "../../figures.html")]
)
def test_links_lead_to_the_register_page_from_any_depth(root: str, href: str, registers: Registers) -> None:
    """Every link of a sheet is relative to the page it is on."""
    links = sheet("fold-time", registers, root).select("a[href]")
    assert {str(link["href"]).partition("#")[0] for link in links} == {href}

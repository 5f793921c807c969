"""A work sheet's worked example and look-up table: the calculator's own, and nobody's instruction."""

from __future__ import annotations

import dataclasses
import json

import pytest

from build_tools.reading.marked_yaml import read_marked
from build_tools.registers.registers import Registers
from build_tools.sheets.example import INSTRUCTIONS, ExampleRefused
from build_tools.sheets.given import given as given_by
from build_tools.sheets.section import render
from build_tools.shown.shown_values import SHORT_ROWS
from calculators import answering
from calculators.answering import NAMES
from tests.book.sheets.work_sheet import answer_to, sheet


@pytest.mark.parametrize("name", NAMES)
def test_the_worked_answer_is_the_calculators(name: str, registers: Registers) -> None:
    """Every value of the example is what the calculator gives for the inputs shown beside it."""
    example = sheet(name, registers).select_one("[data-example]")
    assert example is not None
    inputs = str(example["data-inputs"])
    answer = answer_to(inputs, name, registers)
    given = {
        str(place["data-given"]): json.loads(str(place["data-value"]))
        for place in example.select("[data-given]")
    }
    found = {
        str(place["data-found"]): json.loads(str(place["data-value"]))
        for place in example.select("[data-found]")
    }
    filled = {**given_by(answering.module(name).INPUTS, registers.figures), **given}
    assert filled == json.loads(inputs)
    assert given == registers.examples[name]["inputs"]
    assert found == {key: answer[key] for key in found}
    assert len(found) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_the_worked_answer_gives_no_instruction(name: str, registers: Registers) -> None:
    """The example is headed as nobody's leveler, follows the live answer, and asks for nothing."""
    section = sheet(name, registers)
    example = section.select_one("[data-answer] ~ [data-example]")
    assert example is not None
    heading = example.find("h4")
    assert heading is not None
    assert heading.get_text() == "EXAMPLE, NOT YOUR LEVELER"
    shown = {str(place["data-found"]) for place in example.select("[data-found]")}
    assert shown.isdisjoint(INSTRUCTIONS | {"headline", "reasons"})


@pytest.mark.parametrize("name", NAMES)
def test_the_table_is_the_calculators(name: str, registers: Registers) -> None:
    """Every row of the look-up table is what the calculator gives for that row's inputs."""
    table = registers.examples[name]["table"]
    rows = sheet(name, registers).select("[data-look-up] tbody tr[data-inputs]")
    assert len(rows) == len(table["rows"])
    for row in rows:
        inputs = str(row["data-inputs"])
        values = {**json.loads(inputs), **answer_to(inputs, name, registers)}
        cells = {
            str(cell["data-shown"]): json.loads(str(cell["data-value"]))
            for cell in row.select("[data-shown]")
        }
        assert cells == {key: values[key] for key in table["show"]}


def test_numbers_are_shown_as_their_kind_is_read(registers: Registers) -> None:
    """Inputs are as they were given, times with hundredths, a chance never as certain, choices in words."""
    example = sheet("fold-time", registers).select_one("[data-example]")
    assert example is not None
    text = {
        str(place.get("data-given") or place.get("data-found")): place.get_text()
        for place in example.select("dd")
    }
    answer = answer_to(str(example["data-inputs"]), "fold-time", registers)
    assert text["runs_s"] == "16.4, 16.7, 16.5\u00a0s"
    assert text["mean_s"] == f"{answer['mean_s']:.2f}\u00a0s"
    assert text["probability_in_window"] == "under 1 %"
    assert text["verdict"] == registers.words[f"fold-time.verdict.{answer['verdict']}"]


def test_a_long_list_starts_short_and_is_whole_below(registers: Registers) -> None:
    """The example's curve shows at most 12 rows, from end to end; the whole curve is folded under them."""
    example = sheet("counterbalance", registers).select_one('[data-found="curve"]')
    assert example is not None
    short, whole = (
        [row.get_text("|") for row in table.select("tbody tr")] for table in example.select("table")
    )
    assert 2 < len(short) <= SHORT_ROWS < len(whole)
    assert (short[0], short[-1]) == (whole[0], whole[-1])
    assert [row for row in short if row not in whole] == []
    assert example.select_one("details > table") is not None


def test_the_example_holds_the_whole_calendar(registers: Registers) -> None:
    """Without JavaScript the calendar can be read, line by line as the calculator wrote it."""
    text = sheet("service-plan", registers).select_one('[data-example] details > pre[data-found="calendar"]')
    assert text is not None
    written = json.loads(str(text["data-value"]))
    assert written.startswith("BEGIN:VCALENDAR\r\n")
    assert text.get_text().splitlines() == written.splitlines()


def test_an_example_that_the_calculator_refuses_stops_the_page(registers: Registers) -> None:
    """Inputs out of range are never computed past; the message is the calculator's own."""
    with pytest.raises(ExampleRefused, match=r"^fold-time: .*0\.01 is outside what is allowed"):
        render("fold-time", with_broken_example(registers), root="..")


def with_broken_example(registers: Registers) -> Registers:
    """The registers with a run of 0.01 s in the worked example of fold-time."""
    text = """
inputs:
  runs_s: [0.01]
  window_low_s: 18
  window_high_s: 20
  timing_uncertainty_s: 0.1
  confidence: 0.95
table: {vary: nothing, rows: [], show: []}
"""
    nodes = {**registers.example_nodes, "fold-time": read_marked(text)}
    return dataclasses.replace(registers, example_nodes=nodes)

"""Every calculator through its page: asked what is written, in any unit, and left alone by "what if"."""

from __future__ import annotations

import copy
import json
import re
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers.registers import Registers
from build_tools.sheets.given import given
from build_tools.sheets.results import INSTRUCTIONS, NUMBERS
from build_tools.shown.units import UNITS
from calculators import answering
from tests.browser.work_sheet import (
    fill,
    kept_sheet,
    move_what_if,
    open_sheet,
    open_what_if,
    press,
    results,
    shown,
    wait_answer,
    wait_runtime,
)
from tests.to_wire import to_wire

UNIT_BUTTON = "[data-units-choice={}]"


@pytest.fixture(scope="module", params=answering.NAMES)
def name(request: pytest.FixtureRequest, browser: WebDriver, address: str, registers: Registers) -> str:
    """A calculator whose sheet is open, filled with the book's example; opened once for all its tests."""
    opened = str(request.param)
    open_sheet(browser, address, opened)
    wait_runtime(browser)
    fill(browser, registers.examples[opened]["inputs"])
    wait_answer(browser)
    return opened


def python_answer(name: str, inputs: dict[str, Any], registers: Registers) -> dict[str, Any]:
    """What the calculator gives here for the same inputs, with what the registers give every page."""
    asked = {**given(answering.module(name).INPUTS, registers.figures), **inputs}
    found: dict[str, Any] = json.loads(answering.run(name, json.dumps(asked), registers.words))
    return found


def shown_results(browser: WebDriver) -> dict[str, Any]:
    """The exact value of each result, without the single cells of tables."""
    return {place: value for place, value in results(browser).items() if "[" not in place}


def test_the_page_answers_as_python_does(browser: WebDriver, name: str, registers: Registers) -> None:
    """Every number, choice, day, list and text of the example's answer stands on the page, exactly."""
    expected = python_answer(name, registers.examples[name]["inputs"], registers)
    outputs = {output["name"]: output["kind"] for output in answering.schema(name)["outputs"]}
    kinds = {*NUMBERS, "rows", "text", "hazards"}
    assert shown_results(browser) == {
        place: expected[place]
        for place, kind in outputs.items()
        if kind in kinds and expected[place] is not None
    }
    told = shown(browser)
    assert told["headline"] == expected["headline"]["text"]
    assert told["reasons"] == [reason["text"] for reason in expected["reasons"]]


def test_what_is_hidden_is_not_seen(browser: WebDriver, name: str) -> None:
    """No style brings out a part of the sheet that the script keeps away."""
    seen = browser.execute_script("""
        const parts = [...document.querySelectorAll("section[data-calculator] [hidden]")];
        const seen = parts.filter((part) => getComputedStyle(part).display !== "none");
        return seen.map((part) => part.outerHTML);
    """)
    assert seen == []


def test_other_units_change_no_value(browser: WebDriver, name: str) -> None:
    """With pounds and inches every value on the sheet and in the answer stays, and comes back as written."""
    buttons = browser.find_elements("css selector", "[data-units-choice]")
    changing = {"mainspring-plan", "counterbalance", "spring-rate", "dock-slope", "rod-length"}
    assert (len(buttons) == 2) == (name in changing)
    if not buttons:
        return
    before = (results(browser), kept_sheet(browser, name), entries(browser), shown(browser))
    press(browser, UNIT_BUTTON.format("lbf-in-ft"))
    wait_answer(browser)
    there = (results(browser), kept_sheet(browser, name), entries(browser), shown(browser))
    press(browser, UNIT_BUTTON.format("n-mm-m"))
    wait_answer(browser)
    assert there[:2] == before[:2]
    assert there[2] != before[2] or name == "mainspring-plan"
    assert (results(browser), kept_sheet(browser, name), entries(browser), shown(browser)) == before


def entries(browser: WebDriver) -> list[str]:
    """What stands in every entry."""
    found: list[str] = browser.execute_script(
        "return [...document.querySelectorAll('[data-sheet] [data-input] input')].map((entry) => entry.value)"
    )
    return found


def test_what_if_follows_and_leaves_the_sheet_alone(
    browser: WebDriver, name: str, registers: Registers
) -> None:
    """The numbers of a moved value are the calculator's own for it; sheet and answer stay untouched."""
    before = (results(browser), kept_sheet(browser, name), shown(browser))
    place = open_what_if(browser)
    lowest = browser.execute_script("return Number(document.querySelector('[data-what-if-slider]').min)")
    told = move_what_if(browser, -1 if lowest < 0 else 1)
    inputs = copy.deepcopy(registers.examples[name]["inputs"])
    value = wire_value(told["value"])
    set_at(inputs, place, -value if place == "half_turns_min" else value)
    expected = python_answer(name, inputs, registers)
    assert told["mark"] == "WHAT IF, NOT MEASURED"
    assert told["results"] == {
        result: expected[result] for result in told["results"] if expected[result] is not None
    }
    assert told["results"] or told["headline"] == expected["headline"]["text"]
    assert INSTRUCTIONS.isdisjoint(told["results"])
    assert (results(browser), kept_sheet(browser, name), shown(browser)) == before


def wire_value(text: str) -> float:
    """A number with its unit, as it goes over the wire."""
    number, unit = re.fullmatch(r"(\S+)\s?(.*)", text).groups()  # type: ignore[union-attr]
    value = float(number.replace("\u2212", "-"))
    return to_wire(value, unit) if unit in UNITS else value


def set_at(inputs: Any, place: str, value: float) -> None:
    """Put a value in a place such as "readings[0].fold_time_s"."""
    *path, last = [int(key) if key.isdigit() else key for key in re.findall(r"\w+", place)]
    for key in path:
        inputs = inputs[key]
    inputs[last] = value

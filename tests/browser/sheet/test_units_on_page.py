"""Units on a work sheet: what is written stays what it is, whatever units are shown."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.browsers.reading import waiting
from build_tools.places import PROJECT
from build_tools.registers.registers import load_registers
from build_tools.shown.shown_values import short_part
from build_tools.shown.units import UNITS, from_wire
from calculators import answering
from calculators.explain import run_picture
from tests.browser.work_sheet import (
    empty_sheet,
    entry,
    error_at,
    fill,
    kept_sheet,
    open_sheet,
    press,
    results,
    wait_answer,
    wait_runtime,
    write,
)
from tests.to_wire import to_wire

DOCK = {
    "dock_height_m": 1.22,
    "bed_height_m": 1.3,
    "platform_length_m": 1.8,
    "lip_length_m": 0.4,
    "slope_limit_percent": 10,
    "reach_above_m": 0.3,
}


def units(browser: WebDriver, system: str) -> None:
    """Choose units, as a person does."""
    press(browser, f"[data-units-choice={system}]")


@pytest.fixture
def dock_slope(browser: WebDriver, address: str) -> Iterator[WebDriver]:
    """An empty sheet of the slope, its Python ready, metric again afterwards."""
    empty_sheet(browser, address, "dock-slope")
    wait_runtime(browser)
    yield browser
    units(browser, "n-mm-m")


def test_inches_are_inches(dock_slope: WebDriver) -> None:
    """What is written in inches and feet is answered as those lengths in meters, and kept as written."""
    units(dock_slope, "lbf-in-ft")
    fill(dock_slope, {"slope_limit_percent": 10})
    for name, text in {"dock_height_m": "48", "bed_height_m": "52,5", "platform_length_m": "6"}.items():
        write(dock_slope, name, text)
    for name, text in {"lip_length_m": "16", "reach_above_m": "12", "reach_below_m": "12"}.items():
        write(dock_slope, name, text)
    told = wait_answer(dock_slope)
    inputs = {
        "dock_height_m": 1.2192,
        "bed_height_m": 1.3335,
        "platform_length_m": 1.8288,
        "lip_length_m": 0.4064,
        "reach_above_m": 0.3048,
        "reach_below_m": 0.3048,
        "slope_limit_percent": 10,
    }
    expected = json.loads(answering.run("dock-slope", json.dumps(inputs), read_words()))
    found = results(dock_slope)
    assert found == {name: expected[name] for name in found}
    assert len(found) == 4
    assert told["reasons"][0] == "It goes 4.50\u00a0in uphill to the truck over a board of 88.0\u00a0in."
    assert kept_sheet(dock_slope, "dock-slope")["fields"]["bed_height_m"]["text"] == "52,5 in"


def read_words() -> dict[str, str]:
    """The book's sentences."""
    return load_registers(PROJECT / "content" / "registers")[0].words


def test_units_and_what_was_written_outlast_a_reload(dock_slope: WebDriver, address: str) -> None:
    """The choice of units stays on the phone; what was written is told beside other units, and comes back."""
    units(dock_slope, "lbf-in-ft")
    write(dock_slope, "dock_height_m", "50.123")
    open_sheet(dock_slope, address, "dock-slope")
    assert entry(dock_slope, "dock_height_m").get_attribute("value") == "50.123"
    units(dock_slope, "n-mm-m")
    assert entry(dock_slope, "dock_height_m").get_attribute("value") == "1273.12"
    note = dock_slope.find_element(By.CSS_SELECTOR, '[data-input="dock_height_m"] [data-note]')
    assert note.text == "Written as 50.123 in."
    units(dock_slope, "lbf-in-ft")
    assert entry(dock_slope, "dock_height_m").get_attribute("value") == "50.123"
    assert note.text == ""


def test_ranges_and_errors_are_told_in_the_chosen_units(dock_slope: WebDriver) -> None:
    """What is out of range, and what no number is, is refused in the units in which it was written."""
    wait_runtime(dock_slope)
    fill(dock_slope, {**DOCK, "reach_below_m": 3})
    wait_answer(dock_slope, "refused")
    assert error_at(dock_slope, "reach_below_m") == (
        "Reach below the dock: 3000.0 mm is outside what is allowed, 0 to 2000 mm. "
        "Check the decimal mark and the unit, then give it again."
    )
    units(dock_slope, "lbf-in-ft")
    write(dock_slope, "reach_below_m", "80")
    wait_answer(dock_slope, "refused")
    assert error_at(dock_slope, "reach_below_m").startswith(
        "Reach below the dock: 80 in is outside what is allowed, 0 to 78.74 in."
    )
    write(dock_slope, "reach_below_m", "a foot")
    wait_answer(dock_slope, "refused")
    assert error_at(dock_slope, "reach_below_m") == (
        'Reach below the dock: "a foot" is not a number. Give a number, 0 to 78.74 in.'
    )
    help_text = dock_slope.find_element(By.ID, "dock-slope-reach_below_m-help").text
    assert help_text.endswith("Allowed: 0 to 78.74 in.")


def test_conversions_are_those_of_the_build(dock_slope: WebDriver) -> None:
    """The page and the build convert every unit to the last digit alike, and thin out long lists alike."""
    numbers = [
        (value, unit)
        for unit in UNITS
        for value in (0, 1, -2.5, 0.0002, 12.3456789012, 98765.4321, 1 / 3, 6e9)
    ]
    parts = [(name, count) for name in ("curve", "series", "due") for count in (0, 12, 13, 41, 300)]
    script = """
        const [numbers, parts, done] = arguments;
        const root = new URL(document.documentElement.dataset.root + "/", location);
        const address = (bundle) => new URL(`half-turn/page/${bundle}.js`, root);
        const ours = (bundle) => import(address(bundle)).then(({ parts }) => parts);
        Promise.all([ours("leveler"), ours("calculator")]).then(([leveler, calculator]) => {
            const [units, tables] = [leveler["units.js"], calculator["result_table.js"]];
            done([
                numbers.map(([value, unit]) => [units.toWire(value, unit), units.fromWire(value, unit)]),
                parts.map(([part, count]) => [...tables.shortPart(count, 12, part)]),
            ]);
        });
    """
    shown_as = {"curve": "spread", "series": "last", "due": "first"}
    there = dock_slope.execute_async_script(
        script, numbers, [(shown_as[name], count) for name, count in parts]
    )
    assert there[0] == [[to_wire(value, unit), from_wire(value, unit)] for value, unit in numbers]
    assert there[1] == [short_part(name, count) for name, count in parts]


def test_no_sentence_keeps_its_meters(dock_slope: WebDriver) -> None:
    """In pounds and inches every sentence of every case, its errors too, is told without a metric unit."""
    sentences, messages = said_in_cases()
    script = """
        const [sentences, messages, done] = arguments;
        const root = new URL(document.documentElement.dataset.root + "/", location);
        import(new URL("half-turn/page/calculator.js", root)).then(({ parts }) => {
            const { told, toldText } = parts["unit_sentences.js"];
            done([sentences.map(told), messages.map(toldText)]);
        });
    """
    metric = r"\d[ \u00a0](N|N·m|mm|cm|m|kg|MPa|N/mm)\b"
    units(dock_slope, "lbf-in-ft")
    told, told_errors = dock_slope.execute_async_script(script, sentences, messages)
    texts = [*told, *told_errors]
    assert [text for text in texts if re.search(metric, text)] == []
    assert len([text for text in texts if "\u00a0in" in text or "\u00a0lbf" in text]) > 20
    units(dock_slope, "n-mm-m")
    told, told_errors = dock_slope.execute_async_script(script, sentences, messages)
    assert told == [sentence["text"] for sentence in sentences]
    assert told_errors == messages


def said_in_cases() -> tuple[list[Any], list[str]]:
    """Every sentence and every error that the cases of the mechanics bring about."""
    sentences, messages, words = [], [], read_words()
    for name in ("counterbalance", "spring-rate", "dock-slope", "mainspring-plan"):
        cases = json.loads((PROJECT / "tests" / "cases" / f"{name}.json").read_text(encoding="utf-8"))
        for case in cases:
            answer = json.loads(answering.run(name, json.dumps(case["input"]), words))
            messages += [error["message"] for error in answer.get("errors", ())]
            sentences += [answer["headline"], *answer["reasons"]] if "headline" in answer else []
    return sentences, messages


PICTURE = """
    const picture = document.querySelector("[data-answer] [data-part=picture] svg");
    return picture && {
        texts: [...picture.querySelectorAll("text")].map((text) => text.textContent),
        alternative: picture.getAttribute("aria-label"),
    };
"""


def test_a_picture_is_told_in_the_chosen_units(browser: WebDriver, address: str) -> None:
    """Axis, legend and alternative of net moments change with the units, and come back as they were."""
    cases = json.loads((PROJECT / "tests/cases/counterbalance.json").read_text(encoding="utf-8"))
    inputs = json.dumps(cases[0]["input"])
    empty_sheet(browser, address, "counterbalance")
    wait_runtime(browser)
    fill(browser, cases[0]["input"])
    wait_answer(browser)
    metric = wait_picture(browser, "N·m")
    units(browser, "lbf-in-ft")
    shown = wait_picture(browser, "lbf·ft")
    units(browser, "n-mm-m")
    again = wait_picture(browser, "N·m")
    words = read_words()
    answer = answering.run("counterbalance", inputs, words)
    sizes = json.dumps({"N·m": ["lbf·ft", to_wire(1, "lbf·ft")]})
    drawn = json.loads(run_picture("counterbalance", inputs, answer, words, sizes))["picture"]["svg"]
    ticks = re.compile(r"^[\u2212\d.]+$")
    assert again == metric
    assert [text for text in shown["texts"] if ticks.match(text)] == re.findall(r">([\u2212\d.]+)<", drawn)
    assert "Net moment, lbf·ft, upward above 0" in shown["texts"]
    assert "up to 67.4\u00a0lbf walks it down" in shown["texts"]  # 300 N
    assert "from 194\u00a0lbf·ft at the bottom" in shown["alternative"]  # 263 N m
    assert re.search(r"\d[ \u00a0](N|N·m|kN·m)\b", " ".join([*shown["texts"], shown["alternative"]])) is None


def wait_picture(browser: WebDriver, unit: str) -> dict[str, Any]:
    """What the picture of the answer says, once its axis is in this unit."""
    title = re.compile(rf", {re.escape(unit)},")

    def told(_: WebDriver) -> dict[str, Any] | None:
        found: dict[str, Any] | None = browser.execute_script(PICTURE)
        return found if found and any(title.search(text) for text in found["texts"]) else None

    return waiting(browser, 20).until(told)

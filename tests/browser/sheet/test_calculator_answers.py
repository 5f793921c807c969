"""The calculators on the page answer as those of the command line do, to the last sign."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers.registers import Registers
from build_tools.shown.shown_numbers import shown_number
from calculators import answering
from tests.browser.questions import all_questions, on_page


@pytest.fixture(scope="module")
def words(registers: Registers) -> dict[str, str]:
    """The book's sentences."""
    return registers.words


def test_every_case_is_answered_alike(page: WebDriver, project: Path, registers: Registers) -> None:
    """Python in the browser and Python here give the same text for every case and example."""
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} >= set(answering.NAMES)
    here = [answering.run(name, text, registers.words) for name, text in questions]
    there = on_page(page, questions)
    differing = [(question, a, b) for question, a, b in zip(questions, here, there, strict=True) if a != b]
    assert differing == []


@pytest.mark.parametrize("text", ["", "{", "null", "[]", '{"runs_s": [NaN]}', '{"runs_s": "ten"}'])
def test_unusable_input_is_refused_alike(page: WebDriver, words: dict[str, str], text: str) -> None:
    """What cannot be used gets the same errors on the page as on the command line, and never a traceback."""
    answer = on_page(page, [("fold-time", text)])[0]
    assert answer == answering.run("fold-time", text, words)
    assert list(json.loads(answer)) == ["errors"]
    assert "Traceback" not in answer


def test_numbers_are_shown_alike(page: WebDriver, words: dict[str, str]) -> None:
    """The page and the build round by the same rules, so that example and live answer never differ."""
    numbers = [
        *[
            (value, way)
            for way in ("fixed:2", "significant:3")
            for value in (0, 0.004, 1.2345, -16.533333, 199.996, 12345.678)
        ],
        *[(value, "percent") for value in (0, 0.009, 0.5, 0.9876, 0.991, 1)],
        *[(value, way) for way in ("signed", "whole") for value in (-12, -1, 0, 1, 40)],
    ]
    script = """
        const [numbers, done] = arguments;
        const root = new URL(document.documentElement.dataset.root + "/", location);
        import(new URL("half-turn/page/leveler.js", root)).then(({ parts }) =>
            done(numbers.map(([value, way]) => parts["shown_numbers.js"].shownNumber(value, way))));
    """
    assert page.execute_async_script(script, numbers) == [
        shown_number(value, way, words) for value, way in numbers
    ]

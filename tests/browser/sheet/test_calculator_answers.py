"""The calculators on the page answer as those of the command line do, to the last sign."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers.registers import Registers
from build_tools.shown.shown_numbers import shown_number
from calculators import answering
from calculators.shared.words import say
from tests.browser.questions import all_questions, on_page
from tests.browser.work_sheet import wait_answer, write


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
            (sign * value, way)
            for sign in (1, -1)
            for way in ("fixed:0", "fixed:2", "significant:3", "significant:6")
            for value in (18.125, 0.5, 2.5, 0.125, 1.125, 1.005, 10.25, 0.000244140625, 9.995, 1e-9, 1.5e22)
        ],
        *[(value, "percent") for value in (0.125, 0.375, 0.625, 0.285, 0.995)],
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


def test_sentences_are_filled_alike(page: WebDriver, words: dict[str, str]) -> None:
    """A number in a sentence has the same digits and signs, whether page or calculator fills the blank."""
    sentence = "{x:.0f}; {x:.1f}; {x:.2f}; {x}"
    numbers = [18.125, -18.125, 0.25, -0.04, 0, 3, -2, 1e-7, -1.5e13, 18.12499999999996, 1.005]
    script = """
        const [sentence, numbers, done] = arguments;
        const root = new URL(document.documentElement.dataset.root + "/", location);
        import(new URL("half-turn/page/start.js", root)).then(({ parts }) =>
            done(numbers.map((x) => parts["words.js"].fill(sentence, { x }))));
    """
    assert page.execute_async_script(script, sentence, numbers) == [
        say({**words, "test": sentence}, "test", {"x": x}) for x in numbers
    ]


def test_a_mean_between_two_hundredths_is_told_alike(page: WebDriver) -> None:
    """Runs of 18.10 and 18.15 s, less 0.44 s of bias: the reason and the result line both say 18.57 s."""
    for name, text in (
        ("runs_s[0]", "18.10"),
        ("runs_s[1]", "18.15"),
        ("window_low_s", "18"),
        ("window_high_s", "20"),
    ):
        write(page, name, text)
    answer = wait_answer(page)
    line = page.find_element("css selector", 'output[data-field="mean_s"]').text
    assert (line, answer["reasons"][0][:27]) == ("18.57 s", "Mean of 2 runs 18.57 s, spr")

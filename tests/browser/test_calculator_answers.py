"""The calculators on the page answer as those of the command line do, to the last sign."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers import Registers
from build_tools.shown_numbers import shown_number
from calculators import _run

ASK = """
const [questions, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
import(new URL("half-turn/page/runtime.js", root)).then(async ({ askText }) => {
    const answers = [];
    for (const [name, text] of questions) answers.push(await askText(name, text));
    done(answers);
}).catch((fault) => done([String(fault)]));
"""


@pytest.fixture(scope="module")
def words(registers: Registers) -> dict[str, str]:
    """The book's sentences."""
    return registers.words


def on_page(page: WebDriver, questions: list[tuple[str, str]]) -> list[str]:
    """Ask the page's calculators with JSON texts; give their JSON texts."""
    answers: list[str] = page.execute_async_script(ASK, questions)
    return answers


def all_questions(project: Path, registers: Registers) -> list[tuple[str, str]]:
    """Every case of tests/cases and every example of the book as (calculator, JSON text of its inputs)."""
    files = sorted((project / "tests" / "cases").glob("*.json"))
    cases: list[dict[str, Any]] = [
        case for file in files for case in json.loads(file.read_text(encoding="utf-8"))
    ]
    questions = [(case["calculator"], json.dumps(case["input"])) for case in cases]
    for name, example in registers.examples.items():
        rows = [{**example["inputs"], **changed} for changed in ({}, *example["table"]["rows"])]
        questions += [(name, json.dumps(row)) for row in rows]
    return questions


def test_every_case_is_answered_alike(page: WebDriver, project: Path, registers: Registers) -> None:
    """Python in the browser and Python here give the same text for every case and example."""
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} >= set(_run.NAMES)
    here = [_run.run(name, text, registers.words) for name, text in questions]
    there = on_page(page, questions)
    differing = [(question, a, b) for question, a, b in zip(questions, here, there, strict=True) if a != b]
    assert differing == []


@pytest.mark.parametrize("text", ["", "{", "null", "[]", '{"runs_s": [NaN]}', '{"runs_s": "ten"}'])
def test_unusable_input_is_refused_alike(page: WebDriver, words: dict[str, str], text: str) -> None:
    """What cannot be used gets the same errors on the page as on the command line, and never a traceback."""
    answer = on_page(page, [("fold-time", text)])[0]
    assert answer == _run.run("fold-time", text, words)
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
        import(new URL("half-turn/page/shown_numbers.js", root)).then(({ shownNumber }) =>
            done(numbers.map(([value, way]) => shownNumber(value, way))));
    """
    assert page.execute_async_script(script, numbers) == [
        shown_number(value, way, words) for value, way in numbers
    ]

"""Picture and working in the browser: the same as from the command line, after the answer, gone with it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers.registers import Registers
from build_tools.sheets.given import given
from calculators import answering
from calculators.explain import run_picture, run_working
from calculators.pictures import DRAWN
from tests.browser.work_sheet import (
    empty_sheet,
    faults_told,
    open_sheet,
    take_common_window,
    wait,
    wait_answer,
    wait_runtime,
    write,
)

ASK = """
const [questions, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
import(new URL("half-turn/page/runtime.js", root)).then(async ({ askText, explain }) => {
    const found = [];
    for (const [name, text] of questions) {
        const answered = { name, text, answer: await askText(name, text) };
        found.push([answered.answer, await explain("picture", answered), await explain("working", answered)]);
    }
    done(found);
}).catch((fault) => done([String(fault)]));
"""
SHOWN = """
const area = document.querySelector("[data-answer]");
return {
    svg: area.querySelector("[data-part=picture] svg")?.outerHTML ?? null,
    hidden: area.querySelector("[data-part=picture]").hidden,
    lines: [...area.querySelectorAll("[data-list=working] li")].map((line) => line.textContent),
};
"""
READY = (
    "return document.querySelector('[data-answer] [data-part=picture] svg') !== null"
    " && document.querySelector('[data-answer] [data-list=working] li') !== null"
)


def all_questions(project: Path, registers: Registers) -> list[tuple[str, str]]:
    """Every third case of tests/cases and every example of the book, as calculator and JSON text."""
    files = sorted((project / "tests" / "cases").glob("*.json"))
    cases: list[dict[str, Any]] = [
        case for file in files for case in json.loads(file.read_text(encoding="utf-8"))[::3]
    ]
    examples = [(name, json.dumps(example["inputs"])) for name, example in registers.examples.items()]
    return [*((case["calculator"], json.dumps(case["input"])) for case in cases), *examples]


def test_pictures_and_workings_are_alike(page: WebDriver, project: Path, registers: Registers) -> None:
    """Python in the browser and Python here draw the same picture and work alike, to the last sign."""
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} == set(answering.NAMES)
    there = page.execute_async_script(ASK, questions)
    drawn = 0
    for (name, text), (answer, picture, working) in zip(questions, there, strict=True):
        assert answer == answering.run(name, text, registers.words)
        assert picture == json.loads(run_picture(name, text, answer, registers.words)), (name, text)
        assert working == json.loads(run_working(name, text, answer, registers.words)), (name, text)
        drawn += picture["picture"] is not None
    assert drawn > len(DRAWN)


def test_the_live_picture_is_that_of_the_answer(page: WebDriver, registers: Registers) -> None:
    """What stands on the page is what the calculators draw for what is written on the sheet."""
    address = page.current_url.partition("procedures/")[0]
    empty_sheet(page, address, "fold-time")
    take_common_window(page)
    write(page, "runs_s[0]", "16.4")
    wait_answer(page)
    wait(page, READY)
    shown = page.execute_script(SHOWN)
    text = json.dumps(
        {
            **given(answering.module("fold-time").INPUTS, registers.figures),
            "runs_s": [16.4],
            "window_low_s": 18,
            "window_high_s": 20,
            "timing_uncertainty_s": 0.1,
            "confidence": 0.95,
        }
    )
    answer = answering.run("fold-time", text, registers.words)
    picture = json.loads(run_picture("fold-time", text, answer, registers.words))["picture"]
    # a browser writes every element with an end tag; the places and words are the same
    assert shown["svg"].replace("></path>", "/>").replace("></circle>", "/>") == picture["svg"]
    assert shown["lines"] == json.loads(run_working("fold-time", text, answer, registers.words))["lines"]
    assert not shown["hidden"]
    assert faults_told(page) == []


def test_picture_and_working_go_with_the_answer(page: WebDriver) -> None:
    """As soon as the sheet changes, nothing of the earlier answer's picture or working is left."""
    address = page.current_url.partition("procedures/")[0]
    empty_sheet(page, address, "fold-time")
    take_common_window(page)
    write(page, "runs_s[0]", "16.4")
    wait(page, READY)
    write(page, "runs_s[0]", "1", leave=False)
    assert page.execute_script(SHOWN) == {"svg": None, "hidden": True, "lines": []}
    write(page, "runs_s[0]", "19")
    wait(page, READY)
    assert "19" in page.execute_script(SHOWN)["lines"][0]


def test_the_answer_does_not_wait_for_its_picture(page: WebDriver) -> None:
    """With a picture that never comes the answer is shown, and one sentence says that the answer stands."""
    address = page.current_url.partition("procedures/")[0]
    open_sheet(page, address, "fold-time")
    wait_runtime(page)
    page.execute_script("""
        const post = Worker.prototype.postMessage;
        window.heldBack = 0;
        Worker.prototype.postMessage = function (message) {
            if (message.kind === "explain") { window.heldBack += 1; message = { ...message, answer: "{" }; }
            return post.call(this, message);
        };
    """)
    empty_sheet(page, address, "fold-time")
    take_common_window(page)
    write(page, "runs_s[0]", "16.4")
    assert wait_answer(page)["headline"].startswith("One run")
    fault = "[data-part=explanation-fault]"
    wait(page, f"return document.querySelector('[data-answer] {fault}')?.hidden === false")
    told = page.execute_script(f"return document.querySelector('[data-answer] {fault}').textContent")
    assert "The answer stands. Report code fold-time-JSONDecodeError-" in told
    assert page.execute_script("return window.heldBack") >= 1
    assert wait_answer(page)["headline"].startswith("One run")

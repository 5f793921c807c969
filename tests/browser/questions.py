"""Every question of the cases and of the book's examples, and the page's calculators to ask them of."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.registers.registers import Registers

ASK = """
const [questions, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
import(new URL("half-turn/page/runtime.js", root)).then(async ({ askText }) => {
    const answers = [];
    for (const [name, text] of questions) answers.push(await askText(name, text));
    done(answers);
}).catch((fault) => done([String(fault)]));
"""


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

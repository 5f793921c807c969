"""Every case of tests/cases: fixed inputs, and answers that came from outside our own code."""

from __future__ import annotations

import json
from typing import Any

import pytest

from build_tools.places import PROJECT
from calculators.answering import run
from calculators.shared.words import read_words

WORDS = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
CASES = [
    case
    for file in sorted((PROJECT / "tests/cases").glob("*.json"))
    for case in json.loads(file.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize("case", CASES, ids=[f"{case['calculator']}: {case['name']}" for case in CASES])
def test_case(case: dict[str, Any]) -> None:
    """An answer agrees with its case in every place that the case names; "length" is that of a list."""
    answer = json.loads(run(case["calculator"], json.dumps(case["input"]), WORDS))
    tolerance = case.get("tolerance", 1e-11)
    expected = {path: near(value, tolerance) for path, value in case["expect"].items()}
    assert {path: at(answer, path) for path in expected} == expected


def test_every_case_says_where_its_answer_comes_from() -> None:
    """A case without a why is a number from nowhere, and two cases of one name hide each other."""
    assert [case["name"] for case in CASES if not case["why"].strip() or not case["expect"]] == []
    names = [(case["calculator"], case["name"]) for case in CASES]
    assert len(set(names)) == len(names) > 0


def at(answer: Any, path: str) -> Any:
    """Follow a dotted path; a place that does not exist is reported as such, so that it can be compared."""
    for step in path.split("."):
        if isinstance(answer, list):
            if step == "length":
                return len(answer)
            answer = answer[int(step)] if int(step) < len(answer) else f"nothing at {step}"
        else:
            answer = answer.get(step, f"no {step}") if isinstance(answer, dict) else f"no {step}"
    return answer


def near(value: Any, tolerance: float) -> Any:
    """Numbers with a fraction are compared within a relative tolerance, everything else exactly."""
    return pytest.approx(value, rel=tolerance, abs=0) if isinstance(value, float) else value

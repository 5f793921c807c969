"""Ask a calculator through the one door."""

from __future__ import annotations

import json
from typing import Any

from build_tools.places import PROJECT
from calculators.answering import run
from calculators.shared.fields import BadInput, read_inputs
from calculators.shared.words import read_words

WORDS = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))


def ask(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    """Return the parsed answer of run().

    A fault of the calculator fails here, and so does NaN or infinity in the answer.
    """
    text = run(name, json.dumps(inputs), WORDS)
    assert "The calculator failed" not in text, text
    answer: dict[str, Any] = json.loads(text, parse_constant=_refuse)
    return answer


def _refuse(literal: str) -> None:
    raise AssertionError(f"{literal} in an answer")


def errors(name: str, inputs: dict[str, Any]) -> dict[str, str]:
    """Return the messages by field; an answer without errors fails here."""
    return {error["field"]: error["message"] for error in ask(name, inputs)["errors"]}


def answered_or_named(module: Any, inputs: object) -> dict[str, Any] | None:
    """Ask a calculator inside Python: its whole answer, or None where it names every field that is wrong."""
    try:
        found: dict[str, Any] = module.calculate(**read_inputs(module.INPUTS, inputs))
    except BadInput as bad:
        assert bad.problems
        assert all(f"error.{problem.code}" in WORDS for problem in bad.problems)
        return None
    assert set(found) == {output.name for output in module.OUTPUTS}
    return found

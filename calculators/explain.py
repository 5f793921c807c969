"""Picture and working of an answer, for the page: JSON text in, JSON text out.

They are apart from answering.run(), so that no answer waits for its picture or is lost by a fault in it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping

from calculators.answering import fault_report
from calculators.pictures import picture
from calculators.shared.words import say
from calculators.shared.working_lines import line_text
from calculators.workings import working


def run_picture(
    name: str, text: str, answer_text: str, words: Mapping[str, str], units_text: str = "{}"
) -> str:
    """Return the picture of an answer. Nothing is raised.

    Args:
        name: the calculator.
        text: the inputs, exactly as run() had them.
        answer_text: what run() returned for them, unchanged, so that the picture is the same everywhere.
        words: sentences by code, see shared.words.read_words.
        units_text: the reader's units for the numbers along an axis, such as {"N·m": ["lbf·ft", 1.3558]}: the
            unit in place of the SI unit, and its size in SI units.

    Returns:
        JSON text: {"picture": {"svg", "alternative"}}, {"picture": null} where there is none, or {"fault": a
        sentence for a person}. Never a traceback.
    """
    return _guarded(
        name,
        words,
        lambda: {
            "picture": picture(name, json.loads(text), json.loads(answer_text), words, json.loads(units_text))
        },
    )


def run_working(name: str, text: str, answer_text: str, words: Mapping[str, str]) -> str:
    """Return the working of an answer. Nothing is raised.

    Args:
        name: the calculator.
        text: the inputs, exactly as run() had them.
        answer_text: what run() returned for them.
        words: sentences by code.

    Returns:
        JSON text: {"lines": [sentence, ...]}, empty where the inputs were refused, or {"fault": a sentence
        for a person}. Never a traceback.
    """

    def lines() -> dict[str, object]:
        found = working(name, json.loads(text), json.loads(answer_text))
        return {"lines": [line_text(each, words) for each in found]}

    return _guarded(name, words, lines)


def _guarded(name: str, words: Mapping[str, str], explain: Callable[[], Mapping[str, object]]) -> str:
    try:
        return json.dumps(explain())
    except Exception as fault:  # noqa: BLE001  a person gets a report code, never a traceback
        sentences = {"error.explanation": "Explanation fault {report}", **words}
        return json.dumps(
            {"fault": say(sentences, "error.explanation", {"report": fault_report(fault, name)})}
        )

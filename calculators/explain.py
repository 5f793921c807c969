"""The doors to an answer's picture and working, for the page: JSON text in, JSON text out.

Apart from run(), so that no answer waits for its picture, and no fault of a picture takes an answer away.
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
    """Draw the picture of an answer.

    Args:
        name: a calculator's name.
        text: the inputs as run() took them.
        answer_text: what run() gave for them, to the letter: then the picture is the same everywhere.
        words: sentences by code, see read_words.
        units_text: the reader's units for the numbers along an axis, such as {"N·m": ["lbf·ft", 1.3558]}: the
            name of one in place of the SI's, and its size in that.

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
    """Work an answer out.

    Args:
        name: a calculator's name.
        text: the inputs as run() took them.
        answer_text: what run() gave for them.
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
        told = {"error.explanation": "Explanation fault {report}", **words}
        return json.dumps({"fault": say(told, "error.explanation", {"report": fault_report(fault, name)})})

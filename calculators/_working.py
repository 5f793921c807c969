"""The door to the workings: an answer's own numbers put into its formula, step by step, to be followed."""

from __future__ import annotations

import importlib
import json
from collections.abc import Mapping
from typing import Any

from calculators import _run
from calculators._fields import read_inputs
from calculators._working_lines import Line, line_text


def working(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Work an answer out, line by line.

    Args:
        name: a calculator's name. LookupError for an unknown one.
        inputs: its inputs as they were asked, plain JSON data.
        answer: what _run.run() gave for them.

    Returns:
        Lines {"code", "values"}, none where the inputs were refused. Every number is the answer's own, or
        one on the way to it, rounded to the digits that are shown; see line_text.
    """
    module = _run.module(name)
    if "errors" in answer:
        return []
    steps = importlib.import_module("calculators._working_" + name.replace("-", "_"))
    lines: list[Line] = steps.lines(read_inputs(module.INPUTS, inputs), answer)
    return lines


def run_working(name: str, text: str, answer_text: str, words: Mapping[str, str]) -> str:
    """Work an answer out from JSON text, for the page: a JSON list of the lines' sentences.

    Args:
        name: a calculator's name.
        text: the inputs as run() took them.
        answer_text: what run() gave for them.
        words: sentences by code.
    """
    found = working(name, json.loads(text), json.loads(answer_text))
    return json.dumps([line_text(each, words) for each in found])

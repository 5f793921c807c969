"""The door to the workings: an answer's own numbers put into its formula, step by step, to be followed."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

from calculators import answering
from calculators.shared.fields import read_inputs
from calculators.shared.working_lines import Line


def working(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Work an answer out, line by line.

    Args:
        name: a calculator's name. LookupError for an unknown one.
        inputs: its inputs as they were asked, plain JSON data.
        answer: what answering.run() gave for them.

    Returns:
        Lines {"code", "values"}, none where the inputs were refused. Every number is the answer's own, or
        one on the way to it, rounded to the digits that are shown; see line_text.
    """
    module = answering.module(name)
    if "errors" in answer:
        return []
    steps = importlib.import_module(f"calculators.{name.replace('-', '_')}.working")
    lines: list[Line] = steps.lines(read_inputs(module.INPUTS, inputs), answer)
    return lines

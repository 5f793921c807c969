"""The working of an answer: its own numbers put into the formula, line by line, for a reader to follow."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

from calculators import answering
from calculators.shared.fields import read_inputs
from calculators.shared.working_lines import Line


def working(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines of an answer's working.

    Args:
        name: the calculator.
        inputs: its inputs, plain JSON data.
        answer: what answering.run() returned for them.

    Returns:
        Lines {"code", "values"}, none where the inputs were refused. Every number is the answer's own or an
        intermediate one, rounded to the digits that are shown; see line_text.

    Raises:
        LookupError: there is no such calculator.
    """
    module = answering.module(name)
    if "errors" in answer:
        return []
    steps = importlib.import_module(f"calculators.{name.replace('-', '_')}.working")
    lines: list[Line] = steps.lines(read_inputs(module.INPUTS, inputs), answer)
    return lines

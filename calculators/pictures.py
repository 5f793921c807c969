"""The door to the pictures: one for a calculator's answer, where looking tells more than reading."""

from __future__ import annotations

import importlib
import os
from collections.abc import Mapping
from typing import Any

from calculators import answering
from calculators.drawing.plot_words import PlotWords
from calculators.shared.fields import read_inputs

_FOLDER = os.path.dirname(__file__)
DRAWN = tuple(
    name
    for name in answering.NAMES
    if os.path.exists(os.path.join(_FOLDER, name.replace("-", "_"), "picture.py"))
)
"""Calculators whose answer has a picture; the others say all they have to say in words."""


def picture(
    name: str,
    inputs: Mapping[str, Any],
    answer: Mapping[str, Any],
    words: Mapping[str, str],
    units: Mapping[str, tuple[str, float]] | None = None,
) -> dict[str, str] | None:
    """Draw the picture of an answer.

    Args:
        name: a calculator's name.
        inputs: its inputs as they were asked, plain JSON data.
        answer: what answering.run() gave for them. What it leaves out is not drawn, so an example without
            orders stays without them in its picture.
        words: sentences by code, see read_words.
        units: for the numbers along an axis, the reader's unit in place of one of the SI, as in PlotWords.
            What stands in sentences is left to whoever shows them.

    Returns:
        {"svg": the picture, 320 units wide, "alternative": the same in sentences}, or None where this
        calculator has no picture or the inputs were refused. The same input gives the same bytes everywhere.
    """
    if name not in DRAWN or "errors" in answer:
        return None
    known = read_inputs(answering.module(name).INPUTS, inputs)
    plot = importlib.import_module(f"calculators.{name.replace('-', '_')}.picture")
    told = PlotWords(name, words, known.get("confidence") or 0.0, units or {})
    svg, alternative = plot.draw(known, answer, told)
    return {"svg": svg, "alternative": alternative}

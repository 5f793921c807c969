"""The picture of a calculator's answer, for those calculators where looking shows more than reading."""

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
"""Calculators whose answer has a picture; for the others words are enough."""


def picture(
    name: str,
    inputs: Mapping[str, Any],
    answer: Mapping[str, Any],
    words: Mapping[str, str],
    units: Mapping[str, tuple[str, float]] | None = None,
) -> dict[str, str] | None:
    """Return the picture of an answer.

    Args:
        name: the calculator.
        inputs: its inputs, plain JSON data.
        answer: what answering.run() returned for them. What it lacks is not drawn, so the picture of an
            example without instructions has none.
        words: sentences by code, see shared.words.read_words.
        units: for the numbers along an axis, the reader's unit in place of an SI unit, as in PlotWords.
            Units in sentences are left to whoever shows them.

    Returns:
        {"svg": the picture, 320 units wide, "alternative": the same in sentences}, or None where this
        calculator has no picture or the inputs were refused. The same input has the same bytes everywhere.
    """
    if name not in DRAWN or "errors" in answer:
        return None
    known = read_inputs(answering.module(name).INPUTS, inputs)
    plot = importlib.import_module(f"calculators.{name.replace('-', '_')}.picture")
    plot_words = PlotWords(name, words, known.get("confidence") or 0.0, units or {})
    svg, alternative = plot.draw(known, answer, plot_words)
    return {"svg": svg, "alternative": alternative}

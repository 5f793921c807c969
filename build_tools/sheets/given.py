"""What the registers give a calculator without anyone being asked: how timing goes, and what is a fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from build_tools.registers.figures import Figure
from calculators import answering
from calculators.shared.fields import Field
from calculators.shared.timing import DELAY, STARTS, STOPS

FIGURES = {
    **{way: f"{way}-start" for way in STARTS},
    "sharp": "sharp-stop",
    "no-longer-moves": "still-stop",
    DELAY: DELAY,
}
"""The figures of each way of starting and stopping, and of a tone that comes late, begin so."""
PARTS = {"bias_s": "bias", "bias_uncertainty_s": "bias-uncertainty", "scatter_s": "scatter"}
"""What is registered of each way of starting and stopping, by column."""
STOPPED = STOPS[0]
"""How runs are stopped as the terms define it; the stopwatch says where it was done otherwise."""
MIDDLE = "towards-the-middle"
"""The figure by which a company goes on towards the middle of the window: 1, else 0."""


def given(fields: Sequence[Field], figures: Mapping[str, Figure]) -> dict[str, Any]:
    """Return inputs by name; what the registers lack is left out.

    Args:
        fields: a calculator's inputs.
        figures: the book's figures by id.
    """
    names = {field.given for field in fields}
    found: dict[str, Any] = {
        field.name: figures[field.given].part("value") for field in fields if field.given in figures
    }
    timing = [row for way in FIGURES if (row := _way(way, figures))]
    if timing and "timing" in names:
        found |= {"timing": timing, "stopped": STOPPED}
    if "aim" in names and MIDDLE in figures:
        found["aim"] = "middle" if figures[MIDDLE].part("value") else "first-inside"
    return found


def ways_registered(figures: Mapping[str, Figure]) -> frozenset[str]:
    """Return the ways of starting and stopping that have figures."""
    return frozenset(way for way in FIGURES if _way(way, figures))


def _way(way: str, figures: Mapping[str, Figure]) -> dict[str, Any] | None:
    ids = {column: f"{FIGURES[way]}-{part}" for column, part in PARTS.items()}
    if not all(id_ in figures for id_ in ids.values()):
        return None
    return {"way": way, **{column: figures[id_].part("value") for column, id_ in ids.items()}}


def figure_ids() -> Iterator[str]:
    """Return the ids of all figures that are taken so."""
    for name in answering.NAMES:
        yield from (field.given for field in answering.module(name).INPUTS if field.given)
    yield from (f"{figure}-{part}" for figure in FIGURES.values() for part in PARTS.values())
    yield MIDDLE


def asked(fields: Sequence[Field]) -> tuple[Field, ...]:
    """Return the fields that a person fills in, with only those columns; a plain list has none."""
    return tuple(
        replace(field, fields=asked(field.fields) if field.kind == "rows" else ())
        for field in fields
        if not field.given
    )

"""Spoils a good question as a typing mistake, a broken sender or an attacker would."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from typing import Any

from hypothesis import strategies as st

from calculators.shared.fields import Field
from tests.calculators.any_question import questions

Place = tuple[Any, ...]
"""The way to a value inside a question: keys and numbers."""


class Literal(float):
    """A value that is written into the JSON text as it is."""

    text: str

    def __new__(cls, text: str) -> Literal:
        """Carry the text; as a number it is none."""
        made = super().__new__(cls, "nan")
        made.text = text
        return made


LITERALS = (
    "NaN",
    "Infinity",
    "-Infinity",
    "1e999",
    "-1e999",
    "9" * 400,
    "-" + "9" * 400,
    "1e-400",
    "-0",
    "-0.0",
    "1E+2",
    "0.1e1",
    '"\\ud800"',
    '"\\u0000"',
    "[" * 9 + "]" * 9,
    "[[[[{}]]]]",
    '{"a": {"b": [null]}}',
)
ODD: st.SearchStrategy[Any] = st.one_of(
    st.sampled_from(LITERALS).map(Literal),
    st.none() | st.booleans() | st.text(max_size=6) | st.integers() | st.floats(),
    st.sampled_from([5e-324, 1e308, -1e308, 2**53 + 1, 1e22]),
    st.sampled_from(["", " ", "NaN", "18", "1,5", "2026-02-30", "0" * 200]),
    st.lists(st.integers() | st.text(max_size=2), max_size=3) | st.just([[]]) | st.just([{}]) | st.just({}),
)
UNKNOWN = ("", "zebra", "runs", "readings[0]", "a.b", "x" * 300, "\u2028")
"""Names that no calculator asks for."""


def border(field: Field) -> st.SearchStrategy[Any]:
    """Draw a value on an end of what is declared, or just beside it."""
    if field.kind in ("number", "numbers", "whole"):
        ends = [end for end in (field.low, field.high) if end is not None]
        beside = [math.nextafter(end, way) for end in ends for way in (-math.inf, math.inf)]
        one = [*ends, *beside, *(end + 1 for end in ends), *(end - 1 for end in ends)]
        return st.sampled_from(
            [[each] * count for each in one for count in (field.least, field.most)]
            if field.kind == "numbers"
            else one
        )
    if field.kind in ("date", "dates"):
        days = ["1999-12-31", "2000-01-01", "2000-02-29", "2099-12-31", "2100-01-01", "2000-1-1"]
        return st.sampled_from(days if field.kind == "date" else [[day] for day in days])
    if field.kind == "text":
        return st.sampled_from(["x" * field.most, "x" * (field.most + 1), " x ", "\n", "x\ty"])
    if field.kind == "choice":
        return st.sampled_from([*field.choices, *(choice.upper() for choice in field.choices)])
    return st.sampled_from([True, False, 0, 1, []])


def is_shallow(odd: Any) -> bool:
    """True for what may be nested two lists deep in a question and is still read."""
    return not isinstance(odd, Literal) or "[[" not in odd.text


@st.composite
def spoilt(draw: st.DrawFn, name: str, fields: Sequence[Field]) -> str:
    """Draw a question, spoil up to three of its places, and write it as JSON text."""
    question = draw(questions(name))
    for _ in range(draw(st.integers(0, 3))):
        place = draw(st.sampled_from(list(places(question))))
        draw(st.sampled_from([_put, _put, _put, _drop, _add, _repeat]))(question, place, draw, fields)
    return written(question)


def places(value: Any, at: Place = ()) -> list[Place]:
    """List every place of a question, without the question itself."""
    if isinstance(value, list):
        value = dict(enumerate(value))
    found: list[Place] = []
    if isinstance(value, dict):
        for key, inner in value.items():
            found += [(*at, key), *places(inner, (*at, key))]
    return found


def declared(place: Place, fields: Sequence[Field]) -> Field | None:
    """Find the declaration of a place."""
    known = None
    for key in place:
        if isinstance(key, str):
            known = next((field for field in fields if field.name == key), None)
            fields = known.fields if known else ()
    return known


def _owner(question: Any, place: Place) -> Any:
    for key in place[:-1]:
        question = question[key]
    return question


def _put(question: Any, place: Place, draw: st.DrawFn, fields: Sequence[Field]) -> None:
    known = declared(place, fields)
    alone = known is not None and isinstance(place[-1], str)
    _owner(question, place)[place[-1]] = draw(border(known) | ODD if known and alone else ODD)


def _drop(question: Any, place: Place, draw: st.DrawFn, fields: Sequence[Field]) -> None:
    del _owner(question, place)[place[-1]]


def _add(question: Any, place: Place, draw: st.DrawFn, fields: Sequence[Field]) -> None:
    owner = _owner(question, place)
    if isinstance(owner, dict):
        owner[draw(st.sampled_from(UNKNOWN))] = draw(ODD)
    else:
        owner.append(draw(ODD))


def _repeat(question: Any, place: Place, draw: st.DrawFn, fields: Sequence[Field]) -> None:
    owner = _owner(question, place)
    if isinstance(owner, list):
        owner *= draw(st.sampled_from([2, 30]))


def written(value: Any) -> str:
    """Write a value as JSON text, literals as they are."""
    if isinstance(value, Literal):
        return value.text
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)}: {written(inner)}" for key, inner in value.items()) + "}"
    return "[" + ", ".join(map(written, value)) + "]" if isinstance(value, list) else json.dumps(value)


def shuffled(value: Any, turn: Callable[[list[Any]], None]) -> Any:
    """Return the same question with the keys of every object in another order."""
    if isinstance(value, list):
        return [shuffled(inner, turn) for inner in value]
    if not isinstance(value, dict):
        return value
    keys = list(value)
    turn(keys)
    return {key: shuffled(value[key], turn) for key in keys}

"""Keys of a row or of front matter, declared as data; finds what is missing, unknown or of the wrong kind."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion

ID = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
KINDS = {
    "text": "text",
    "id": "an id: small letters, digits and single hyphens, a letter first",
    "number": "a number",
    "whole": "a whole number",
    "flag": "true or false",
    "date": "a date as YYYY-MM-DD",
    "texts": "a list of texts, such as [stopwatch, tape]",
    "rows": "a list of rows, each with keys and values",
    "mapping": "keys with values under it",
    "names": "a name, or a list of names",
    "by-way": "a name, or a name for each way",
    "list": "a list",
}


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its kind (see KINDS), why a row needs it, an example, and the only values, if few, allowed."""

    kind: str
    why: str
    example: str
    required: bool = True
    choices: tuple[str, ...] = ()


Shape = Mapping[str, Key]


def id_of(row: Node) -> str:
    """Return a row's id as typed, or "" where it has none."""
    id_ = row.value.get("id") if isinstance(row.value, dict) else None
    return id_.written if id_ is not None else ""


def subject_of(row: Node, noun: str) -> str:
    """Return what problems call a row: "figure 'lip-fold-time'"."""
    return f"{noun} '{id_of(row)}'" if id_of(row) else f"{noun} without an id"


def is_date(text: object) -> bool:
    """Return whether `text` is a day that exists, written YYYY-MM-DD."""
    if not isinstance(text, str) or not _DATE.fullmatch(text):
        return False
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def check_shape(row: Node, shape: Shape, *, file: str, subject: str) -> list[Problem]:
    """Return every problem of a row held against its shape.

    Args:
        row: a mapping of keys to values.
        shape: its keys.
        file: the row's file, as problems name it.
        subject: what problems call the row: "figure 'lip-fold-time'".
    """
    if not isinstance(row.value, dict):
        return [
            Problem(
                file,
                row.line,
                f"{subject} is not a list of keys and values",
                "the build reads it key by key",
                f"write it as lines such as `{_example(shape)}`",
            )
        ]
    problems = [
        _missing(row, name, key, file, subject)
        for name, key in shape.items()
        if key.required and name not in row.value
    ]
    for name, node in row.value.items():
        key = shape.get(name)
        problem = (
            _unknown(node, name, shape, file, subject)
            if key is None
            else _wrong(node, name, key, file, subject)
        )
        if problem:
            problems.append(problem)
    return problems


def is_kind(node: Node, kind: str) -> bool:
    """Return whether a value is of one of the KINDS."""
    value = node.value
    if kind == "number":
        return isinstance(value, (int, float)) and not isinstance(value, bool)
    if kind == "whole":
        return isinstance(value, int) and not isinstance(value, bool)
    if kind == "flag":
        return isinstance(value, bool)
    if kind == "id":
        return isinstance(value, str) and ID.fullmatch(value) is not None
    if kind == "date":
        return is_date(value)
    if kind == "texts":
        return isinstance(value, list) and all(isinstance(item.value, str) for item in value)
    if kind == "rows":
        return isinstance(value, list) and all(isinstance(item.value, dict) for item in value)
    if kind == "mapping":
        return isinstance(value, dict)
    if kind == "list":
        return isinstance(value, list)
    if kind == "by-way" and isinstance(value, dict):
        return all(isinstance(item.value, str) for item in value.values())
    if kind == "names" and isinstance(value, list):
        return all(isinstance(item.value, str) for item in value)
    return node.written.strip() != "" and value is not None


def _missing(row: Node, name: str, key: Key, file: str, subject: str) -> Problem:
    return Problem(
        file, row.line, f"{subject} has no '{name}'", key.why, f"add `{name}: {key.example}` (an example)"
    )


def _unknown(node: Node, name: str, shape: Shape, file: str, subject: str) -> Problem:
    fix = suggestion(name, shape, otherwise=f"use only: {', '.join(shape)}")
    return Problem(
        file,
        node.line,
        f"{subject} has an unknown key '{name}'",
        "nothing reads it, so what it says would be lost",
        fix,
    )


def _wrong(node: Node, name: str, key: Key, file: str, subject: str) -> Problem | None:
    if node.value is None and not key.required:
        return None
    if not is_kind(node, key.kind):
        given = node.written or ("nothing" if node.value is None else "a list or keys")
        return Problem(
            file,
            node.line,
            f"{subject}: '{name}' is '{given}', not {KINDS[key.kind]}",
            key.why,
            f"write `{name}: {key.example}` (an example)",
        )
    if key.choices and node.value not in key.choices:
        fix = suggestion(str(node.value), key.choices, otherwise=f"use one of: {', '.join(key.choices)}")
        return Problem(
            file,
            node.line,
            f"{subject}: '{name}' is '{node.value}', which is none of {', '.join(key.choices)}",
            key.why,
            fix,
        )
    return None


def _example(shape: Shape) -> str:
    name, key = next(iter(shape.items()))
    return f"{name}: {key.example}"

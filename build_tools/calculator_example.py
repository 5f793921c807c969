"""What a work sheet says without JavaScript: a worked answer and a look-up table, computed at build time."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from build_tools.calculator_answer import NUMBERS
from build_tools.html_parts import tag
from build_tools.sheet_words import SheetWords
from build_tools.shown_numbers import shown_number, way_of_showing
from calculators import _run
from calculators._fields import Field, Output

INSTRUCTIONS = frozenset({"next_action", "do_now", "half_turns_to_go", "per_spring"})
"""Results that tell somebody to do something. An example is nobody's leveler, so it leaves them out."""


class ExampleRefused(ValueError):
    """The calculator refuses the inputs of examples.yml; the message says which and why."""


def worked_answer(inputs: Mapping[str, Any], words: SheetWords) -> Markup:
    """Give the worked answer: its inputs, then verdict and numbers. Raises ExampleRefused."""
    module = _run.module(words.name)
    answer = answer_for(inputs, words)
    given = [
        _line(field, inputs[field.name], "data_given", words)
        for field in module.INPUTS
        if field.name in inputs
    ]
    found = [
        _line(field, answer[field.name], "data_found", words)
        for field in module.OUTPUTS
        if field.kind in (*NUMBERS, "rows") and field.name not in INSTRUCTIONS
    ]
    return tag(
        "div",
        tag("h4", words.say("page.example"), class_="ht-part"),
        tag("p", words.say("page.example.given"), class_="ht-example-part"),
        tag("dl", *given),
        tag("p", words.say("page.example.found"), class_="ht-example-part"),
        tag("dl", *found),
        class_="ht-example",
        data_example=words.name,
        data_inputs=json.dumps(inputs),
    )


def look_up_table(inputs: Mapping[str, Any], table: Mapping[str, Any], words: SheetWords) -> Markup:
    """Give the table: each row is the example, some inputs changed, asked again. Raises ExampleRefused."""
    shown = [_declared(name, words) for name in table["show"]]
    heads = [tag("th", words.label(field, field.name), scope="col") for field in shown]
    rows = [_table_row({**inputs, **changed}, shown, words) for changed in table["rows"]]
    return tag(
        "div",
        tag("table", tag("caption", table["vary"]), tag("thead", tag("tr", *heads)), tag("tbody", *rows)),
        class_="ht-look-up",
        data_look_up=words.name,
    )


def answer_for(inputs: Mapping[str, Any], words: SheetWords) -> dict[str, Any]:
    """Ask the calculator through its single door. Raises ExampleRefused where it does not take the inputs."""
    answer: dict[str, Any] = json.loads(_run.run(words.name, json.dumps(inputs), words.registers.words))
    if "errors" in answer:
        messages = " ".join(error["message"] for error in answer["errors"])
        raise ExampleRefused(f"{words.name}: {messages}")
    return answer


def _declared(name: str, words: SheetWords) -> Field | Output:
    """Find an input or a result by name. Raises ExampleRefused where the calculator has neither."""
    module = _run.module(words.name)
    found = next((field for field in (*module.INPUTS, *module.OUTPUTS) if field.name == name), None)
    if found is None:
        raise ExampleRefused(f"{words.name} has no input or result {name!r} to show")
    known: Field | Output = found
    return known


def _table_row(inputs: Mapping[str, Any], shown: Sequence[Field | Output], words: SheetWords) -> Markup:
    values = {**inputs, **answer_for(inputs, words)}
    cells = [
        tag(
            "td",
            _shown(field, field.name, values[field.name], words),
            data_shown=field.name,
            data_value=json.dumps(values[field.name]),
        )
        for field in shown
    ]
    return tag("tr", *cells, data_inputs=json.dumps(inputs))


def _line(field: Field | Output, value: object, mark: str, words: SheetWords) -> Markup:
    shown = tag(
        "dd", _shown(field, field.name, value, words), data_value=json.dumps(value), **{mark: field.name}
    )
    return tag("div", tag("dt", words.label(field, field.name)), shown, class_="ht-number")


def _shown(field: Field | Output, path: str, value: Any, words: SheetWords) -> Markup | str:
    """Give a value of any kind as a person reads it."""
    if value is None:
        return words.say("page.not-measured" if isinstance(field, Field) else "page.nothing")
    if isinstance(value, bool):
        return words.say(f"page.flag.{str(value).lower()}")
    if field.kind == "rows":
        return (
            tag("ul", *(tag("li", _row_text(field, path, row, words)) for row in value))
            if value
            else (words.say("page.nothing"))
        )
    if isinstance(value, list):
        return ", ".join(_one(field, path, item, words) for item in value) or words.say("page.nothing")
    return _one(field, path, value, words)


def _row_text(field: Field | Output, path: str, row: Mapping[str, Any], words: SheetWords) -> str:
    """Give a row in one line: the setting first, then its parts by name."""
    parts = []
    for column in field.fields:
        if column.name not in row:
            continue
        text = str(_shown(column, f"{path}.{column.name}", row[column.name], words))
        plain = column.name == "half_turns" or len(field.fields) == 2
        parts.append(text if plain else f"{words.label(column, f'{path}.{column.name}')}: {text}")
    return "; ".join(parts)


def _one(field: Field | Output, path: str, value: Any, words: SheetWords) -> str:
    """Give a choice in words; an input exactly as given; a result by its rule."""
    if isinstance(value, str):
        return words.choice(path, value)
    way = way_of_showing(field.name, field.unit, field.kind)
    if way == "setting":
        return words.setting(value)
    text = (
        _as_given(value, words)
        if isinstance(field, Field)
        else shown_number(value, way, words.registers.words)
    )
    return f"{text} {words.unit(field.unit)}".strip()


def _as_given(value: float, words: SheetWords) -> str:
    return f"{value:g}".replace("-", "\u2212").replace(".", words.registers.words["decimal-mark"])

"""What a work sheet shows without JavaScript: a worked answer and a look-up table, computed by the build."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from build_tools.book.asking import ask
from build_tools.sheets.given import asked
from build_tools.sheets.picture import example_picture, example_working
from build_tools.sheets.results import INSTRUCTIONS, NUMBERS
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.shown_values import shown_text, shown_value
from calculators import answering
from calculators.shared.fields import Field, Output


class ExampleRefused(ValueError):
    """The calculator refuses the inputs of examples.yml; the message says which and why."""


def worked_answer(inputs: Mapping[str, Any], words: SheetWords) -> Markup:
    """Return the worked answer: its inputs, then verdict and numbers.

    Raises:
        ExampleRefused: the calculator refuses the inputs.
    """
    module = answering.module(words.name)
    answer = answer_for(inputs, words)
    given = [
        _line(field, inputs[field.name], "data_given", words)
        for field in asked(module.INPUTS)
        if field.name in inputs
    ]
    results = [
        _line(field, answer[field.name], "data_found", words)
        for field in module.OUTPUTS
        if field.kind in (*NUMBERS, "rows") and field.name not in INSTRUCTIONS
    ]
    facts = {name: value for name, value in answer.items() if name not in INSTRUCTIONS}
    texts = [
        shown_text(field, answer[field.name], words)
        for field in module.OUTPUTS
        if field.kind == "text" and answer[field.name]
    ]
    return tag(
        "div",
        tag("h4", words.say("page.example"), class_="ht-part"),
        tag("p", words.say("page.example.given"), class_="ht-example-part"),
        tag("dl", *given),
        example_picture(inputs, facts, words),
        tag("p", words.say("page.example.found"), class_="ht-example-part"),
        tag("dl", *results),
        *texts,
        example_working(inputs, facts, words),
        class_="ht-example",
        data_example=words.name,
        data_inputs=json.dumps(inputs),
    )


def look_up_table(inputs: Mapping[str, Any], table: Mapping[str, Any], words: SheetWords) -> Markup:
    """Return the table; each of its rows is the answer to the example with some inputs changed.

    Args:
        inputs: those of the example.
        table: from examples.yml: the inputs to change, the results to show.
        words: of the calculator.

    Raises:
        ExampleRefused: the calculator refuses a row, or has no such input or result.
    """
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
    """Return the calculator's answer to the inputs, as on the wire.

    Raises:
        ExampleRefused: the calculator refuses the inputs.
    """
    answer: dict[str, Any] = json.loads(ask(words.name, json.dumps(inputs), words.registers.words))
    if "errors" in answer:
        messages = " ".join(error["message"] for error in answer["errors"])
        raise ExampleRefused(f"{words.name}: {messages}")
    return answer


def _declared(name: str, words: SheetWords) -> Field | Output:
    """Return the declaration of an input or a result. Raises ExampleRefused where there is neither."""
    module = answering.module(words.name)
    declared: Field | Output | None = next(
        (field for field in (*module.INPUTS, *module.OUTPUTS) if field.name == name), None
    )
    if declared is None:
        raise ExampleRefused(f"{words.name} has no input or result {name!r} to show")
    return declared


def _table_row(inputs: Mapping[str, Any], shown: Sequence[Field | Output], words: SheetWords) -> Markup:
    values = {**inputs, **answer_for(inputs, words)}
    cells = [
        tag(
            "td",
            shown_value(field, field.name, values.get(field.name), words),
            data_shown=field.name,
            data_value=json.dumps(values.get(field.name)),
        )
        for field in shown
    ]
    return tag("tr", *cells, data_inputs=json.dumps(inputs))


def _line(field: Field | Output, value: object, mark: str, words: SheetWords) -> Markup:
    exact = {"data_value": json.dumps(value), mark: field.name}
    shown = tag("dd", shown_value(field, field.name, value, words), **exact)
    return tag("div", tag("dt", words.label(field, field.name)), shown, class_="ht-number")

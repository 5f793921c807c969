"""Where a person types or taps one input: a number with its keypad, a date, a text, a choice, yes or no."""

from __future__ import annotations

import re

from markupsafe import Markup

from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.decimal_text import MINUS
from calculators.shared.fields import FIRST_DATE, LAST_DATE, Field


def field_id(calculator: str, path: str) -> str:
    """Return the HTML id of an entry: "turn-plan-readings-0-fold_time_s" for "readings[0].fold_time_s"."""
    return f"{calculator}-{re.sub(r'[^a-z0-9_]+', '-', path).rstrip('-')}"


def message_ids(id_: str) -> tuple[str, str, str]:
    """Return the HTML ids of an entry's note, error and help, in the order in which they are read out."""
    return f"{id_}-note", f"{id_}-error", f"{id_}-help"


def entry(field: Field, path: str, words: SheetWords, value: str, *, help_id: str) -> Markup:
    """Return the entry of one field.

    Args:
        field: its declaration.
        path: its name on the wire: "readings[0].fold_time_s".
        words: of its calculator.
        value: the text that it starts with.
        help_id: the HTML id of its help.
    """
    if field.kind == "choice":
        choices = [(choice, words.choice(path.replace("[0]", ""), choice)) for choice in field.choices]
        return _radios(path, choices, words, help_id)
    if field.kind == "flag":
        return _radios(
            path, [(flag, words.say(f"page.flag.{flag}")) for flag in ("true", "false")], words, help_id
        )
    if is_ticks(field):
        return _ticks(field, path, words, help_id)
    return _written(field, path, words, value, help_id)


def is_ticks(field: Field) -> bool:
    """Return whether a list's rows hold one choice each, so that a person ticks instead of adding rows."""
    return field.kind == "rows" and [column.kind for column in field.fields] == ["choice"]


def _described_by(id_: str, help_id: str) -> str:
    note_id, error_id, _ = message_ids(id_)
    return f"{note_id} {error_id} {help_id}"


def _written(field: Field, path: str, words: SheetWords, value: str, help_id: str) -> Markup:
    id_ = field_id(words.name, path)
    written = tag(
        "input",
        id=id_,
        name=path,
        value=value or None,
        autocomplete="off",
        aria_describedby=_described_by(id_, help_id),
        **_typed(field),
    )
    parts: list[Markup | None] = [written, _unit(field, words)]
    if field.unit == "half turn":
        parts = [_count_button(-1, id_, words), *parts, _count_button(1, id_, words)]
    if field.may_be_null and not field.optional:  # an optional field is left blank instead
        null = tag("input", type="checkbox", data_null_for=path)
        text = words.say("page.not-known" if field.kind == "date" else "page.not-measured")
        parts.append(tag("label", null, " ", text, class_="ht-null"))
    return tag("div", *parts, class_="ht-entry")


def _unit(field: Field, words: SheetWords) -> Markup | None:
    units = words.units(field)
    return tag("span", units[0], class_="ht-unit", data_by_units=words.by_units(units)) if units[0] else None


def _typed(field: Field) -> dict[str, str]:
    """Return the attributes that bring up the right keypad or calendar."""
    if field.kind == "date":
        return {"type": "date", "min": FIRST_DATE, "max": LAST_DATE}
    if field.kind == "text":
        return {"type": "text"}
    return {"type": "text", "inputmode": "numeric" if field.kind == "whole" else "decimal"}


def _count_button(by: int, id_: str, words: SheetWords) -> Markup:
    """Return a button that counts up or down, since many phone keypads have no minus."""
    character, text = ("+", words.say("page.step.up")) if by > 0 else (MINUS, words.say("page.step.down"))
    names = {"aria_label": text, "aria_controls": id_}
    return tag("button", character, type="button", class_="ht-step", data_act="step", data_by=by, **names)


def _ticks(field: Field, path: str, words: SheetWords, help_id: str) -> Markup:
    """Return the choices of a list as boxes, any number of which can be ticked."""
    id_ = field_id(words.name, path)
    only = field.fields[0]
    name = f"{path}[0].{only.name}"
    boxes = [_labeled("checkbox", name, value, words.choice(only.name, value)) for value in only.choices]
    names = {"aria_labelledby": f"{id_}-label", "aria_describedby": _described_by(id_, help_id)}
    return tag("div", *boxes, class_="ht-choices", role="group", id=id_, data_ticks=only.name, **names)


def _radios(path: str, choices: list[tuple[str, str]], words: SheetWords, help_id: str) -> Markup:
    id_ = field_id(words.name, path)
    options = [_labeled("radio", path, value, text) for value, text in choices]
    names = {"aria_labelledby": f"{id_}-label", "aria_describedby": _described_by(id_, help_id)}
    return tag("div", *options, class_="ht-choices", role="radiogroup", id=id_, **names)


def _labeled(kind: str, name: str, value: str, text: str) -> Markup:
    return tag("label", tag("input", type=kind, name=name, value=value), " ", text, class_="ht-choice")

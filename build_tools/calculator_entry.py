"""Where a person writes or taps one input: a number with its keypad, a choice, yes or no, "not measured"."""

from __future__ import annotations

import re

from markupsafe import Markup

from build_tools.html_parts import tag
from build_tools.sheet_words import SheetWords
from calculators._fields import Field


def field_id(calculator: str, path: str) -> str:
    """Give the id of an entry: "turn-plan-readings-0-fold_time_s" for "readings[0].fold_time_s"."""
    return f"{calculator}-{re.sub(r'[^a-z0-9_]+', '-', path).rstrip('-')}"


def message_ids(id_: str) -> tuple[str, str, str]:
    """Give the ids of an entry's note, error and help, in the order in which they are read out."""
    return f"{id_}-note", f"{id_}-error", f"{id_}-help"


def entry(field: Field, path: str, words: SheetWords, value: str, *, help_id: str) -> Markup:
    """Give the entry of one field. `value` is the text it starts with, `help_id` names its help."""
    if field.kind == "choice":
        choices = [(choice, words.choice(path.replace("[0]", ""), choice)) for choice in field.choices]
        return _radios(path, choices, words, help_id)
    if field.kind == "flag":
        return _radios(
            path, [(flag, words.say(f"page.flag.{flag}")) for flag in ("true", "false")], words, help_id
        )
    return _number(field, path, words, value, help_id)


def _described_by(id_: str, help_id: str) -> str:
    note_id, error_id, _ = message_ids(id_)
    return f"{note_id} {error_id} {help_id}"


def _number(field: Field, path: str, words: SheetWords, value: str, help_id: str) -> Markup:
    id_ = field_id(words.name, path)
    number = tag(
        "input",
        type="text",
        id=id_,
        name=path,
        value=value or None,
        autocomplete="off",
        inputmode="numeric" if field.kind == "whole" else "decimal",
        aria_describedby=_described_by(id_, help_id),
    )
    unit = words.unit(field.unit)
    parts: list[Markup | None] = [number, tag("span", unit, class_="ht-unit") if unit else None]
    if field.kind == "whole" and (field.low is None or field.low < 0):
        parts = [_step(-1, id_, words), *parts, _step(1, id_, words)]
    if field.may_be_null and not field.optional:  # what may stay blank needs no box to say so
        null = tag("input", type="checkbox", data_null_for=path)
        parts.append(tag("label", null, " ", words.say("page.not-measured"), class_="ht-null"))
    return tag("div", *parts, class_="ht-entry")


def _step(by: int, id_: str, words: SheetWords) -> Markup:
    """Give a button that counts up or down: a phone's keypad often has no minus sign."""
    sign, told = ("+", words.say("page.step.up")) if by > 0 else ("\u2212", words.say("page.step.down"))
    names = {"aria_label": told, "aria_controls": id_}
    return tag("button", sign, type="button", class_="ht-step", data_act="step", data_by=by, **names)


def _radios(path: str, choices: list[tuple[str, str]], words: SheetWords, help_id: str) -> Markup:
    id_ = field_id(words.name, path)
    options = [
        tag("label", tag("input", type="radio", name=path, value=value), " ", text, class_="ht-choice")
        for value, text in choices
    ]
    names = {"aria_labelledby": f"{id_}-label", "aria_describedby": _described_by(id_, help_id)}
    return tag("div", *options, class_="ht-choices", role="radiogroup", id=id_, **names)

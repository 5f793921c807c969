"""A list on a work sheet: runs, readings or cycles, as rows that can be added and struck out, not deleted."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

from markupsafe import Markup

from build_tools.reading.lines import FIGURE_USE
from build_tools.sheets.entry import field_id
from build_tools.sheets.field import field_block, help_text
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.fields import ITEMS, Field

SETTING = "half_turns"
"""The column with the setting at which a row was measured."""
PAIR = 2
"""A list of at most so many rows shows them all from the start."""
SEVERAL_SPRINGS = frozenset({"mainspring-plan"})
"""Calculators whose setting applies to several springs, all turned equally."""


def rows_block(field: Field, words: SheetWords) -> Markup:
    """Return a list: its help once, its first rows, and the buttons that add rows."""
    rows = [_row(field, index, words) for index in range(_rows_at_first(field, words))]
    error_id = f"{field_id(words.name, field.name)}-error"
    return tag(
        "fieldset",
        tag("legend", words.label(field, field.name), class_="ht-label"),
        tag("p", help_text(field, field.name, words), class_="ht-help", id=_help_id(field, "", words)),
        _column_helps(field, words),
        tag("ol", *rows, class_="ht-rows"),
        tag("p", class_="ht-error", id=error_id, data_error=field.name, hidden=True),
        _row_actions(field, words),
        class_="ht-list",
        data_rows=field.name,
        data_optional=field.optional,
        data_least=field.least,
        data_most=field.most,
        data_at_first=len(rows),
    )


def _help_id(field: Field, column: str, words: SheetWords) -> str:
    return f"{words.name}-{field.name}-help-{column}".rstrip("-")


def _column_helps(field: Field, words: SheetWords) -> Markup | None:
    """Return the help of each column, folded: the choices of a row say nearly all of it again."""
    if not field.fields:
        return None
    helps = (_column_help(field, column, words) for column in field.fields)
    return tag("details", tag("summary", words.say("page.columns")), *helps, class_="ht-columns")


def _column_help(field: Field, column: Field, words: SheetWords) -> Markup:
    path = f"{field.name}.{column.name}"
    named = tag("b", f"{words.label(column, path)}:")
    help_id = _help_id(field, column.name, words)
    return tag("p", named, " ", help_text(column, path, words), class_="ht-help", id=help_id)


def _rows_at_first(field: Field, words: SheetWords) -> int:
    """Return the number of rows at first: the company's number of runs, two for a pair, else one."""
    if field.kind == "rows" and field.most == PAIR:
        return PAIR
    runs = words.registers.figures.get("timing-runs")
    wanted = int(runs.part("value")) if runs and field.kind == "numbers" else 1
    return max(1, field.least, min(wanted, field.most))


def _row(field: Field, index: int, words: SheetWords) -> Markup:
    path = f"{field.name}[{index}]"
    if field.kind in ITEMS:
        one = dataclasses.replace(field, kind=ITEMS[field.kind], optional=False)
        label = _row_title(field, index, words)
        name = None
        blocks = [field_block(one, path, words, label=label, shared_help=_help_id(field, "", words))]
    else:
        has_setting = any(column.name == SETTING for column in field.fields)
        title = words.setting(0) if has_setting else _row_title(field, index, words)
        name = tag("p", title, class_="ht-row-name", data_row_name=True)
        blocks = [_column(field, column, path, words) for column in field.fields]
    why = tag("p", class_="ht-why", data_why=True, hidden=True)
    return tag("li", name, *blocks, why, _strike(field, index, words), class_="ht-row", data_row=index)


def _strike(field: Field, index: int, words: SheetWords) -> Markup:
    """Return the button that strikes a row out; its spoken name says which row."""
    text = words.say("page.strike-out")
    name = f"{text}: {_row_title(field, index, words)}"
    return tag("button", text, type="button", class_="ht-strike", data_act="strike", aria_label=name)


def _row_title(field: Field, index: int, words: SheetWords) -> str:
    """Return a row's title with its number, "Visit 2", by the list's own word where the words have one."""
    code = f"page.row.{field.name}"
    if code not in words.registers.words:
        code = "page.row.run" if field.kind in ITEMS else "page.row.row"
    return words.say(code, number=index + 1)


def _column(field: Field, column: Field, row: str, words: SheetWords) -> Markup:
    """Return one column's field. A setting starts as 0, the setting as found; other columns start blank."""
    return field_block(
        column,
        f"{row}.{column.name}",
        words,
        label=words.label(column, f"{field.name}.{column.name}"),
        value="0" if column.name == SETTING else "",
        shared_help=_help_id(field, column.name, words),
    )


def _row_actions(field: Field, words: SheetWords) -> Markup:
    kind = field.name if f"page.add.{field.name}" in words.registers.words else "row"
    buttons = [tag("button", words.say(f"page.add.{kind}"), type="button", data_act="add-row")]
    if any(column.name == SETTING for column in field.fields):
        springs = ".every-spring" if words.name in SEVERAL_SPRINGS else ""
        for way, turn in (("tighter", 1), ("looser", -1)):
            text = words.say(f"page.turned.{way}{springs}")
            buttons.append(tag("button", text, type="button", data_act="turned", data_turn=turn))
    if any(column.name == "fold_time_s" for column in field.fields):
        buttons.append(tag("button", type="button", data_act="take-runs", hidden=True))
    return tag("p", *_offers(field, words), *buttons, class_="ht-row-actions")


def _offers(field: Field, words: SheetWords) -> list[Markup]:
    """Return a button for each row that examples.yml offers: one tap adds it, without typing."""
    node = words.registers.example_nodes.get(words.name)
    offers = node.value.get("offers") if node else None
    rows = offers.plain().get(field.name, []) if offers else []
    return [_offer(row, words) for row in rows]


def _offer(row: dict[str, Any], words: SheetWords) -> Markup:
    used = [FIGURE_USE.fullmatch(value) for value in row.values() if isinstance(value, str)]
    figures = [words.registers.figures[use["id"]] for use in used if use]
    told = [f"{figure.text()}, {words.marks.basis(figure.basis)}" for figure in figures]
    first = next(iter(row.values()))
    texts = {name: str(value) for name, value in words.registers.filled(row).items()}
    return tag(
        "button",
        words.say("page.offer-row", row=": ".join([first, *told])),
        type="button",
        data_act="offer-row",
        data_fill=json.dumps(texts),
    )

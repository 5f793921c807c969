"""The form of a calculator's work sheet, made from the calculator's own declaration of its inputs."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence

from markupsafe import Markup

from build_tools.calculator_entry import entry, field_id, message_ids
from build_tools.figures import Figure
from build_tools.html_parts import tag
from build_tools.sheet_words import SheetWords
from calculators._fields import Field

FILLED = frozenset({"published", "company"})
"""Figures on these bases stand in their fields from the start; any other is offered as a labelled choice."""


def form(fields: Sequence[Field], words: SheetWords) -> Markup:
    """Give the form: every field in the declared order, disabled until the page's script takes it over."""
    blocks: list[Markup] = []
    offered: set[str] = set()
    for field in fields:
        figure = _figure(field, words)
        if figure and figure.basis not in FILLED and figure.id not in offered:
            offered.add(figure.id)
            blocks.append(_offer(figure, fields, words))
        blocks.append(
            _rows(field, words) if field.kind in ("numbers", "rows") else _field(field, field.name, words)
        )
    sheet = tag(
        "fieldset", *blocks, _sheet_actions(words), class_="ht-sheet-fields", data_sheet=True, disabled=True
    )
    return tag("form", sheet, class_="ht-sheet", novalidate=True, autocomplete="off")


def _figure(field: Field, words: SheetWords) -> Figure | None:
    return words.registers.figures.get(field.figure.partition(".")[0])


def _figure_text(field: Field, figure: Figure) -> str:
    """Give the figure's part exactly as the register has it, so that 0.10 stays 0.10."""
    return figure.written[field.figure.partition(".")[2] or "value"]


def _offer(figure: Figure, fields: Sequence[Field], words: SheetWords) -> Markup:
    """Give the button that fills a common figure in: only a person decides that it holds for this leveler."""
    fill = {field.name: _figure_text(field, figure) for field in fields if _figure(field, words) is figure}
    button = tag(
        "button",
        words.say("page.offer", figure=figure.text(), basis=words.marks.basis(figure.basis)),
        type="button",
        class_="ht-offer-button",
        data_offer=figure.id,
        data_fill=json.dumps(fill),
    )
    source = tag("a", words.say("page.offer.source"), href=words.address(f"figures.html#figure-{figure.id}"))
    return tag("p", button, Markup(" "), source, class_="ht-offer")


def _field(field: Field, path: str, words: SheetWords) -> Markup:
    """Give one field that stands for itself, with the book's figure in it where its basis allows that."""
    figure = _figure(field, words)
    filled = _figure_text(field, figure) if figure and figure.basis in FILLED else ""
    book = _book_figure(figure, words) if figure and filled else None
    return _field_block(field, path, words, value=filled, book=book)


def _book_figure(figure: Figure, words: SheetWords) -> Markup:
    source = words.registers.sources.get(figure.source or "")
    said = words.marks.basis(figure.basis)
    named = f"{said}: {source.author}, {source.title}, {source.edition}" if source else said
    return tag(
        "p",
        words.say("page.book-figure"),
        " ",
        words.marks.figure(figure),
        f" ({named}).",
        class_="ht-book-figure",
    )


def _field_block(
    field: Field, path: str, words: SheetWords, *, value: str = "", book: Markup | None = None
) -> Markup:
    plain = _plain(path)
    id_ = field_id(words.name, path)
    note_id, error_id, help_id = message_ids(id_)
    many = field.kind in ("choice", "flag")
    label = (
        tag("span", words.label(field, plain), class_="ht-label", id=f"{id_}-label")
        if many
        else tag("label", words.label(field, plain), class_="ht-label", for_=id_)
    )
    return tag(
        "div",
        label,
        entry(field, path, words, value),
        book,
        tag("p", _help(field, plain, words), class_="ht-help", id=help_id),
        tag("p", class_="ht-note", id=note_id, data_note=True, hidden=True),
        tag("p", class_="ht-error", id=error_id, data_error=path, hidden=True),
        class_="ht-field",
        data_input=path,
        data_kind=field.kind,
        data_optional=field.optional,
    )


def _plain(path: str) -> str:
    """Give a path without row numbers: "readings[0].fold_time_s" is "readings.fold_time_s"."""
    return path.replace("[0]", "")


def _help(field: Field, path: str, words: SheetWords) -> str:
    parts = [words.help(field, path)]
    if field.kind in ("number", "whole", "numbers"):
        parts.append(range_text(field, words))
    if field.optional:
        parts.append(words.say("page.optional"))
    return " ".join(part for part in parts if part)


def range_text(field: Field, words: SheetWords) -> str:
    """Give the allowed range in one sentence, or "" where there is none."""
    unit = words.unit(field.unit)
    values = {"low": _bound(field.low, unit, words), "high": _bound(field.high, unit, words)}
    if field.low is None and field.high is None:
        return ""
    if field.high is None:
        return words.say("page.range.above" if field.low_open else "page.range.from", **values)
    if field.low is None:
        return words.say("page.range.to", **values)
    return words.say("page.range.above-to" if field.low_open else "page.range.from-to", **values)


def _bound(bound: float | None, unit: str, words: SheetWords) -> str:
    if bound is None:
        return ""
    number = f"{bound:g}".replace("-", "\u2212").replace(".", words.registers.words["decimal-mark"])
    return f"{number} {unit}".strip()


def _rows(field: Field, words: SheetWords) -> Markup:
    """Give the rows of a list: the first ones blank, with the buttons that add and strike out."""
    rows = [_row(field, index, words) for index in range(_rows_at_first(field, words))]
    return tag(
        "fieldset",
        tag("legend", words.label(field, field.name), class_="ht-label"),
        tag("p", _help(field, field.name, words), class_="ht-help"),
        tag("ol", *rows, class_="ht-rows"),
        tag(
            "p",
            class_="ht-error",
            id=f"{field_id(words.name, field.name)}-error",
            data_error=field.name,
            hidden=True,
        ),
        _row_actions(field, words),
        class_="ht-list",
        data_rows=field.name,
        data_least=field.least,
        data_most=field.most,
        data_at_first=len(rows),
    )


def _rows_at_first(field: Field, words: SheetWords) -> int:
    """Give as many blank runs as the company times; any other list starts with one row."""
    runs = words.registers.figures.get("timing-runs")
    wanted = int(runs.part("value")) if runs and field.kind == "numbers" else 1
    return max(1, field.least, min(wanted, field.most))


def _row(field: Field, index: int, words: SheetWords) -> Markup:
    path = f"{field.name}[{index}]"
    if field.kind == "numbers":
        label = words.say("page.row.run", number=index + 1)
        blocks = [_row_number(field, path, label, words)]
        name = None
    else:
        blocks = [
            _field_block(column, f"{path}.{column.name}", words, value=_start(column))
            for column in field.fields
        ]
        name = tag(
            "p",
            words.setting(0) if _has_setting(field) else words.say("page.row.row", number=index + 1),
            class_="ht-row-name",
            data_row_name=True,
        )
    strike = tag("button", words.say("page.strike-out"), type="button", class_="ht-strike", data_act="strike")
    why = tag("p", class_="ht-why", data_why=True, hidden=True)
    return tag("li", name, *blocks, why, strike, class_="ht-row", data_row=index)


def _row_number(field: Field, path: str, label: str, words: SheetWords) -> Markup:
    """Give one number of a list of numbers: its label counts, its help stands once above the list."""
    number = dataclasses.replace(field, kind="number", label=label, help="")
    id_ = field_id(words.name, path)
    return tag(
        "div",
        tag("label", label, class_="ht-label", for_=id_, data_row_label=True),
        entry(number, path, words, ""),
        tag("p", class_="ht-note", id=f"{id_}-note", data_note=True, hidden=True),
        tag("p", class_="ht-error", id=f"{id_}-error", data_error=path, hidden=True),
        class_="ht-field",
        data_input=path,
        data_kind="number",
    )


def _has_setting(field: Field) -> bool:
    return any(column.name == "half_turns" for column in field.fields)


def _start(column: Field) -> str:
    """Settings count from as found, so the first row's is 0 by definition; nothing else is filled in."""
    return "0" if column.name == "half_turns" else ""


def _row_actions(field: Field, words: SheetWords) -> Markup:
    kind = field.name if words.known(f"page.add.{field.name}") else "row"
    buttons = [tag("button", words.say(f"page.add.{kind}"), type="button", data_act="add-row")]
    if _has_setting(field):
        several = ".every-spring" if words.name == "mainspring-plan" else ""
        buttons += [
            tag(
                "button",
                words.say(f"page.turned.{way}{several}"),
                type="button",
                data_act="turned",
                data_turn=turn,
            )
            for way, turn in (("tighter", 1), ("looser", -1))
        ]
        buttons.append(tag("button", type="button", data_act="take-runs", hidden=True))
    return tag("p", *buttons, class_="ht-row-actions")


def _sheet_actions(words: SheetWords) -> Markup:
    return tag(
        "p",
        tag("button", words.say("page.new-sheet"), type="button", data_act="new-sheet"),
        tag("button", words.say("page.bring-back"), type="button", data_act="bring-back", hidden=True),
        class_="ht-sheet-actions",
    )

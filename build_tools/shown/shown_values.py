"""A value of any kind as a person reads it: an input as it was typed, a result by the rule for its kind."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from build_tools.shown.field_range import counts_down
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.shown_numbers import shown_number, way_of_showing
from build_tools.shown.units import from_wire, shown_units
from calculators.shared.fields import Field, Output

SHORT_ROWS = 12
"""How many rows of a list are open; the rest is folded, one touch away."""
SHORT_PARTS = {"curve": "spread", "series": "last"}
"""Which rows of a long list are open: spread evenly along a curve, the last of a history, else the first."""


def short_part(name: str, count: int) -> list[int]:
    """Return the indices of the rows that are open; the page does the same in answer/result_table.js."""
    if count <= SHORT_ROWS:
        return list(range(count))
    part = SHORT_PARTS.get(name, "first")
    if part == "spread":
        stride = -(-(count - 1) // (SHORT_ROWS - 1))
        return [*range(0, count - 1, stride), count - 1]
    return list(range(SHORT_ROWS)) if part == "first" else list(range(count - SHORT_ROWS, count))


def shown_value(field: Field | Output, path: str, value: Any, words: SheetWords) -> Markup | str:
    """Return a value with its unit.

    Args:
        field: its declaration.
        path: the field's name with those of the lists around it, without row numbers: "cycles.rise".
        value: as on the wire; a list for several numbers or dates, a list of dicts for rows.
        words: of its calculator.
    """
    if value is None or value == []:
        return _nothing(field, words)
    if field.kind == "flag":
        return words.say(f"page.flag.{str(value).lower()}")
    if field.kind == "choice":
        return words.choice(path, value)
    if field.kind == "sentence":
        return str(value["text"])
    if field.kind == "rows":
        return _rows(field, path, value, words)
    if field.kind in ("date", "text", "dates"):
        return ", ".join([value] if isinstance(value, str) else value)
    if isinstance(field, Field) and field.name == "half_turns":
        return words.setting(value)
    if counts_down(field):
        value = abs(value)
    return _quantity(field, value if isinstance(value, list) else [value], words)


def shown_text(field: Output, text: str, words: SheetWords) -> Markup:
    """Return a text that is meant for another program: folded, its lines unchanged."""
    exact = {"data_found": field.name, "data_value": json.dumps(text)}
    return tag("details", tag("summary", words.say(f"page.{field.name}.read")), tag("pre", text, **exact))


def _nothing(field: Field | Output, words: SheetWords) -> str:
    if isinstance(field, Output):
        return words.say("page.nothing")
    return words.say("page.not-known" if field.kind == "date" else "page.not-measured")


def _quantity(field: Field | Output, numbers: Sequence[float], words: SheetWords) -> Markup | str:
    """Return numbers with their unit; where units can be chosen, the text for each is there for the page."""
    units = shown_units(field.unit, field.name)
    if not units:
        texts = [_number(field, number, field.unit, words) for number in numbers]
        return _with_unit(texts, words.unit(field.unit))
    texts = [
        _with_unit([_number(field, from_wire(number, unit), unit, words) for number in numbers], unit)
        for unit in units
    ]
    return tag("span", texts[0], data_by_units=words.by_units(texts))


def _with_unit(numbers: Sequence[str], unit: str) -> str:
    """Return numbers and their unit, joined by a space at which no line breaks."""
    return f"{', '.join(numbers)}\u00a0{unit}".rstrip("\u00a0")


def _number(field: Field | Output, value: float, unit: str, words: SheetWords) -> str:
    if isinstance(field, Field):
        return words.number(value)
    return shown_number(value, way_of_showing(field.name, unit, field.kind), words.registers.words)


def _rows(
    field: Field | Output, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords
) -> Markup | str:
    if isinstance(field, Output):
        return _tables(field, path, rows, words)
    if len(field.fields) == 1:  # a few choices, each named once
        only = field.fields[0]
        return ", ".join(str(shown_value(only, f"{path}.{only.name}", row[only.name], words)) for row in rows)
    return _list(field, path, rows, words)


def _list(field: Field, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    """Return rows as a list; rows that are equal, or differ in their last number alone, share a line."""
    groups: dict[tuple[Any, ...], list[Mapping[str, Any]]] = {}
    for row in rows:
        groups.setdefault(_likeness(field, row), []).append(row)
    return tag("ul", *(tag("li", _group_text(field, path, group, words)) for group in groups.values()))


def _likeness(field: Field, row: Mapping[str, Any]) -> tuple[Any, ...]:
    columns = [column for column in field.fields if column.name in row]
    if columns[-1].kind == "number":
        columns = columns[:-1]
    return tuple((column.name, row[column.name]) for column in columns)


def _group_text(field: Field, path: str, group: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    """Return similar rows in one line, "As found: 16.4, 16.7 s"; equal ones once, with their count."""
    *head, last = [column for column in field.fields if column.name in group[0]]
    parts = [_part(column, path, group[0], words, named=bool(at)) for at, column in enumerate(head)]
    if last.kind == "number":
        values = _quantity(last, [row[last.name] for row in group], words)
        return joined(Markup("; ").join(parts), ": ", values)
    text = Markup("; ").join([*parts, _part(last, path, group[0], words, named=bool(head))])
    if len(group) == 1:
        return text
    before, _, after = words.say("page.rows.times", count=len(group), row="\0").partition("\0")
    return joined(before, text, after)


def _part(column: Field, path: str, row: Mapping[str, Any], words: SheetWords, *, named: bool) -> Markup:
    """Return one part of a row; flags have their label, and so have days and bare numbers unless first."""
    at = f"{path}.{column.name}"
    shown = shown_value(column, at, row[column.name], words)
    bare = column.kind in ("choice", "text") or bool(column.kind != "date" and words.unit(column.unit))
    name_it = column.kind == "flag" or (named and not bare)
    return joined(words.label(column, at), ": ", shown) if name_it else joined(shown)


def _tables(field: Output, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    """Return a list of results as a table; a long one as a short table with the whole one folded below it."""
    open_rows = [rows[index] for index in short_part(field.name, len(rows))]
    short = _table(field, path, open_rows, words)
    if len(open_rows) == len(rows):
        return short
    summary = tag("summary", words.say("page.rows.all", count=len(rows)))
    return joined(short, tag("details", summary, _table(field, path, rows, words)))


def _table(field: Output, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    heads = [tag("th", words.label(column, f"{path}.{column.name}"), scope="col") for column in field.fields]
    lines = [
        tag(
            "tr",
            *(
                tag(
                    "td",
                    shown_value(column, f"{path}.{column.name}", row[column.name], words),
                    data_show="date" if column.kind == "date" else None,  # a day is never broken in two
                )
                for column in field.fields
            ),
        )
        for row in rows
    ]
    return tag("table", tag("thead", tag("tr", *heads)), tag("tbody", *lines))

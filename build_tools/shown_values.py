"""A value of any kind as a person reads it: an input as it was given, a result by the rule of its kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from build_tools.html_parts import tag
from build_tools.sheet_words import SheetWords
from build_tools.shown_numbers import shown_number, way_of_showing
from calculators._fields import Field, Output


def shown_value(field: Field | Output, path: str, value: Any, words: SheetWords) -> Markup | str:
    """Give a value with its unit. `path` names the field without row numbers: "cycles.rise"."""
    if value is None or value == []:
        return words.say("page.not-measured" if isinstance(field, Field) else "page.nothing")
    if isinstance(value, bool):
        return words.say(f"page.flag.{str(value).lower()}")
    if isinstance(value, str):
        return words.choice(path, value)
    if field.kind == "rows":
        return (
            _list(field, path, value, words)
            if isinstance(field, Field)
            else _table(field, path, value, words)
        )
    if isinstance(field, Field) and field.name == "half_turns":
        return words.setting(value)
    numbers = value if isinstance(value, list) else [value]
    return (
        f"{', '.join(_number(field, number, words) for number in numbers)} {words.unit(field.unit)}".strip()
    )


def _number(field: Field | Output, value: float, words: SheetWords) -> str:
    if isinstance(field, Field):
        return words.number(value)
    return shown_number(value, way_of_showing(field.name, field.unit, field.kind), words.registers.words)


def _list(field: Field, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    return tag("ul", *(tag("li", _row_text(field, path, row, words)) for row in rows))


def _row_text(field: Field, path: str, row: Mapping[str, Any], words: SheetWords) -> str:
    """Give a row in one line: the setting, then each part by name; the only part beside it needs no name."""
    given = [column for column in field.fields if column.name in row]
    named = len(given) > 2
    parts = []
    for column in given:
        at = f"{path}.{column.name}"
        text = str(shown_value(column, at, row[column.name], words))
        parts.append(f"{words.label(column, at)}: {text}" if named and column.name != "half_turns" else text)
    return "; ".join(parts)


def _table(field: Output, path: str, rows: Sequence[Mapping[str, Any]], words: SheetWords) -> Markup:
    heads = [tag("th", words.label(column, f"{path}.{column.name}"), scope="col") for column in field.fields]
    lines = [
        tag(
            "tr",
            *(
                tag("td", shown_value(column, f"{path}.{column.name}", row[column.name], words))
                for column in field.fields
            ),
        )
        for row in rows
    ]
    return tag("table", tag("thead", tag("tr", *heads)), tag("tbody", *lines))

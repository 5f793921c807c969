"""A calculator's sheet on paper: lines and cells for what is read off the leveler, to fill in with a pen."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from build_tools.sheets.form import is_folded
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.fields import ITEMS, Field

LINES = 4
"""How many rows there are to write in; fewer where the calculator takes fewer."""
LISTS = ("rows", *ITEMS)


def paper_sheet(fields: Sequence[Field], words: SheetWords) -> Markup:
    """Return the sheet, which only printing shows, and only while the page has no answer.

    It asks for the fields that the form does not fold; what the book fills in needs no pen.
    """
    asked = [field for field in fields if not is_folded(field, words)]
    tables = [_table(field, words) for field in asked if field.kind in LISTS]
    lines = [_line(field, words) for field in asked if field.kind not in LISTS]
    return tag(
        "div",
        tag("p", words.say("page.paper"), class_="ht-paper-note"),
        *tables,
        tag("ul", *lines, class_="ht-pen-lines") if lines else None,
        class_="ht-paper-sheet",
        aria_hidden="true",
        data_paper=words.name,
        data_search_exclude=True,
    )


def _table(field: Field, words: SheetWords) -> Markup:
    count = min(LINES, field.most)
    if not field.fields:  # plain readings go side by side
        cells = (tag("td") for _ in range(count))
        caption = tag("caption", _named(field, field.name, words))
        return tag("table", caption, tag("tbody", tag("tr", *cells)), class_="ht-pen-table")
    heads = [
        tag("th", _named(column, f"{field.name}.{column.name}", words), scope="col", data_kind=column.kind)
        for column in field.fields
    ]
    blank = tag("tr", *(tag("td") for _ in heads))
    return tag(
        "table",
        tag("caption", words.label(field, field.name)),
        tag("thead", tag("tr", *heads)),
        tag("tbody", *(blank for _ in range(count))),
        class_="ht-pen-table",
    )


def _line(field: Field, words: SheetWords) -> Markup:
    return tag("li", _named(field, field.name, words), tag("span", class_="ht-pen-line"))


def _named(field: Field, path: str, words: SheetWords) -> Markup:
    """Return a field's name, its unit, and the words to choose from where only a few are allowed."""
    unit = words.units(field)[0]
    choices = " / ".join(_choices(field, path, words))
    return joined(
        words.label(field, path),
        f" ({unit})" if unit else None,
        tag("small", choices, class_="ht-pen-choices") if choices else None,
    )


def _choices(field: Field, path: str, words: SheetWords) -> list[str]:
    if field.kind == "flag":
        return [words.say("page.flag.true"), words.say("page.flag.false")]
    return [words.choice(path, choice) for choice in field.choices]

"""The results of an answer: a line for each, tables for lists (short at first), a text as a file to save."""

from __future__ import annotations

from markupsafe import Markup

from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.shown_numbers import way_of_showing
from build_tools.shown.shown_values import SHORT_PARTS, SHORT_ROWS
from calculators.shared.fields import Output

NUMBERS = ("number", "whole", "choice", "numbers", "flag", "date")
"""Kinds of results that have one line each; sentences, cautions and tables have places of their own."""
INSTRUCTIONS = frozenset({"next_action", "do_now", "half_turns_to_go", "per_spring"})
"""Results that ask for an action; only an answer about a real leveler may show them."""
WORKING = frozenset(
    {
        "standard_uncertainty_s",
        "degrees_of_freedom",
        "coverage_factor",
        "rate_intercept",
        "rate_slope",
        "slope_sd",
        "residual_sd",
    }
)
"""Results that explain an answer and do not change what to do next; folded in "Numbers behind it"."""


def output_place(name: str, *children: object, attribute: str = "data_field", **attributes: object) -> Markup:
    """Return the place of a result. Screen readers do not announce it, unlike the answer's spoken part.

    `attribute` holds the result's name: data_field in the answer itself, another attribute elsewhere.
    """
    return tag("output", *children, aria_live="off", **{attribute: name}, **attributes)


def spoken_place(name: str, *children: object) -> Markup:
    """Return a place in the spoken part of the answer, which screen readers announce."""
    return tag("output", *children, aria_live="polite", data_field=name)


def number_line(field: Output, words: SheetWords, *, attribute: str = "data_field") -> Markup:
    """Return the line of one result: its label and the place for its value."""
    shown = output_place(field.name, attribute=attribute, **_showing(field, words))
    return tag("div", tag("dt", words.label(field, field.name)), tag("dd", shown), class_="ht-number")


def _showing(field: Output, words: SheetWords) -> dict[str, object]:
    """Return the attributes by which the page shows a result: rule and unit, in each unit system."""
    units = words.units(field)
    rules = [way_of_showing(field.name, unit, field.kind) for unit in units]
    return {
        "data_show": way_of_showing(field.name, field.unit, field.kind) if len(units) == 1 else rules[0],
        "data_unit": units[0] or None,
        "data_units": words.by_units(units),
        "data_shows": words.by_units(rules),
    }


def list_table(field: Output, words: SheetWords, *, attribute: str = "data_field") -> Markup:
    """Return a table for a result that is a list, with one column for each of its parts."""
    heads = [
        tag(
            "th",
            words.label(column, f"{field.name}.{column.name}"),
            scope="col",
            data_column=column.name,
            **_showing(column, words),
        )
        for column in field.fields
    ]
    table = tag(
        "table",
        tag("caption", output_place(field.name, words.label(field, field.name), attribute=attribute)),
        tag("thead", tag("tr", *heads)),
        tag("tbody"),
        class_="ht-list-table",
        data_list=field.name,
        data_short_rows=SHORT_ROWS,
        data_short_part=SHORT_PARTS.get(field.name, "first"),
        hidden=True,
    )
    more = tag("button", type="button", data_act="more-rows", data_rows_of=field.name, hidden=True)
    return tag("div", table, more, class_="ht-list-result")


def text_file(field: Output, words: SheetWords) -> Markup:
    """Return the place for a text that is saved as a file: the button that saves it, and the text itself."""
    return tag(
        "div",
        tag("button", words.say(f"page.{field.name}.save"), type="button", data_act="save-text"),
        tag(
            "details",
            tag("summary", words.say(f"page.{field.name}.read")),
            tag("pre", output_place(field.name, data_show="text")),
        ),
        class_="ht-text-file",
        data_part="text-file",
        hidden=True,
    )

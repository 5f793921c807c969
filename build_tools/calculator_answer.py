"""The answer area of a work sheet: a sentence, the cautions, the action below them, the numbers, working."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from build_tools.html_parts import tag
from build_tools.sheet_words import SheetWords
from build_tools.shown_numbers import way_of_showing
from calculators._fields import Output
from calculators._hazards import BEFORE_CYCLING, BEFORE_TURNING

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
"""Results that explain the answer but change nobody's next move; they stand folded under "The working"."""

NUMBERS = ("number", "whole", "choice", "numbers")
"""Kinds of results that stand as one line each; sentences, cautions and tables have places of their own."""


def answer_area(outputs: Sequence[Output], words: SheetWords) -> Markup:
    """Give the empty answer with its cautions; the page's script fills it in, without it they stand."""
    numbers = [field for field in outputs if field.kind in NUMBERS and field.name not in WORKING]
    first, action = _sentences(outputs)
    spoken = tag(
        "div",
        first,
        _before("turning", BEFORE_TURNING, words),
        _before("cycling", BEFORE_CYCLING, words),
        action,
        tag("p", data_part="missing", class_="ht-missing"),
        _fault(words),
        data_spoken=True,
        aria_live="polite",
    )
    return tag(
        "div",
        tag("h4", words.say("page.answer"), class_="ht-part"),
        spoken,
        _reasons(words),
        tag("dl", *(_number(field, words) for field in numbers), class_="ht-numbers"),
        *(_list(field, words) for field in outputs if field.kind == "rows"),
        _working(outputs, words),
        class_="ht-answer",
        data_answer=True,
        data_state="empty",
    )


def _sentences(outputs: Sequence[Output]) -> tuple[Markup, Markup]:
    """Give what stands above the cautions and what stands below them.

    A plan's headline is itself the order to turn, so it stands below; a headline that judges stands above.
    """
    headline = tag("p", _output("headline"), class_="ht-headline")
    if any(field.name == "do_now" for field in outputs):
        return tag("p", data_part="first", class_="ht-first"), headline
    return headline, tag("p", data_part="do", class_="ht-do")


def _output(name: str, **attributes: object) -> Markup:
    """An output is spoken aloud by itself; only the spoken part of the answer shall be, so it is silenced."""
    return tag("output", data_field=name, aria_live="off", **attributes)


def _before(what: str, hazards: Sequence[str], words: SheetWords) -> Markup:
    """Give the cautions that stand above an action that asks for a turn or a cycle."""
    known = [words.registers.hazards[id_] for id_ in hazards]
    title = tag("output", words.say(f"page.before-{what}"), data_field=f"before_{what}", aria_live="off")
    return tag(
        "div",
        tag("p", title, class_="ht-before-title"),
        *(words.marks.hazard(hazard) for hazard in known),
        class_="ht-before",
        data_before=what,
    )


def _fault(words: SheetWords) -> Markup:
    """Give the place for a fault of ours: a short code, and the trace behind a button."""
    return tag(
        "p",
        tag("span", data_fault_text=True),
        Markup(" "),
        tag("button", words.say("page.fault.copy"), type="button", data_act="copy-report"),
        class_="ht-fault",
        data_part="fault",
        hidden=True,
    )


def _reasons(words: SheetWords) -> Markup:
    title = tag("output", words.say("page.reasons"), data_field="reasons", aria_live="off")
    return tag(
        "div",
        tag("p", title, class_="ht-part"),
        tag("ul", data_list="reasons"),
        class_="ht-reasons",
        data_part="reasons",
        hidden=True,
    )


def _number(field: Output, words: SheetWords) -> Markup:
    way = way_of_showing(field.name, field.unit, field.kind)
    shown = _output(field.name, data_show=way, data_unit=words.unit(field.unit) or None)
    return tag("div", tag("dt", words.label(field, field.name)), tag("dd", shown), class_="ht-number")


def _list(field: Output, words: SheetWords) -> Markup:
    """Give a table for a result that is a list, with one column for each of its parts."""
    heads = [
        tag(
            "th",
            words.label(column, f"{field.name}.{column.name}"),
            scope="col",
            data_column=column.name,
            data_show=way_of_showing(column.name, column.unit, column.kind),
            data_unit=words.unit(column.unit) or None,
        )
        for column in field.fields
    ]
    caption = tag(
        "caption", tag("output", words.label(field, field.name), data_field=field.name, aria_live="off")
    )
    return tag(
        "table",
        caption,
        tag("thead", tag("tr", *heads)),
        tag("tbody"),
        class_="ht-list-table",
        data_list=field.name,
        hidden=True,
    )


def _working(outputs: Sequence[Output], words: SheetWords) -> Markup | None:
    fields = [field for field in outputs if field.name in WORKING]
    if not fields:
        return None
    return tag(
        "details",
        tag("summary", words.say("page.working")),
        tag("dl", *(_number(field, words) for field in fields), class_="ht-numbers"),
        class_="ht-working",
        data_part="working",
    )

"""What if: a slider moves one value of the sheet, verdict and numbers follow, and no action is asked for."""

from __future__ import annotations

import json
from collections.abc import Sequence

from markupsafe import Markup

from build_tools.sheets.results import INSTRUCTIONS, NUMBERS, list_table, number_line, output_place
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.shown_values import SHORT_PARTS
from calculators.shared.fields import Output


def what_if(outputs: Sequence[Output], left_out: frozenset[str], words: SheetWords) -> Markup:
    """Return the folded part, hidden until the page's script runs it.

    Args:
        outputs: the calculator's results.
        left_out: names of the results that only the working shows.
        words: of the calculator.
    """
    shown = [field for field in outputs if field.name not in INSTRUCTIONS | left_out]
    numbers = [
        number_line(field, words, attribute="data_what_if") for field in shown if field.kind in NUMBERS
    ]
    tables = [
        list_table(field, words, attribute="data_what_if")
        for field in shown
        if field.kind == "rows" and field.name not in SHORT_PARTS
    ]
    answer = tag(
        "div",
        tag("p", words.say("page.what-if.mark"), class_="ht-what-if-mark"),
        _headline(outputs),
        tag("p", class_="ht-error", data_part="what-if-refused", hidden=True),
        tag("dl", *numbers, class_="ht-numbers"),
        *tables,
        tag("figure", class_="ht-picture", data_part="what-if-picture", hidden=True),
        data_part="what-if-answer",
        hidden=True,
    )
    return tag(
        "details",
        tag("summary", words.say("page.what-if")),
        tag("p", words.say("page.what-if.needs-answer"), class_="ht-help", data_part="what-if-waits"),
        tag("div", *_slider(words), answer, data_part="what-if-works", hidden=True),
        class_="ht-what-if",
        data_part="what-if",
        data_left_out=json.dumps(sorted(INSTRUCTIONS)),
        data_search_exclude=True,
        hidden=True,
    )


def _headline(outputs: Sequence[Output]) -> Markup | None:
    """Return the headline's place, or None for a calculator whose headline may ask for an action."""
    if any(field.name in ("before_turning", "before_cycling") for field in outputs):
        return None
    return tag("p", output_place("headline", attribute="data_what_if"), class_="ht-what-if-headline")


def _slider(words: SheetWords) -> list[Markup]:
    slider, value = f"{words.name}-what-if", f"{words.name}-what-if-value"
    choice = tag("select", data_what_if_choice=True)
    return [
        tag("label", words.say("page.what-if.move"), " ", choice, class_="ht-what-if-choice"),
        tag(
            "p",
            tag("label", words.say("page.what-if.value"), for_=slider),
            " ",
            tag("output", id=value, for_=slider, class_="ht-what-if-value", aria_live="off"),
        ),
        tag("input", type="range", id=slider, class_="ht-what-if-slider", data_what_if_slider=True),
        tag(
            "p",
            tag("button", words.say("page.what-if.write"), type="button", data_what_if_write=True),
            tag("button", words.say("page.what-if.back"), type="button", data_what_if_back=True),
            class_="ht-sheet-actions",
        ),
    ]

"""Picture and working on a work sheet: places for the live ones, and those of the worked example."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from calculators.pictures import DRAWN, picture
from calculators.shared.working_lines import line_text
from calculators.workings import working


def picture_place(words: SheetWords) -> Markup:
    """Return the empty place of the live picture, and one to say that it or the working could not be made."""
    fault = tag("p", class_="ht-explanation-fault", data_part="explanation-fault", hidden=True)
    if words.name not in DRAWN:
        return fault
    return joined(tag("figure", class_="ht-picture", data_part="picture", hidden=True), fault)


def working_place(numbers: Sequence[Markup], words: SheetWords) -> Markup:
    """Return the folded place of the live working, above the numbers that only the working names."""
    return tag(
        "details",
        tag("summary", words.say("page.working")),
        tag("ol", class_="ht-working-lines", data_list="working"),
        tag("dl", *numbers, class_="ht-numbers") if numbers else None,
        class_="ht-working",
        data_part="working",
    )


def example_picture(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: SheetWords) -> Markup | None:
    """Return the picture of an example; what the answer leaves out is not drawn."""
    found = picture(words.name, inputs, answer, words.registers.words)
    if found is None:
        return None
    # our own module wrote it, and escaped every word in it
    return tag("figure", Markup(found["svg"]), class_="ht-picture", data_search_exclude=True)


def example_working(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: SheetWords) -> Markup:
    """Return the folded working of an example."""
    lines = [line_text(line, words.registers.words) for line in working(words.name, inputs, answer)]
    return tag(
        "details",
        tag("summary", words.say("page.working")),
        tag("ol", *(tag("li", line) for line in lines), class_="ht-working-lines"),
        class_="ht-working",
        data_search_exclude=True,
    )

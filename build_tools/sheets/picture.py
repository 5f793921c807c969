"""Picture and working on a work sheet: places that the script fills, and those of the worked example."""

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
    """Return places for the live picture, if any, and for a message that it or the working failed."""
    fault = tag("p", class_="ht-explanation-fault", data_part="explanation-fault", hidden=True)
    if words.name not in DRAWN:
        return fault
    return joined(tag("figure", class_="ht-picture", data_part="picture", hidden=True), fault)


def working_place(numbers: Sequence[Markup], words: SheetWords) -> Markup:
    """Return the folded place of the live working, above `numbers`, the results that explain the answer."""
    return tag(
        "details",
        tag("summary", words.say("page.working")),
        tag("ol", class_="ht-working-lines", data_list="working"),
        tag("dl", *numbers, class_="ht-numbers") if numbers else None,
        class_="ht-working",
        data_part="working",
    )


def example_picture(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: SheetWords) -> Markup | None:
    """Return the picture of an example, or None where the calculator has no picture."""
    found = picture(words.name, inputs, answer, words.registers.words)
    if found is None:
        return None
    # our own module wrote the SVG and escaped every word in it
    return tag("figure", Markup(found["svg"]), class_="ht-picture", data_search_exclude=True)


def example_working(
    inputs: Mapping[str, Any], answer: Mapping[str, Any], numbers: Sequence[Markup], words: SheetWords
) -> Markup:
    """Return the folded working of an example, above `numbers`, the results that explain its answer."""
    lines = [line_text(line, words.registers.words) for line in working(words.name, inputs, answer)]
    return tag(
        "details",
        tag("summary", words.say("page.working")),
        tag("ol", *(tag("li", line) for line in lines), class_="ht-working-lines"),
        tag("dl", *numbers) if numbers else None,
        class_="ht-working",
        data_search_exclude=True,
    )

"""The answer area of a work sheet: a sentence, the cautions, the action below them, numbers, the working."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from build_tools.sheets.picture import picture_place, working_place
from build_tools.sheets.results import NUMBERS, list_table, number_line, output_place, spoken_place, text_file
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.fields import Output
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING

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
"""Results that explain the answer but do not change what to do next; they are folded in "The working"."""


def answer_area(outputs: Sequence[Output], words: SheetWords) -> Markup:
    """Return the empty answer, which the page's script fills in; its cautions are there without a script."""
    numbers = [field for field in outputs if field.kind in NUMBERS and field.name not in WORKING]
    first, action = _sentences(outputs)
    cautions = [
        _before(what, hazards, words)
        for what, hazards in (("turning", BEFORE_TURNING), ("cycling", BEFORE_CYCLING))
        if any(field.name == f"before_{what}" for field in outputs)
    ]
    spoken = tag(
        "div",
        first,
        *cautions,
        action,
        tag("p", data_part="lead", class_="ht-lead", hidden=True),
        tag("div", data_part="question", class_="ht-question-choices", hidden=True)
        if any(field.kind == "question" for field in outputs)
        else None,
        tag("p", data_part="missing", class_="ht-missing"),
        _fault(words),
        data_spoken=True,
        aria_live="polite",
    )
    return tag(
        "div",
        tag("h4", words.say("page.answer"), class_="ht-part"),
        spoken,
        picture_place(words),
        _reasons(words),
        tag("dl", *(number_line(field, words) for field in numbers), class_="ht-numbers"),
        *(list_table(field, words) for field in outputs if field.kind == "rows"),
        *(text_file(field, words) for field in outputs if field.kind == "text"),
        working_place([number_line(field, words) for field in outputs if field.name in WORKING], words),
        class_="ht-answer",
        data_search_exclude=True,
        data_answer=True,
        data_state="empty",
    )


def _sentences(outputs: Sequence[Output]) -> tuple[Markup, Markup]:
    """Return the sentence above the cautions and the sentence below them.

    A headline that judges goes above. That of a plan or a trend asks for an action, so it goes below.
    """
    headline = tag("p", spoken_place("headline"), class_="ht-headline")
    names = {field.name for field in outputs}
    if "before_cycling" in names and "next_action" not in names:
        return tag("p", data_part="first", class_="ht-first"), headline
    return headline, tag("p", data_part="do", class_="ht-do")


def _before(what: str, hazards: Sequence[str], words: SheetWords) -> Markup:
    """Return the cautions above an action; `what` it asks for is "turning" or "cycling"."""
    known = [words.registers.hazards[id_] for id_ in hazards]
    title = spoken_place(f"before_{what}", words.say(f"page.before-{what}"))
    return tag(
        "div",
        tag("p", title, class_="ht-before-title"),
        *(words.marks.hazard(hazard) for hazard in known),
        class_="ht-before",
        data_before=what,
    )


def _fault(words: SheetWords) -> Markup:
    """Return the place for a fault in our own code: a short code, and a button that copies the trace."""
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
    title = output_place("reasons", words.say("page.reasons"))
    return tag(
        "div",
        tag("p", title, class_="ht-part"),
        tag("ul", data_list="reasons"),
        class_="ht-reasons",
        data_part="reasons",
        hidden=True,
    )

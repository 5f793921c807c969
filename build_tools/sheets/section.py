"""A calculator on a page: a work sheet made from the declaration that the command line reads as well."""

from __future__ import annotations

import json
from collections.abc import Mapping

from markupsafe import Markup

from build_tools.reading.pages import address_of
from build_tools.registers.registers import Registers
from build_tools.sheets.answer import answer_area
from build_tools.sheets.belonging import BELONGS, belonging_place
from build_tools.sheets.example import look_up_table, worked_answer
from build_tools.sheets.form import form
from build_tools.sheets.given import asked, given
from build_tools.sheets.method_section import method_section
from build_tools.sheets.paper import paper_sheet
from build_tools.sheets.results import WORKING
from build_tools.sheets.timing.stopwatch import how_timed, opener, stopwatch
from build_tools.sheets.what_if import what_if
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.units_choice import units_choice
from calculators import answering

NO_TITLES: Mapping[str, str] = {}


def render(
    name: str, registers: Registers, *, root: str, folded: bool = False, titles: Mapping[str, str] = NO_TITLES
) -> str:
    """Return the HTML of one calculator.

    Args:
        name: the calculator, one of calculators.answering.NAMES.
        registers: the book's registers: words, figures, hazards, terms and examples.
        root: relative path from the page to the site's root, "." for a page at the root.
        titles: of the book's pages, by path in the docs folder; an answer leads on to some of them.
        folded: whether the worked example and its table are one tap away, as on a page with steps.

    Raises:
        ExampleRefused: the calculator refuses the inputs of examples.yml.
        LookupError: the name is unknown, or the registers lack a sentence or a hazard.
    """
    words = SheetWords(name, registers, root)
    module = answering.module(name)
    title = f"{name}-title"
    return str(
        tag(
            "section",
            tag("h3", words.say(f"{name}.title"), class_="ht-question", id=title),
            tag("p", words.say("page.needs-serving"), class_="ht-needs-serving", data_needs="serving"),
            _runtime_status(words),
            tag("div", class_="ht-leveler", data_leveler=True),
            belonging_place(words),
            units_choice((*asked(module.INPUTS), *module.OUTPUTS), words),
            opener(words),
            how_timed(words),
            form(asked(module.INPUTS), words),
            paper_sheet(asked(module.INPUTS), words),
            stopwatch(words),
            answer_area(module.OUTPUTS, words),
            what_if(module.OUTPUTS, WORKING, words),
            *_without_javascript(words, folded=folded),
            method_section(words),
            class_="ht-worksheet",
            data_calculator=name,
            data_belongs=BELONGS.get(name),
            data_leads=_leads(words, titles),
            data_given=json.dumps(given(module.INPUTS, registers.figures)),
            aria_labelledby=title,
        )
    )


def searched_text(name: str, registers: Registers) -> str:
    """Return the text of a calculator for search: its question, and the names of its inputs and results."""
    words = SheetWords(name, registers, "")
    module = answering.module(name)
    labels = [words.label(field, field.name) for field in (*asked(module.INPUTS), *module.OUTPUTS)]
    question = tag("h3", words.say(f"{name}.title"), id=f"{name}-title")
    return str(question + tag("p", ", ".join(labels)))


def _leads(words: SheetWords, titles: Mapping[str, str]) -> str | None:
    """Return (address, title) of the page that each answer leads on to, by its headline's code, as JSON."""
    leads = words.registers.examples.get(words.name, {}).get("leads", {})
    found = {
        code: (words.address(address_of(page)), titles[page])
        for code, page in leads.items()
        if page in titles
    }
    return json.dumps(found, ensure_ascii=False) if found else None


def _runtime_status(words: SheetWords) -> Markup:
    """Return the line that the page's script updates: starting, ready, or failed with what to do."""
    return tag(
        "p",
        tag("span", data_text=True),
        Markup(" "),
        tag("button", words.say("page.runtime.again"), type="button", data_act="restart", hidden=True),
        class_="ht-runtime",
        data_status="runtime",
        role="status",
        hidden=True,
    )


def _without_javascript(words: SheetWords, *, folded: bool) -> list[Markup]:
    """Return the worked answer and the table, where examples.yml has them; folded, both in one fold."""
    example = words.registers.examples.get(words.name)
    if example is None:
        return []
    fields = answering.module(words.name).INPUTS
    inputs = {**given(fields, words.registers.figures), **example["inputs"]}  # as a sheet gives them
    parts = [worked_answer(inputs, words)]
    if "table" in example:
        parts.append(look_up_table(inputs, example["table"], words))
    if not folded:
        return parts
    summary = tag("summary", words.say("page.example.fold"))
    return [tag("details", summary, *parts, class_="ht-example-fold", data_part="example")]

"""The pocket card: two sides of A6, one with the half-turn table, one with the figures for the dock."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from markupsafe import Markup

from build_tools.blocks.pocket_card_classes import class_table, input_label, nut_lines
from build_tools.blocks.pocket_card_rows import (
    LIP,
    MAINSPRING,
    SEEN,
    TIMED,
    WALKS,
    Answer,
    Seen,
    lip_answer,
    mainspring_answer,
)
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.marks import BASIS_CODES, Marks
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators.shared.words import say

NAME = "pocket-card"
CAUTIONS = (*BEFORE_TURNING, *BEFORE_CYCLING)
"""The hazards shown above the table, since its rows ask for turns."""
RULES = ("count", "every-spring", "check", "end")


def pocket_card(figures: Sequence[str], marks: Marks) -> Markup:
    """Return the card. `figures` are the ids of those on its second side; unknown ones are left out.

    Raises:
        CardRefused: the calculators have no single answer for a row of the half-turn table.
        LookupError: the words lack a sentence.
    """
    return tag(
        "div",
        _side("half-turns", marks, *_half_turns(marks)),
        _side("figures", marks, *_figures(figures, marks)),
        class_="ht-card",
        data_pocket_card="",
    )


def _say(marks: Marks, code: str) -> str:
    return say(marks.registers.words, code, {})


def _side(name: str, marks: Marks, *parts: object) -> Markup:
    heading = tag("h2", _say(marks, f"card.{name}"), id=f"card-{name}")
    return tag("section", heading, *parts, class_="ht-card-side", data_card=name)


def _half_turns(marks: Marks) -> list[Markup]:
    """Return the parts of the first side: the cautions, the two tables, the rules for every half turn."""
    known = marks.registers.hazards
    hazards = [known[id_] for id_ in CAUTIONS if id_ in known]  # the checks have named unknown ones
    basis = (_say(marks, "card.basis"), " ", marks.basis("common practice"), ". ")
    return [
        tag("div", *(marks.hazard(hazard) for hazard in hazards), class_="ht-card-hazards"),
        _mainspring_table(marks),
        _lip_table(marks),
        tag("ul", *(tag("li", _say(marks, f"card.rule.{rule}")) for rule in RULES), class_="ht-card-rules"),
        tag("p", _say(marks, "card.stop"), class_="ht-card-stop"),
        tag("p", *basis, _say(marks, "card.calculators"), class_="ht-card-note"),
    ]


def _mainspring_table(marks: Marks) -> Markup:
    labels = [
        input_label(MAINSPRING, f"cycles.{name}", marks) for name in ("rise", "lip_extended", "walk_down")
    ]
    groups = [list(group) for _, group in groupby(SEEN, key=lambda seen: seen.rise)]
    rows = [
        _mainspring_row(seen, len(group) if seen is group[0] else 0, marks)
        for group in groups
        for seen in group
    ]
    return _table("mainspring", [*labels, _say(marks, "card.do")], rows, marks)


def _mainspring_row(seen: Seen, spanned: int, marks: Marks) -> Markup:
    """Return a row; in the first of `spanned` rows, the cell for the rise spans them all."""
    any_ = _say(marks, "card.any")
    rise = tag("td", _say(marks, f"{MAINSPRING}.rise.{seen.rise}"), rowspan=str(spanned)) if spanned else None
    lip = any_ if len(seen.lips) > 1 else _say(marks, f"page.flag.{str(seen.lips[0]).lower()}")
    walks = ", ".join(_say(marks, f"{MAINSPRING}.walk_down.{walk}") for walk in seen.walks)
    cells = (rise, tag("td", lip), tag("td", any_ if seen.walks == WALKS else walks))
    return _row(MAINSPRING, cells, mainspring_answer(seen, marks.registers.words), marks)


def _lip_table(marks: Marks) -> Markup:
    words = marks.registers.words
    rows = [
        _row(LIP, (tag("td", _timing(timing, marks)),), lip_answer(timing, words), marks) for timing in TIMED
    ]
    return _table("lip", [_say(marks, "card.lip-folds"), _say(marks, "card.do")], rows, marks)


def _timing(timing: str, marks: Marks) -> str:
    """Return what the runs show: a verdict, or for runs that do not agree turn-plan's reason to stop."""
    return _say(marks, f"{LIP}.stop.spread" if timing == "spread" else f"fold-time.verdict.{timing}")


def _table(name: str, heads: Sequence[str], rows: Sequence[Markup], marks: Marks) -> Markup:
    head = tag("thead", tag("tr", *(tag("th", text, scope="col") for text in heads)))
    caption = tag("caption", _say(marks, f"card.{name}"))
    return tag("table", caption, head, tag("tbody", *rows), class_="ht-card-table", data_table=name)


def _row(calculator: str, cells: Sequence[Markup | None], answer: Answer, marks: Marks) -> Markup:
    """Return a row; where a calculator stops, its own reason follows the words to stop and call."""
    do: list[object] = [tag("strong", _say(marks, f"card.do.{answer.action}"))]
    if answer.stop and answer.stop != "spread":  # the row's first cell says that already
        do += [": ", _say(marks, f"{calculator}.stop.{answer.stop}")]
    return tag(
        "tr",
        *cells,
        tag("td", *do),
        data_asked=calculator,
        data_do_now=str(answer.do_now),
        data_stop=answer.stop,
    )


def _figures(ids: Sequence[str], marks: Marks) -> list[Markup]:
    known = [marks.registers.figures[id_] for id_ in ids if id_ in marks.registers.figures]
    rows = [tag("div", tag("dt", figure.label), tag("dd", marks.figure(figure))) for figure in known]
    return [
        class_table(marks),
        nut_lines(marks),
        tag("dl", *rows, class_="ht-card-figures"),
        tag("p", *_legend(marks), _say(marks, "card.rest"), class_="ht-card-note"),
        tag("p", marks.say("defer"), class_="ht-card-stop", data_caution="defer"),
    ]


def _legend(marks: Marks) -> list[Markup]:
    """Return the symbol of each basis with its meaning."""
    return [
        joined(tag("span", marks.say(f"sign.{code}"), class_="ht-basis"), " ", marks.basis(basis), ". ")
        for basis, code in BASIS_CODES.items()
    ]

"""The form of a calculator's work sheet, made from the calculator's own declaration of its inputs."""

from __future__ import annotations

import itertools
import json
from collections.abc import Sequence

from markupsafe import Markup

from build_tools.registers.figures import Figure
from build_tools.sheets.entry import is_ticks
from build_tools.sheets.field import field_block
from build_tools.sheets.rows import rows_block
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.fields import Field

FILLED = frozenset({"published", "company"})
"""Figures on these bases are filled in from the start; others are offered behind a labeled button."""


def form(fields: Sequence[Field], words: SheetWords) -> Markup:
    """Return the form, disabled until the page's script takes it over.

    What is read off the leveler comes first, ordered and grouped as declared. What the book fills in and what
    may be left blank is folded below, so that the answer is never far from the readings. In a group, an
    optional field stays with its group, since it is there instead of another one.
    """
    folded = [field for field in fields if is_folded(field, words)]
    open_fields = [field for field in fields if field not in folded]
    shown = [
        _group(group, list(members), fields, words)
        for group, members in itertools.groupby(open_fields, key=lambda field: field.group)
    ]
    more = [block for field in folded for block in _blocks(field, fields, words)]
    sheet = tag(
        "fieldset",
        *shown,
        tag("details", tag("summary", words.say("page.more")), *more, class_="ht-more") if more else None,
        _sheet_actions(words),
        class_="ht-sheet-fields",
        data_sheet=True,
        disabled=True,
    )
    switches = {"novalidate": True, "autocomplete": "off", "data_search_exclude": True}
    return tag("form", sheet, class_="ht-sheet", **switches)


def is_folded(field: Field, words: SheetWords) -> bool:
    """Return whether a field is folded below the readings: the book fills it in, or it is optional."""
    return bool(_filled_text(field, words)) or (field.optional and not field.group)


def _group(group: str, members: Sequence[Field], fields: Sequence[Field], words: SheetWords) -> Markup:
    """Return the fields of one group under its heading; fields without a group have none."""
    blocks = [block for field in members for block in _blocks(field, fields, words)]
    if not group:
        return joined(*blocks)
    heading = tag("legend", words.say(f"{words.name}.group.{group}"), class_="ht-group-name")
    return tag("fieldset", heading, *blocks, class_="ht-group", data_group=group)


def _blocks(field: Field, fields: Sequence[Field], words: SheetWords) -> list[Markup]:
    """Return a field or a list, after the offer of a common figure if it is the first that one can fill."""
    if is_ticks(field):
        return [field_block(field, field.name, words, label=words.label(field, field.name))]
    if field.kind in ("numbers", "dates", "rows"):
        return [rows_block(field, words)]
    figure = _figure(field, words)
    filled = _filled_text(field, words)
    label = words.label(field, field.name)
    beside = _book_figure(figure, words) if figure and filled else None
    block = field_block(field, field.name, words, label=label, value=filled, beside=beside)
    if figure is None or filled:
        return [block]
    takers = [other for other in fields if _figure(other, words) is figure]
    return [_offer(figure, takers, words), block] if takers[0] is field else [block]


def _figure(field: Field, words: SheetWords) -> Figure | None:
    return words.registers.figures.get(field.figure.partition(".")[0])


def _figure_text(field: Field, figure: Figure) -> str:
    """Return the part of a figure that fills the field, as typed in the register: 0.10 stays 0.10."""
    return figure.number_text(field.figure.partition(".")[2] or "value")


def _filled_text(field: Field, words: SheetWords) -> str:
    """Return the text that a field starts with, "" where only a person may fill it in."""
    figure = _figure(field, words)
    return _figure_text(field, figure) if figure and figure.basis in FILLED else ""


def _offer(figure: Figure, takers: Sequence[Field], words: SheetWords) -> Markup:
    """Return the button that fills in a common figure: a person decides whether it holds for this leveler."""
    text = words.say("page.offer", figure=figure.text(), basis=words.marks.basis(figure.basis))
    fill = json.dumps({field.name: _figure_text(field, figure) for field in takers})
    button = tag(
        "button", text, type="button", class_="ht-offer-button", data_offer=figure.id, data_fill=fill
    )
    source = tag("a", words.say("page.offer.source"), href=words.address(f"figures.html#figure-{figure.id}"))
    return joined(tag("p", button, " ", source, class_="ht-offer"), _not_offered(figure, words))


def _not_offered(figure: Figure, words: SheetWords) -> Markup | None:
    """Return the line in place of the offer, for a leveler of another way than the figure holds for."""
    way = words.registers.ways.get(figure.holds_for or "")
    if way is None:
        return None
    holds = {"data_not_offered": figure.id, "data_way_of": way.of, "data_holds_for": way.id}
    return tag("p", class_="ht-book-figure", data_label=way.label, hidden=True, role="status", **holds)


def _book_figure(figure: Figure, words: SheetWords) -> Markup:
    """Return the note on which figure of the book is filled in, its basis and its source."""
    source = words.registers.sources.get(figure.source or "")
    basis = words.marks.basis(figure.basis)
    cited = f"{basis}: {source.author}, {source.title}, {source.edition}" if source else basis
    named = (words.say("page.book-figure"), " ", words.marks.figure(figure), f" ({cited}).")
    return tag("p", *named, class_="ht-book-figure")


def _sheet_actions(words: SheetWords) -> Markup:
    return tag(
        "p",
        tag("button", words.say("page.new-sheet"), type="button", data_act="new-sheet"),
        tag("button", words.say("page.bring-back"), type="button", data_act="bring-back", hidden=True),
        class_="ht-sheet-actions",
    )

"""The page made from the registers: figures with basis, source and check; threads, wires, hazards, terms."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from markupsafe import Markup

from build_tools.made_pages.built_with import built_with
from build_tools.made_pages.trade_table_rows import thread_tables, wire_row
from build_tools.registers.figures import Figure, with_unit
from build_tools.registers.registers import Registers
from build_tools.registers.rows import Equipment, EquipmentFigure, Hazard, Source, Term
from build_tools.shown.html_parts import tag
from build_tools.shown.marks import BASIS_CODES, Marks
from build_tools.shown.own_figures import own_text
from calculators.answering import NAMES, module
from calculators.shared.fields import Field

Uses = Mapping[str, Iterable[tuple[str, str]]]
"""Row id to the pages that show or concern it, each as (relative address, title)."""


def register_page(registers: Registers, *, revised: str, uses: Uses, leads: Uses) -> str:
    """Return the page as Markdown: headings for the table of contents, the rows as HTML.

    `revised` is the page's date (YYYY-MM-DD), `uses` are the pages that show a figure, `leads` those to which
    a term leads.
    """
    marks = Marks(registers, "")
    parts: list[object] = [
        f"---\ntitle: {json.dumps(marks.say('figures.title'))}\nkind: reference\n"
        f"summary: {json.dumps(marks.say('figures.summary'))}\nrevised: {revised}\n---\n",
        f"# {marks.say('figures.title')}\n",
        f"{marks.say('figures.intro')}\n",
        _legend(marks),
        f"## {marks.say('figures.figures')}\n",
        *(_figure(figure, marks, uses.get(figure.id, ())) for figure in registers.figures.values()),
    ]
    sections = {
        "equipment": [_equipment(row, marks) for row in registers.equipment.values()],
        "threads": _threads(registers, marks),
        "wires": _wires(registers, marks),
        "hazards": [_hazard(row, marks) for row in registers.hazards.values()],
        "terms": [_term(row, marks, leads.get(row.id, ())) for row in registers.terms.values()],
        "sources": [_source(row, marks) for row in registers.sources.values()],
        "built-with": _built_with(marks),
    }
    for name, rows in sections.items():
        parts += [f"## {marks.say(f'figures.{name}')}\n", *rows] if rows else []
    return "\n".join(str(part) + "\n" for part in parts)


HEADINGS = ("figures", "equipment", "threads", "wires", "hazards", "terms", "sources", "built-with")


def _built_with(marks: Marks) -> list[Markup]:
    rows = [
        tag(
            "li",
            marks.say(
                "figures.built-with.row",
                name=part.name,
                version=part.version,
                licences=", ".join(part.licenses),
            ),
            data_part=part.name,
        )
        for part in built_with()
    ]
    return [tag("p", marks.say("figures.built-with.intro")), tag("ul", *rows)]


def anchors(registers: Registers) -> set[str]:
    """Return every anchor of the page except its headings; rows left out for a mistake count as well."""
    ids: dict[str, Iterable[str]] = {
        "figure": registers.figures,
        "equipment": registers.equipment,
        "thread": registers.threads,
        "wire": registers.wires,
        "hazard": registers.hazards,
        "term": registers.terms,
        "source": registers.sources,
    }
    return {f"{kind}-{id_}" for kind, rows in ids.items() for id_ in {*rows, *registers.left_out}}


def headings(marks: Marks) -> list[str]:
    """Return the headings of the page, so that links to them can be checked."""
    return [marks.say(f"figures.{name}") for name in HEADINGS]


def _legend(marks: Marks) -> Markup:
    return tag(
        "ul",
        *(
            tag(
                "li",
                tag("span", marks.say(f"sign.{code}"), class_="ht-basis", aria_hidden="true"),
                " ",
                marks.basis(basis),
            )
            for basis, code in BASIS_CODES.items()
        ),
        class_="ht-legend",
    )


def _figure(figure: Figure, marks: Marks, uses: Iterable[tuple[str, str]]) -> Markup:
    source = marks.registers.sources.get(figure.source or "")
    links = [tag("a", title, href=address) for address, title in uses]
    return tag(
        "section",
        tag("h3", figure.label, ": ", marks.plain_figure(figure), id=f"figure-{figure.id}"),
        tag(
            "p",
            marks.basis_symbol(figure.basis),
            " ",
            tag("span", marks.basis(figure.basis), aria_hidden="true"),
            ". ",
            figure.note,
        ),
        _cited(source, marks) if source else None,
        tag("p", _check(figure, marks), class_="ht-check"),
        tag("p", marks.say("figures.used-on"), " ", Markup(", ").join(links), class_="ht-used-on")
        if links
        else None,
        class_="ht-row",
    )


def _cited(source: Source, marks: Marks) -> Markup:
    named = tag("a", f"{source.title}, {source.edition}, {source.where}", href=f"#source-{source.id}")
    before, _, after = marks.say("figures.source", source="\0").partition("\0")
    return tag("p", before, named, after, class_="ht-source")


def _check(figure: Figure, marks: Marks) -> str:
    if not figure.safety:
        return marks.say("figures.unchecked")
    return marks.say(
        "figures.checked",
        value=figure.text(),  # the same as was checked, or the book would not be built
        name=figure.checked_by,
        date=figure.checked_on,
        low=figure.number_text("plausible_low"),
        high=with_unit(figure.number_text("plausible_high"), figure.unit),
    )


def _hazard(hazard: Hazard, marks: Marks) -> Markup:
    source = marks.registers.sources.get(hazard.source or "")
    return tag(
        "section",
        marks.hazard(hazard, searched=True),
        tag("p", marks.basis(hazard.basis), "."),
        _cited(source, marks) if source else None,
        id=f"hazard-{hazard.id}",
        class_="ht-row",
    )


def _term(term: Term, marks: Marks, leads: Iterable[tuple[str, str]]) -> Markup:
    links = [tag("a", title, href=address) for address, title in leads]
    return tag(
        "section",
        tag("h3", term.term, id=f"term-{term.id}"),
        tag("p", marks.with_figures(term.meaning)),
        tag("p", marks.say("figures.say-not", words=", ".join(term.say_not))) if term.say_not else None,
        tag("p", marks.say("figures.also", words=", ".join(term.search))) if term.search else None,
        tag("p", marks.say("figures.leads-to"), " ", Markup(", ").join(links)) if links else None,
        class_="ht-row",
    )


def _source(source: Source, marks: Marks) -> Markup:
    title = tag("a", source.title, href=source.address) if source.address else source.title
    return tag(
        "section",
        tag("h3", title, id=f"source-{source.id}"),
        tag(
            "p",
            f"{source.author}. {source.edition}. {source.where}. ",
            marks.say(f"mark.{source.provenance}"),
        ),
        class_="ht-row",
    )


def _equipment(row: Equipment, marks: Marks) -> Markup:
    nut = row.adjusting_nut
    springs = marks.say("figures.springs", count=row.spring_count)
    turning = ""
    if nut:
        hand = marks.say(f"hand.{nut['thread_hand']}")
        turning = f" {marks.say('figures.nut', **{**nut, 'hand': hand})}"
    return tag(
        "section",
        tag("h3", row.name, id=f"equipment-{row.id}"),
        tag("p", row.maker_note),
        tag("p", springs, turning),
        tag("ul", *(_equipment_figure(name, figure, marks) for name, figure in row.figures.items())),
        class_="ht-row",
    )


def _equipment_figure(name: str, figure: EquipmentFigure, marks: Marks) -> Markup:
    """Return a figure of a leveler class, with label and unit of its input, or of the book's figure."""
    general = marks.registers.general(name)
    if general is not None:
        symbol = marks.basis_symbol(figure["basis"])
        return tag("li", f"{general.label}: {own_text(general, figure)}", symbol, f", {figure['where']}")
    calculator, field = next((calculator, field) for calculator, field in _inputs() if field.name == name)
    label = marks.registers.words.get(f"{calculator}.{name}.label", field.label)
    symbol = marks.basis_symbol(figure["basis"])
    return tag(
        "li", f"{label}: {with_unit(str(figure['value']), field.unit)}", symbol, f", {figure['where']}"
    )


def _threads(registers: Registers, marks: Marks) -> list[Markup]:
    if not registers.threads:
        return []
    intro = tag("p", marks.say("figures.threads.intro"))
    return [intro, *thread_tables(registers.threads.values(), marks)]


def _wires(registers: Registers, marks: Marks) -> list[Markup]:
    if not registers.wires:
        return []
    intro = tag("p", marks.say("figures.wires.intro"))
    return [intro, *(wire_row(row, marks) for row in registers.wires.values())]


def _inputs() -> list[tuple[str, Field]]:
    return [(name, field) for name in NAMES for field in module(name).INPUTS]

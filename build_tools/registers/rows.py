"""Rows of the registers other than figures: hazards, sources, terms and equipment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Key, Shape, check_shape, subject_of
from build_tools.registers.figures import BASES

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")

HAZARD_SHAPE: Shape = {
    "id": Key("id", "pages name a hazard by its id", "lip-path"),
    "signal": Key("text", "the signal word says how bad it can be", "WARNING", choices=SIGNALS),
    "title": Key("text", "two to five words name the hazard at a glance", "Moving lip"),
    "what": Key("text", "the reader must know what can happen", "The lip can crush a foot or a hand."),
    "avoid": Key("text", "the reader must know how to avoid it", "Keep everyone clear of the lip."),
    "basis": Key("text", "the reader must see how far to trust it", "common practice", choices=BASES),
    "source": Key("id", "a source is named by its id in sources.yml", "owners-manual", required=False),
}
SOURCE_SHAPE: Shape = {
    "id": Key("id", "figures and hazards name a source by its id", "amjphys-2019"),
    "title": Key("text", "a reader looks it up by its title", "How precise is a hand-held stopwatch"),
    "author": Key("text", "a reader looks it up by its author", "A. Author"),
    "edition": Key("text", "another edition may say otherwise", "2019"),
    "where": Key("text", "a reader needs the page or clause", "page 110"),
    "mark": Key(
        "text",
        "it must be plain whether anyone here has read it",
        "memory",
        choices=("read", "read-secondary", "memory"),
    ),
    "address": Key("text", "a reader may open it", "https://doi.org/...", required=False),
}
TERM_SHAPE: Shape = {
    "id": Key("id", "pages name a term by its id", "fold-time"),
    "term": Key("text", "the glossary lists terms by name", "fold time"),
    "meaning": Key("text", "one sentence says what it means", "From first movement of the lip to its stop."),
    "say_not": Key("texts", "other words for it confuse a reader", "[drop time]", required=False),
    "search": Key("texts", "a technician searches in his own words", "[lip too slow]", required=False),
    "leads_to": Key(
        "texts", "search shows these pages for its words", "[procedures/time-the-lip-fold.md]", required=False
    ),
}
EQUIPMENT_SHAPE: Shape = {
    "id": Key("id", "records name a leveler class by its id", "springline-6"),
    "name": Key("text", "the technician chooses it by name", "Springline 6 ft"),
    "maker_note": Key("text", "the reader must see whose manual rules", "Invented for this handbook."),
    "spring_count": Key("whole", "every spring gets the same half turn", "3"),
    "adjusting_nut": Key(
        "mapping", "which way tightens depends on the thread", "{thread_hand: right, ...}", required=False
    ),
    "ways": Key("texts", "the phone shows the sentences of these ways", "[lip-by-hand]", required=False),
    "figures": Key("mapping", "the calculators offer these figures", "{window_low_s: {value: 18, ...}}"),
}
NUT_SHAPE: Shape = {
    "thread_hand": Key("text", "it decides which way tightens", "right", choices=("left", "right")),
    "seen_from": Key("text", "clockwise means nothing without the end it is seen from", "the nut's end"),
    "see": Key(
        "text", "the technician must see the spring respond before counting", "The spring gets longer."
    ),
}
EQUIPMENT_FIGURE_SHAPE: Shape = {
    "value": Key("number", "a figure is a number", "18"),
    "basis": Key("text", "the technician must see how far to trust it", "owner's manual", choices=BASES),
    "where": Key("text", "the technician must be able to look it up", "Owner's manual, adjustment table"),
}


@dataclass(frozen=True, slots=True)
class Hazard:
    """A hazard message in three parts: signal word and title, what can happen, how to avoid it."""

    id: str
    signal: str
    title: str
    what: str
    avoid: str
    basis: str
    source: str | None
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Source:
    """A work that figures rest on. `provenance` is its `mark`: read, read about, or recalled from memory."""

    id: str
    title: str
    author: str
    edition: str
    where: str
    provenance: str
    address: str | None
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Term:
    """A word as this book uses it, its other names (`say_not`) and a technician's words for it (`search`).

    `leads_to` are the pages, by their paths in the docs folder, that a search for any of these should find.
    """

    id: str
    term: str
    meaning: str
    say_not: tuple[str, ...]
    search: tuple[str, ...]
    leads_to: tuple[str, ...]
    file: str
    line: int

    @property
    def names(self) -> tuple[str, ...]:
        """Everything that people may call it, right or wrong."""
        return (self.term, *self.say_not, *self.search)


class EquipmentFigure(TypedDict):
    """A figure of a leveler class: a calculator's input in that input's unit, and where it comes from."""

    value: float
    basis: str
    where: str


@dataclass(frozen=True, slots=True)
class Equipment:
    """A class of leveler. `ways` are ids of ways.yml; `figures` are by the input that each one fills."""

    id: str
    name: str
    maker_note: str
    spring_count: int
    adjusting_nut: dict[str, str] | None
    ways: tuple[str, ...]
    figures: dict[str, EquipmentFigure]
    file: str
    line: int


def source_from(row: Node, file: str) -> Source:
    """Make a Source of a row that passed its shape."""
    texts = _texts(row, "id", "title", "author", "edition", "where")
    provenance = row.value["mark"].written
    return Source(**texts, provenance=provenance, address=_optional(row, "address"), file=file, line=row.line)


def hazard_from(row: Node, file: str) -> Hazard:
    """Make a Hazard of a row that passed its shape."""
    texts = _texts(row, "id", "signal", "title", "what", "avoid", "basis")
    return Hazard(**texts, source=_optional(row, "source"), file=file, line=row.line)


def term_from(row: Node, file: str) -> Term:
    """Make a Term of a row that passed its shape."""
    id_, term, meaning = _texts(row, "id", "term", "meaning").values()
    say_not, search, leads_to = (_list(row, key) for key in ("say_not", "search", "leads_to"))
    return Term(id_, term, meaning, say_not, search, leads_to, file, row.line)


def equipment_from(row: Node, file: str) -> Equipment:
    """Make an Equipment of a file that passed check_equipment."""
    nut = row.value.get("adjusting_nut")
    return Equipment(
        **_texts(row, "id", "name", "maker_note"),
        spring_count=row.value["spring_count"].value,
        adjusting_nut=nut.plain() if nut is not None else None,
        ways=_list(row, "ways"),
        figures=row.value["figures"].plain(),
        file=file,
        line=row.line,
    )


def check_equipment(root: Node, file: str, stem: str) -> list[Problem]:
    """Return the problems of one equipment file; `stem` is its name without the ending."""
    subject = subject_of(root, "equipment")
    found = check_shape(root, EQUIPMENT_SHAPE, file=file, subject=subject)
    if found:
        return found
    id_ = root.value["id"]
    if id_.written != stem:
        what = f"{subject} stands in a file named '{stem}.yml'"
        why = "records find a leveler class by its id"
        found.append(
            Problem(file, id_.line, what, why, f"name the file '{id_.written}.yml', or the id '{stem}'")
        )
    nut = root.value.get("adjusting_nut")
    if nut is not None and nut.value is not None:
        found += check_shape(nut, NUT_SHAPE, file=file, subject=f"{subject}, adjusting_nut")
    for name, figure in root.value["figures"].value.items():
        found += check_shape(figure, EQUIPMENT_FIGURE_SHAPE, file=file, subject=f"{subject}, figure '{name}'")
    return found


def _texts(row: Node, *keys: str) -> dict[str, str]:
    return {key: row.value[key].written for key in keys}


def _optional(row: Node, key: str) -> str | None:
    node = row.value.get(key)
    return node.written if node is not None and node.value is not None else None


def _list(row: Node, key: str) -> tuple[str, ...]:
    node = row.value.get(key)
    return tuple(item.written for item in node.value) if node is not None and node.value else ()

"""Ways in which a thing is done or built, such as how the lip is raised; a leveler has one of each.

An author begins a sentence with a way's label in bold, "**Lip raised by hand:** open both hands." With a
leveler in hand whose row names its ways, a phone shows those sentences and keeps the others one tap away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import Key, Shape
from build_tools.registers.figures import Figure
from build_tools.registers.rows import Equipment

WAYS = "ways.yml"
WAY_SHAPE: Shape = {
    "id": Key("id", "a leveler's row names its ways by their ids", "lip-by-hand"),
    "of": Key("id", "a leveler has one way of each thing", "lip"),
    "label": Key("text", "sentences for this way begin with it in bold", "Lip raised by hand"),
}


@dataclass(frozen=True, slots=True)
class Way:
    """One way of a thing; `of` names the thing, `label` is how its sentences begin, without the colon."""

    id: str
    of: str
    label: str
    file: str
    line: int


def way_from(row: Node, file: str) -> Way:
    """Return the Way of a row that passed its shape."""
    id_, of, label = (row.value[key].written for key in ("id", "of", "label"))
    return Way(id_, of, label, file, row.line)


def check_figure_ways(figures: Iterable[Figure], ways: Mapping[str, Way]) -> list[Problem]:
    """Return the problems of the ways for which figures hold."""
    why = "content/registers/ways.yml has no such id"
    return [
        Problem(
            figure.file,
            figure.key_line("holds_for"),
            f"figure '{figure.id}' holds for an unknown way '{figure.holds_for}'",
            why,
            suggestion(figure.holds_for, ways, otherwise="add it to the register"),
        )
        for figure in figures
        if figure.holds_for and figure.holds_for not in ways
    ]


def check_ways(equipment: Iterable[Equipment], ways: Mapping[str, Way]) -> list[Problem]:
    """Return the problems of the ways that levelers name: each known, and one of a thing."""
    found = []
    for leveler in equipment:
        taken: dict[str, str] = {}
        for id_ in leveler.ways:
            way = ways.get(id_)
            if way is None:
                what, why = f"unknown way '{id_}'", "content/registers/ways.yml has no such id"
                fix = suggestion(id_, ways, otherwise="add it to the register")
            elif way.of in taken:
                what = f"'{id_}' and '{taken[way.of]}' are two ways of one thing ('{way.of}')"
                why, fix = "the phone could not tell which sentences to show", "keep the one that is true"
            else:
                taken[way.of] = id_
                continue
            found.append(Problem(leveler.file, leveler.line, f"equipment '{leveler.id}': {what}", why, fix))
    return found

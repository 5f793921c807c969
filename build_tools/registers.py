"""The company's registers, read from YAML and checked row by row: figures, sources, hazards, terms, equipment, words."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from build_tools import register_rows as rows
from build_tools.figure_checks import check_figure
from build_tools.figures import FIGURE_SHAPE, Figure, check_numbers, figure_from
from build_tools.marked_yaml import Node, YamlSlip, read_marked
from build_tools.problems import Problem, closest
from build_tools.register_rows import Equipment, Hazard, Source, Term
from build_tools.shapes import Shape, check_shape
from calculators._words import read_words

FIGURE_USE = re.compile(r"\{\{ *([a-z0-9-]+)(?:\.([a-z]+))? *\}\}")
_Row = TypeVar("_Row")


@dataclass(frozen=True)
class Registers:
    """Everything in content/registers, by id. Rows that could not be read are left out and stand in the problems."""

    figures: dict[str, Figure] = field(default_factory=dict)
    hazards: dict[str, Hazard] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    terms: dict[str, Term] = field(default_factory=dict)
    equipment: dict[str, Equipment] = field(default_factory=dict)
    example_nodes: dict[str, Node] = field(default_factory=dict)
    """Worked examples as written, by calculator, with their lines."""
    words: dict[str, str] = field(default_factory=dict)
    language: str = "en"

    @property
    def examples(self) -> dict[str, Any]:
        """Worked examples by calculator, as examples.yml has them, every "{{ figure-id.low }}" replaced by its number."""
        return {name: self.filled(node.plain()) for name, node in self.example_nodes.items()}

    def filled(self, value: Any) -> Any:
        """Replace each text "{{ id }}" or "{{ id.part }}" in plain data by the figure's number.

        Raises KeyError where the figure or its part does not exist; check_book finds these first.
        """
        if isinstance(value, dict):
            return {key: self.filled(item) for key, item in value.items()}
        if isinstance(value, list):
            return [self.filled(item) for item in value]
        use = FIGURE_USE.fullmatch(value) if isinstance(value, str) else None
        if use is None:
            return value
        return self.figures[use[1]].part(use[2] or "value")


def load_registers(folder: Path, language: str = "en") -> tuple[Registers, list[Problem]]:
    """Read content/registers. Missing register files count as empty; only words are needed by every book."""
    reader = _Reader(folder)
    sources = reader.rows("sources.yml", "source", rows.SOURCE_SHAPE, _source)
    figures = reader.rows("figures.yml", "figure", FIGURE_SHAPE, figure_from, check_numbers)
    hazards = reader.rows("hazards.yml", "hazard", rows.HAZARD_SHAPE, _hazard)
    terms = reader.rows("terms.yml", "term", rows.TERM_SHAPE, _term)
    for figure in figures.values():
        reader.problems += check_figure(figure, sources)
    for hazard in hazards.values():
        reader.problems += _check_hazard_source(hazard, sources)
    equipment = reader.equipment()
    registers = Registers(figures, hazards, sources, terms, equipment, reader.mapping("examples.yml"),
                          reader.words(language), language)
    return registers, sorted(reader.problems)


class _Reader:
    """Reads the files of one registers folder and gathers what is wrong with them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: list[Problem] = []

    def rows(self, name: str, noun: str, shape: Shape, make: Callable[[Node, str], _Row],
             check: Callable[[Node, str, str], list[Problem]] | None = None) -> dict[str, _Row]:
        """Read a file that is a list of rows; leave out rows with problems."""
        root = self._read(name)
        if root is None or root.value is None:
            return {}
        file = self._file(name)
        if not isinstance(root.value, list):
            self.problems.append(Problem(file, root.line, f"{name} is not a list", f"each {noun} is one item of a list",
                                         "start each row with `- id: ...`"))
            return {}
        found: dict[str, _Row] = {}
        lines: dict[str, int] = {}
        for row in root.value:
            id_ = self._checked_id(row, noun, shape, file, lines, check)
            if id_ is not None:
                found[id_] = make(row, file)
        return found

    def _checked_id(self, row: Node, noun: str, shape: Shape, file: str, lines: dict[str, int],
                    check: Callable[[Node, str, str], list[Problem]] | None) -> str | None:
        subject = _subject(row, noun)
        problems = check_shape(row, shape, file=file, subject=subject)
        if not problems and check:
            problems = check(row, file, subject)
        self.problems += problems
        if problems:
            return None
        id_: str = row.value["id"].value
        if id_ in lines:
            self.problems.append(Problem(file, row.line, f"{subject} stands twice (first on line {lines[id_]})",
                                         "a page that names it could mean either", "give one of them another id"))
            return None
        lines[id_] = row.line
        return id_

    def mapping(self, name: str) -> dict[str, Node]:
        """Read a file that is a mapping, its values with their lines."""
        root = self._read(name)
        if root is None or root.value is None:
            return {}
        if not isinstance(root.value, dict):
            self.problems.append(Problem(self._file(name), root.line, f"{name} is not a list of keys with values",
                                         "it is read by key", "start each entry with `name:`"))
            return {}
        return root.value

    def equipment(self) -> dict[str, Equipment]:
        """Read equipment/*.yml, one leveler class a file, the file named by the id."""
        found = {}
        for path in sorted((self.folder / "equipment").glob("*.yml")):
            name = f"equipment/{path.name}"
            root = self._read(name)
            if root is None:
                continue
            problems = _equipment_problems(root, self._file(name), path.stem)
            self.problems += problems
            if not problems:
                found[path.stem] = _equipment(root, self._file(name))
        return found

    def words(self, language: str) -> dict[str, str]:
        """Read words/LANGUAGE.yml with the calculators' own reader, so that both see the same sentences."""
        name = f"words/{language}.yml"
        try:
            return dict(read_words((self.folder / name).read_text(encoding="utf-8")))
        except FileNotFoundError:
            self.problems.append(Problem(self._file(name), 1, "the file of sentences is missing",
                                         "every page and every answer takes its words from it", f"restore {name}"))
        except ValueError as slip:
            line = re.search(r"line (\d+)", str(slip))
            self.problems.append(Problem(self._file(name), int(line[1]) if line else 1,
                                         f"the line cannot be read ({slip})",
                                         "pages and calculators take their sentences from it, one a line",
                                         'write it as `code: "sentence"`, in double quotes'))
        return {}

    def _read(self, name: str) -> Node | None:
        path = self.folder / name
        if not path.exists():
            return None
        try:
            return read_marked(path.read_text(encoding="utf-8"))
        except YamlSlip as slip:
            self.problems.append(Problem(self._file(name), slip.line, f"not readable as YAML: {slip.message}",
                                         "nothing of the file can be used until it is",
                                         "look at this line and the one above: indents, colons, quotes"))
            return None

    def _file(self, name: str) -> str:
        return (self.folder / name).relative_to(self.folder.parent.parent).as_posix()


def _subject(row: Node, noun: str) -> str:
    id_ = row.value.get("id") if isinstance(row.value, dict) else None
    return f"{noun} '{id_.written}'" if id_ is not None and id_.written else f"{noun} without an id"


def _texts(row: Node, *keys: str) -> dict[str, str]:
    return {key: row.value[key].written for key in keys}


def _optional(row: Node, key: str) -> str | None:
    node = row.value.get(key)
    return node.written if node is not None and node.value is not None else None


def _list(row: Node, key: str) -> tuple[str, ...]:
    node = row.value.get(key)
    return tuple(item.written for item in node.value) if node is not None and node.value else ()


def _source(row: Node, file: str) -> Source:
    texts = _texts(row, "id", "title", "author", "edition", "where", "mark")
    return Source(**texts, address=_optional(row, "address"), file=file, line=row.line)


def _hazard(row: Node, file: str) -> Hazard:
    texts = _texts(row, "id", "signal", "title", "what", "avoid", "basis")
    return Hazard(**texts, source=_optional(row, "source"), file=file, line=row.line)


def _term(row: Node, file: str) -> Term:
    return Term(**_texts(row, "id", "term", "meaning"), say_not=_list(row, "say_not"), search=_list(row, "search"),
                file=file, line=row.line)


def _equipment(row: Node, file: str) -> Equipment:
    nut = row.value.get("adjusting_nut")
    return Equipment(**_texts(row, "id", "name", "maker_note"), spring_count=row.value["spring_count"].value,
                     adjusting_nut=nut.plain() if nut else None, figures=row.value["figures"].plain(),
                     file=file, line=row.line)


def _equipment_problems(root: Node, file: str, stem: str) -> list[Problem]:
    subject = _subject(root, "equipment")
    found = check_shape(root, rows.EQUIPMENT_SHAPE, file=file, subject=subject)
    if found:
        return found
    if root.value["id"].written != stem:
        found.append(Problem(file, root.value["id"].line, f"{subject} stands in a file named '{stem}.yml'",
                             "records find a leveler class by its id", "give the file and the id the same name"))
    nut = root.value.get("adjusting_nut")
    if nut is not None and nut.value is not None:
        found += check_shape(nut, rows.NUT_SHAPE, file=file, subject=f"{subject}, adjusting_nut")
    for name, figure in root.value["figures"].value.items():
        found += check_shape(figure, rows.EQUIPMENT_FIGURE_SHAPE, file=file, subject=f"{subject}, figure '{name}'")
    return found


def _check_hazard_source(hazard: Hazard, sources: dict[str, Source]) -> list[Problem]:
    if hazard.source is None or hazard.source in sources:
        return []
    near = closest(hazard.source, sources)
    fix = f"write '{near}' (closest id), or add it to sources.yml" if near else "add it to sources.yml"
    return [Problem(hazard.file, hazard.line, f"hazard '{hazard.id}' names an unknown source '{hazard.source}'",
                    "content/registers/sources.yml has no such id", fix)]

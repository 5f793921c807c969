"""The company's registers as one object: figures, sources, hazards, terms, faults, examples, words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from build_tools.reading.lines import FIGURE_USE
from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers import rows, trade_tables
from build_tools.registers.customers import (
    CUSTOMER_SHAPE,
    CUSTOMERS,
    Customer,
    check_customer,
    check_doors,
    customer_from,
)
from build_tools.registers.emergency import Emergency, read_emergency
from build_tools.registers.fault_paths import FAULTS, PATH_SHAPE, FaultPath, check_path, path_from
from build_tools.registers.figure_checks import check_figure
from build_tools.registers.figures import FIGURE_SHAPE, Figure, check_numbers, figure_from
from build_tools.registers.plain_words import PlainWords, read_plain_words, read_spelling
from build_tools.registers.reader import RegisterReader
from build_tools.registers.rows import Equipment, Hazard, Source, Term
from build_tools.registers.sequences import Sequences, read_sequences
from build_tools.registers.trade_tables import Thread, Wire
from build_tools.registers.ways import WAY_SHAPE, WAYS, Way, check_figure_ways, check_ways, way_from


@dataclass(frozen=True)
class Registers:
    """Everything in content/registers, by id. Rows with mistakes are left out."""

    figures: dict[str, Figure] = field(default_factory=dict)
    hazards: dict[str, Hazard] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    terms: dict[str, Term] = field(default_factory=dict)
    equipment: dict[str, Equipment] = field(default_factory=dict)
    ways: dict[str, Way] = field(default_factory=dict)
    emergency: Emergency | None = None
    threads: dict[str, Thread] = field(default_factory=dict)
    wires: dict[str, Wire] = field(default_factory=dict)
    faults: dict[str, FaultPath] = field(default_factory=dict)
    visit: Sequences = field(default_factory=Sequences)
    customers: dict[str, Customer] = field(default_factory=dict)
    example_nodes: dict[str, Node] = field(default_factory=dict)
    """Worked examples as written, by calculator, with their lines."""
    words: dict[str, str] = field(default_factory=dict)
    language: str = "en"
    plain_words: PlainWords = field(default_factory=PlainWords)
    spelling: frozenset[str] = frozenset()
    left_out: frozenset[str] = frozenset()
    """Ids of the rows left out."""
    all_readable: bool = True
    """False where a whole register could not be read, so that no id may be called unknown."""

    @property
    def examples(self) -> dict[str, Any]:
        """Inputs of worked examples by calculator, as in examples.yml but with each figure's number."""
        return {name: self.filled(node.plain()) for name, node in self.example_nodes.items()}

    def general(self, name: str) -> Figure | None:
        """Return the book's figure that a leveler has its own of: "lip-lift-force" for "lip_lift_force"."""
        return self.figures.get(name.replace("_", "-"))

    def filled(self, value: Any) -> Any:
        """Replace each text "{{ id }}" or "{{ id.part }}" in plain data by the figure's number.

        Raises:
            KeyError: the figure or its part does not exist; check_book finds these first.
        """
        if isinstance(value, dict):
            return {key: self.filled(item) for key, item in value.items()}
        if isinstance(value, list):
            return [self.filled(item) for item in value]
        use = FIGURE_USE.fullmatch(value) if isinstance(value, str) else None
        return self.figures[use["id"]].part(use["part"] or "value") if use else value


def load_registers(folder: Path, language: str = "en") -> tuple[Registers, list[Problem]]:
    """Read content/registers; return it with its problems.

    A missing register file counts as empty; the words must be there.
    """
    reader = RegisterReader(folder)
    sources = reader.rows("sources.yml", "source", rows.SOURCE_SHAPE, rows.source_from)
    figures = reader.rows("figures.yml", "figure", FIGURE_SHAPE, figure_from, check_numbers)
    hazards = reader.rows("hazards.yml", "hazard", rows.HAZARD_SHAPE, rows.hazard_from)
    known_sources = {*sources, *reader.left_out}
    for figure in figures.values():
        reader.problems += check_figure(figure, known_sources)
    words = reader.words(language)
    figures = {id_: _in_language(figure, words) for id_, figure in figures.items()}
    for hazard in hazards.values():
        reader.problems += _check_source(hazard, known_sources)
    threads, wires = _trade_tables(reader)
    reader.problems += trade_tables.check_sources(threads.values(), wires.values(), known_sources)
    ways, equipment = reader.rows(WAYS, "way", WAY_SHAPE, way_from), _equipment(reader)
    reader.problems += check_ways(equipment.values(), ways) + check_figure_ways(figures.values(), ways)
    customers = reader.rows(CUSTOMERS, "customer", CUSTOMER_SHAPE, customer_from, check_customer)
    reader.problems += check_doors(customers.values(), equipment)
    registers = Registers(
        figures=figures,
        hazards=hazards,
        sources=sources,
        terms=reader.rows("terms.yml", "term", rows.TERM_SHAPE, rows.term_from),
        equipment=equipment,
        ways=ways,
        emergency=read_emergency(reader),
        threads=threads,
        wires=wires,
        faults=reader.rows(FAULTS, "path", PATH_SHAPE, path_from, check_path),
        visit=read_sequences(reader),
        customers=customers,
        example_nodes=reader.mapping("examples.yml"),
        words=words,
        language=language,
        plain_words=read_plain_words(reader),
        spelling=read_spelling(reader),
        left_out=frozenset(reader.left_out),
        all_readable=reader.all_readable,
    )
    return registers, sorted(reader.problems)


def _in_language(figure: Figure, words: Mapping[str, str]) -> Figure:
    """Return a figure that reads as the book's language has it; its check was of the register's own form."""
    between = words.get("book.range", figure.between)
    return replace(figure, between=between, decimal_mark=words.get("decimal-mark", figure.decimal_mark))


def _equipment(reader: RegisterReader) -> dict[str, Equipment]:
    """Read equipment/*.yml, one leveler class a file, the file named by the id."""
    found = {}
    for path in sorted((reader.folder / "equipment").glob("*.yml")):
        name = f"equipment/{path.name}"
        root = reader.read(name)
        if root is None:
            continue
        problems = rows.check_equipment(root, reader.file(name), path.stem)
        reader.problems += problems
        if not problems:
            found[path.stem] = rows.equipment_from(root, reader.file(name))
    return found


def _trade_tables(reader: RegisterReader) -> tuple[dict[str, Thread], dict[str, Wire]]:
    """Read threads.yml and wires.yml."""
    made = trade_tables
    return (
        reader.rows("threads.yml", "thread", made.THREAD_SHAPE, made.thread_from, made.check_thread),
        reader.rows("wires.yml", "wire", made.WIRE_SHAPE, made.wire_from, made.check_wire),
    )


def _check_source(hazard: Hazard, sources: set[str]) -> list[Problem]:
    if hazard.source is None or hazard.source in sources:
        return []
    what = f"hazard '{hazard.id}' names an unknown source '{hazard.source}'"
    fix = suggestion(hazard.source, sources, otherwise="add it to sources.yml")
    return [Problem(hazard.file, hazard.line, what, "content/registers/sources.yml has no such id", fix)]

"""What blocks show of the registers' figures, as sentences: a changed figure is told wherever it shows.

A pocket card shows its figures and every leveler class; a calculator's sheet fills in or offers figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from build_tools.reading.lines import FIGURE_USE, Block, listed
from build_tools.registers.figures import with_unit
from build_tools.registers.registers import Registers
from calculators.answering import NAMES, module
from calculators.shared.decimal_text import marked
from calculators.shared.fields import Field
from calculators.shared.words import DECIMAL_MARK

CARD, CALCULATOR = "pocket-card", "calculator"


def figure_lines(block: Block, registers: Registers) -> list[str]:
    """Return a sentence for each figure that a block shows: "Timed runs: 3 runs."; [] for other blocks."""
    if block.name == CARD:
        return [*_told(listed(block.argument), registers), *_classes(registers)]
    if block.name == CALCULATOR and block.argument in NAMES:
        offered = [field.figure for field in _all(module(block.argument).INPUTS) if field.figure]
        return [*dict.fromkeys(_told([*offered, *_in_rows(block.argument, registers)], registers))]
    return []


def _told(uses: Sequence[str], registers: Registers) -> list[str]:
    """Return the sentence of each figure, named by its id or by "id.part"; unknown ones are left out."""
    known = [registers.figures.get(use.partition(".")[0]) for use in uses]
    return [f"{figure.label}: {figure.text()}." for figure in known if figure]


def _in_rows(calculator: str, registers: Registers) -> list[str]:
    """Return the figures in the rows that a sheet offers."""
    node = registers.example_nodes.get(calculator)
    offers = node.value.get("offers") if node is not None and isinstance(node.value, dict) else None
    rows = [row for rows in offers.plain().values() for row in rows] if offers is not None else []
    used = [FIGURE_USE.fullmatch(str(value)) for row in rows for value in row.values()]
    return [use["id"] for use in used if use]


def _classes(registers: Registers) -> Iterator[str]:
    fields = {field.name: (name, field) for name in NAMES for field in module(name).INPUTS}
    mark = registers.words.get(DECIMAL_MARK, ".")
    for row in registers.equipment.values():
        for name, figure in row.figures.items():
            general = registers.general(name)
            if general is not None:
                yield f"{row.name}, {general.label}: {marked(str(figure['value']), mark)}."
            elif name in fields:
                calculator, field = fields[name]
                label = registers.words.get(f"{calculator}.{name}.label", field.label)
                yield f"{row.name}, {label}: {with_unit(marked(str(figure['value']), mark), field.unit)}."


def _all(fields: Sequence[Field]) -> Iterator[Field]:
    for field in fields:
        yield field
        yield from _all(field.fields)

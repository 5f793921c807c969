"""A leveler's own value of one of the book's figures, shown beside the general one."""

from __future__ import annotations

from build_tools.registers.figures import Figure, with_unit
from build_tools.registers.rows import EquipmentFigure
from build_tools.shown.units import TABLE, from_wire
from calculators.shared.decimal_text import fixed, marked, plain


def own_text(general: Figure, own: EquipmentFigure) -> str:
    """Return a leveler's own figure with the book's unit, and in the other system's: "120 N (27 lbf)"."""
    unit = general.unit.partition(" (")[0]
    text = with_unit(plain(own["value"], 6), unit)
    other = TABLE["told"].get(unit)
    if other:
        text += f" ({fixed(from_wire(own['value'], other), 0)} {other})"
    return marked(text, general.decimal_mark)

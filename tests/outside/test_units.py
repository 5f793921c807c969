"""The table of units against pint, whose own table of units was written by others."""

from __future__ import annotations

import pint
import pytest

from build_tools.shown.units import UNITS, from_wire
from tests.to_wire import to_wire

PINT = pint.UnitRegistry()
CALLED = {
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "in": "inch",
    "ft": "foot",
    "kg": "kilogram",
    "lb": "pound",
    "N": "newton",
    "lbf": "force_pound",
    "N/m": "newton / meter",
    "N/mm": "newton / millimeter",
    "lbf/in": "force_pound / inch",
    "N·m": "newton * meter",
    "lbf·ft": "force_pound * foot",
    "Pa": "pascal",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "ksi": "1000 * psi",
    "Mpsi": "1e6 * psi",
}
"""Each unit of the table by the name that pint knows."""


def test_every_unit_is_compared() -> None:
    """A unit added to the table is one that pint is asked about."""
    assert set(CALLED) == set(UNITS)


@pytest.mark.parametrize("unit", UNITS)
def test_factors_agree_with_pint(unit: str) -> None:
    """So many of the wire's own unit are in one of ours, to the last digits of a double."""
    wire = CALLED[UNITS[unit].of]
    factor = PINT(CALLED[unit]).to(wire).magnitude
    assert UNITS[unit].times / UNITS[unit].over == pytest.approx(factor, rel=4e-16, abs=0)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("value", [0.0002, 1.0, 12.5, 98765.4321])
def test_conversions_agree_with_pint(unit: str, value: float) -> None:
    """A number converted by us is what pint makes of it: 12 digits to the wire, 15 from it."""
    wire = CALLED[UNITS[unit].of]
    there = (value * PINT(CALLED[unit])).to(wire).magnitude
    back = (value * PINT(wire)).to(PINT(CALLED[unit]).units).magnitude / PINT(CALLED[unit]).magnitude
    assert to_wire(value, unit) == pytest.approx(there, rel=5e-12, abs=0)
    assert from_wire(value, unit) == pytest.approx(back, rel=5e-15, abs=0)

"""What the browser's units.js makes of a typed number before it asks a calculator, worked out in Python."""

from __future__ import annotations

from build_tools.shown.units import UNITS

WIRE_DIGITS = 12
"""Significant digits of a number converted to the wire: fewer than of one from it, so that it comes back."""


def to_wire(value: float, unit: str) -> float:
    """Convert a number in `unit` to the wire's own unit."""
    known = UNITS[unit]
    return float(f"{value * known.times / known.over:.{WIRE_DIGITS}g}")

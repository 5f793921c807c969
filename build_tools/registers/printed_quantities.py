"""Quantities as a source prints them, "7 mm" or "11.85 Mpsi", converted to SI by exact definitions alone.

Source of the definitions: NIST SP 811 (2008), appendix B: the inch and the pound of 1959, and the standard
acceleration of gravity (CGPM 1901). From memory.
"""

from __future__ import annotations

from typing import Any

INCH = 0.0254
"""m"""
POUND = 0.45359237
"""kg"""
GRAVITY = 9.80665
"""m/s^2"""
POUND_FORCE = POUND * GRAVITY
"""N"""
FACTORS = {
    "1": 1.0,
    "s": 1.0,
    "deg": 1.0,
    "%": 1.0,
    "m": 1.0,
    "mm": 1e-3,
    "in": INCH,
    "ft": 12 * INCH,
    "kg": 1.0,
    "lb": POUND,
    "N": 1.0,
    "lbf": POUND_FORCE,
    "N/m": 1.0,
    "N/mm": 1e3,
    "lbf/in": POUND_FORCE / INCH,
    "N/mm2": 1e6,
    "GPa": 1e9,
    "psi": POUND_FORCE / INCH**2,
    "Mpsi": 1e6 * POUND_FORCE / INCH**2,
    "N.m": 1.0,
    "lbf.ft": POUND_FORCE * 12 * INCH,
    "lbf.in": POUND_FORCE * INCH,
    "kg weight at 0.3 m": GRAVITY * 0.3,
}


def in_si(value: Any) -> Any:
    """Convert "7 mm" into 0.007, also within lists and mappings; what is no text stays as it is.

    Raises:
        KeyError: a text has a unit that is not one of FACTORS.
        ValueError: a text does not begin with a number.
    """
    if isinstance(value, dict):
        return {key: in_si(item) for key, item in value.items()}
    if isinstance(value, list):
        return [in_si(item) for item in value]
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        return float(number) * FACTORS[unit]
    return value

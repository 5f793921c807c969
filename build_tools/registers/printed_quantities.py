"""Quantities as a source prints them, "7 mm" or "11.85 Mpsi", turned into SI from exact definitions alone."""

from __future__ import annotations

from typing import Any

INCH = 0.0254
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY
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
    """Turn "7 mm" into 0.007, all through lists and mappings; what has no unit stays as it is."""
    if isinstance(value, dict):
        return {key: in_si(item) for key, item in value.items()}
    if isinstance(value, list):
        return [in_si(item) for item in value]
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        return float(number) * FACTORS[unit]
    return value

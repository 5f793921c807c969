"""Units that a reader may choose: the wire has SI, form and answer show the units of tapes and scales.

Every factor is written once, in units.json, as a fraction of whole numbers; the browser's units.js reads the
same table. The factors are exact: inch, foot, pound and standard gravity are defined in SI units.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Any

from build_tools.places import TOOLS
from calculators.shared.decimal_text import plain

TABLE: dict[str, Any] = json.loads((TOOLS / "shown" / "units.json").read_text(encoding="utf-8"))
SYSTEMS: tuple[str, ...] = tuple(TABLE["systems"])
"""The unit systems that a reader chooses between; the first is shown until somebody chooses."""
DIGITS = 15
"""Significant digits of a number converted from the wire."""
END_DIGITS = 4
"""Significant digits of the ends of a range, where the converted end has more."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: one of it is `times` / `over` of the wire's unit `of`."""

    of: str
    times: int
    over: int


UNITS: dict[str, Unit] = {name: Unit(**parts) for name, parts in TABLE["units"].items()}


def shown_units(unit: str, name: str) -> tuple[str, ...]:
    """Return a quantity's unit in each unit system, in the order of SYSTEMS; empty where all show it alike.

    Args:
        unit: its unit on the wire, such as "m".
        name: its name on the wire; a wire's diameter and a platform's length are both in m, but shown unlike.
    """
    if unit not in TABLE["shown"]:
        return ()
    return tuple(TABLE["shown_by_name"].get(name, TABLE["shown"][unit]))


def from_wire(value: float, unit: str) -> float:
    """Return a number on the wire converted to `unit`. Raises KeyError for an unknown unit."""
    known = UNITS[unit]
    return _rounded(value * known.over / known.times, DIGITS)


def range_in(low: float | None, high: float | None, unit: str) -> tuple[float | None, float | None]:
    """Return the ends of a range in `unit`, rounded inward: every number shown as allowed is allowed."""
    return (
        None if low is None else _inward(low, unit, math.ceil),
        None if high is None else _inward(high, unit, math.floor),
    )


def _inward(end: float, unit: str, toward: Any) -> float:
    exact = from_wire(end, unit)
    if exact == 0 or float(f"{exact:.{END_DIGITS - 1}e}") == exact:
        return exact
    scale = END_DIGITS - 1 - math.floor(math.log10(abs(exact)))
    return _rounded(toward(exact * 10**scale) / 10**scale, DIGITS)


def _rounded(value: float, digits: int) -> float:
    return float(plain(value, digits))

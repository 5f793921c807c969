"""Units that a reader may choose: SI travels on the wire, form and answer show what the hand measures in.

Every factor stands once, in units.json, as a fraction of whole numbers; the browser's units.js works by the
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
"""What a reader chooses between; the first is shown until somebody chooses."""
DIGITS = 15
"""Significant digits of a number converted from the wire."""
END_DIGITS = 4
"""Significant digits of the ends of a range, where they do not come out even."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: so many of it are times / over of the wire's own unit `of`."""

    of: str
    times: int
    over: int


UNITS: dict[str, Unit] = {name: Unit(**parts) for name, parts in TABLE["units"].items()}


def shown_units(unit: str, name: str) -> tuple[str, ...]:
    """Name the units in which a quantity is shown, one a system; empty where it is the same in all.

    Args:
        unit: its unit on the wire, "m".
        name: its name on the wire, which tells a platform's length from a wire's diameter.
    """
    if unit not in TABLE["shown"]:
        return ()
    return tuple(TABLE["shown_by_name"].get(name, TABLE["shown"][unit]))


def from_wire(value: float, unit: str) -> float:
    """Convert a number in the wire's own unit to `unit`."""
    known = UNITS[unit]
    return _rounded(value * known.over / known.times, DIGITS)


def range_in(low: float | None, high: float | None, unit: str) -> tuple[float | None, float | None]:
    """Convert the ends of a range, rounded inward, so that whatever is told as allowed is allowed."""
    return (
        None if low is None else _inward(low, unit, math.ceil),
        None if high is None else _inward(high, unit, math.floor),
    )


def _inward(end: float, unit: str, step: Any) -> float:
    exact = from_wire(end, unit)
    if exact == 0 or float(f"{exact:.{END_DIGITS - 1}e}") == exact:
        return exact
    scale = END_DIGITS - 1 - math.floor(math.log10(abs(exact)))
    return _rounded(step(exact * 10**scale) / 10**scale, DIGITS)


def _rounded(value: float, digits: int) -> float:
    return float(plain(value, digits))

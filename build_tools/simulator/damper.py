"""What temperature does to a damper: thicker oil, slower folds; and how it warms while it works.

Source: Hryciow, Appl. Sci. 2022, 12(24), 12765 (abstract): about 2.5 times the force at -30 degrees C of that
at 20, in a car's damper. The direction carries over to a leveler, the figure does not; the exponential
between the two is our own.
"""

from __future__ import annotations

import math

REFERENCE_C = 20.0
_PER_DEGREE = math.log(2.5) / 50


def thickness(temperature_c: float) -> float:
    """Return the damper's force beside that at 20 degrees C, 1."""
    return math.exp(-_PER_DEGREE * (temperature_c - REFERENCE_C))


def degrees_for(quicker: float) -> float:
    """Return by how many degrees a damper has to warm for folds to get quicker by that share."""
    return math.log(1 + quicker) / _PER_DEGREE


def warmed(temperature_c: float, runs: int, *, by_c: float, settles_after: float) -> float:
    """Return the temperature after some runs: it nears by_c more, most of it within settles_after."""
    return temperature_c + by_c * (1 - math.exp(-runs / settles_after))

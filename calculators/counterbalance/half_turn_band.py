"""Which settings of the springs, in whole half turns, let a platform rise and let a person walk it down.

At each angle, one more half turn makes the springs pull harder, or changes nothing while they are slack. So
the settings that are right at one angle lie on one side of a limit, and those that are right at every angle
lie between two limits.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from calculators.shared.fields import rounded
from calculators.shared.leveler_moments import Leveler, Position

LEAST_MOMENT = 1e-9
"""Net moments below this, N m, count as 0: far less than any friction, but more than rounding."""
LEAST_ARM = 1e-17
"""With a shorter arm, m, not even the strongest spring has a moment of LEAST_MOMENT."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Settings in whole half turns from low to high, both included; empty where low is above high."""

    low: int
    high: int

    @property
    def is_empty(self) -> bool:
        """Whether there is no such setting."""
        return self.low > self.high

    def within(self, other: Band) -> Band:
        """Return the settings that are in both."""
        return Band(low=max(self.low, other.low), high=min(self.high, other.high))


def rising_band(leveler: Leveler, travel: Iterable[Position], search: Band) -> Band:
    """Return the settings within `search` at which the springs lift at every angle, with the lip stored."""

    def lift_needed(position: Position) -> float:
        return LEAST_MOMENT + leveler.friction - position.gravity_rising

    return _band(leveler, travel, search, lift_needed, at_least=True)


def walking_band(leveler: Leveler, travel: Iterable[Position], search: Band, limit_n: float) -> Band:
    """Return the settings within `search` at which a force of limit_n, N, walks it down at every angle."""

    def lift_allowed(position: Position) -> float:
        return LEAST_MOMENT + limit_n * position.foot_arm - position.gravity_walking - leveler.friction

    return _band(leveler, travel, search, lift_allowed, at_least=False)


def _band(
    leveler: Leveler,
    travel: Iterable[Position],
    search: Band,
    lift: Callable[[Position], float],
    *,
    at_least: bool,
) -> Band:
    """Return the settings whose spring moment is above (or at most) `lift`, N m, at every angle."""
    above, at_most = [search.low - 1.0], [float(search.high)]
    for position in travel:
        limit = lift(position)
        if abs(position.arm) < LEAST_ARM or limit / position.arm < 0:
            # The springs cannot change this: without an arm, or with any pull the moment is on the same side.
            if (limit < 0) != at_least:
                return Band(low=1, high=0)
            continue
        bounds = above if at_least == (position.arm > 0) else at_most
        bounds.append(_most_half_turns(leveler, position, limit / position.arm))
    return Band(low=math.floor(rounded(max(above))) + 1, high=math.floor(rounded(min(at_most))))


def _most_half_turns(leveler: Leveler, position: Position, force: float) -> float:
    """Return the tightest setting at which one spring pulls no more than a force, N, of 0 or more."""
    spring = leveler.spring
    short_of = spring.extension_for(force) - spring.extension(position.spring_length, 0)
    return short_of / spring.half_turn_m

"""The person who watches a cycle and says a word each of rise, lip and walk-down, now and then the next one.

A habit shifts where this person draws the line between two words, all visit long; by a slip the word beside
it is said once. How often people slip is not known: the conditions state it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from build_tools.simulator.platforms import Platform

RISES = ("short", "full-gentle", "full-slams")
WALK_DOWNS = ("easy", "firm", "cannot")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One cycle in a person's words."""

    rise: str
    lip_extended: bool
    walk_down: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Observer:
    """One person: the chance that a word is the neighboring one, and the habits, in half turns.

    A habit above 0 calls a rise stronger, or a walk-down harder, than another person would.
    """

    slip: float
    rise_habit: float
    walk_habit: float

    def words(self, platform: Platform, strength: float, chance: np.random.Generator) -> Seen:
        """Return what this person says of a cycle with the mainspring as strong as at that setting."""
        rise = _place(strength + self.rise_habit, (platform.full_from, platform.slams_from))
        walk = _place(strength + self.walk_habit, (platform.firm_from, platform.too_hard_from))
        out = int(strength >= platform.lip_from)
        return Seen(
            rise=RISES[self._said(rise, len(RISES), chance)],
            lip_extended=bool(self._said(out, 2, chance)),
            walk_down=WALK_DOWNS[self._said(walk, len(WALK_DOWNS), chance)],
        )

    def _said(self, true: int, words: int, chance: np.random.Generator) -> int:
        """Return the word said: the true one, or by a slip one beside it."""
        if chance.random() >= self.slip:
            return true
        beside = [word for word in (true - 1, true + 1) if 0 <= word < words]
        return beside[int(chance.integers(len(beside)))]


def drawn_observer(slip: float, habit: float, chance: np.random.Generator) -> Observer:
    """Draw a person whose habits lie evenly within `habit` half turns."""
    rise, walk = (float(each) for each in chance.uniform(-habit, habit, 2))
    return Observer(slip=slip, rise_habit=rise, walk_habit=walk)


def _place(strength: float, limits: Sequence[float]) -> int:
    return sum(strength >= limit for limit in limits)

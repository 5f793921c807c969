"""Draw the leveler of one mainspring visit: from which half turn on it does what, and what may be wrong.

A platform rises fully, brings its lip out, gets firm to walk down, gets too hard, and slams, each from a
place of its own on the scale of half turns. The band is where all is well.

Source: own reasoning; that a tighter mainspring lifts more and is harder to walk down is common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

FARTHEST_OFF = 6
WIDEST = 4
"""Most half turns in a band."""
APART = 2.0
"""How far apart the two limits on one side of a band may lie, half turns."""
LIP_AFTER = 1.5
"""The lip of a sound platform comes out at most so many half turns after it rises fully."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Platform:
    """From which setting on a platform does what, and the adjustment left; half turns from as found."""

    full_from: float
    lip_from: float
    firm_from: float
    too_hard_from: float
    slams_from: float
    half_turns_min: int
    half_turns_max: int

    def is_good(self, setting: float) -> bool:
        """True where it rises fully and gently, brings its lip out and can be walked down."""
        return max(self.full_from, self.lip_from) <= setting < self.too_high_from

    @property
    def too_high_from(self) -> float:
        """From here on the mainspring is too strong."""
        return min(self.slams_from, self.too_hard_from)

    @property
    def band(self) -> list[int]:
        """The good settings that are left, in order."""
        return [n for n in range(self.half_turns_min, self.half_turns_max + 1) if self.is_good(n)]


def drawn_platform(chance: np.random.Generator) -> Platform:
    """Draw a sound platform: its band 1 to 4 half turns wide and at most 6 off."""
    width = int(chance.integers(1, WIDEST + 1))
    off = int(chance.integers(-FARTHEST_OFF, FARTHEST_OFF + 1))
    lowest = {1: off, -1: off - width + 1}.get(int(np.sign(off)), -int(chance.integers(0, width)))
    low, high = lowest - float(chance.random()), lowest + width - 1 + float(chance.uniform(0.001, 1))
    lip_last, slams_first = chance.random(2) < 0.5
    too_hard = high + (float(chance.uniform(0, APART)) if slams_first else 0.0)
    return Platform(
        full_from=low - (float(chance.uniform(0, LIP_AFTER)) if lip_last else 0.0),
        lip_from=low - (0.0 if lip_last else float(chance.uniform(0, APART))),
        firm_from=float(chance.uniform(low, too_hard)),
        too_hard_from=too_hard,
        slams_from=high + (0.0 if slams_first else float(chance.uniform(0, APART))),
        half_turns_min=min(0, lowest) - int(chance.integers(1, 5)),
        half_turns_max=max(0, lowest + width - 1) + int(chance.integers(1, 5)),
    )

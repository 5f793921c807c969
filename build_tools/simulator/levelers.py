"""Draw the leveler of one visit: a lip with real points, so many half turns off, with adjustment left."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from build_tools.simulator.lip import Lip

WINDOW = (18.0, 20.0)
"""The window of these visits, s: common practice, no source."""
INSIDE = 0.1
"""At least one setting left lies this far inside the window, s."""
FARTHEST_OFF = 8
RATES = (0.03, 0.09)
"""By which share half a turn changes the fold time, at the window."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leveler:
    """A lip as found, the adjustment left, and by which half turns its window is reached."""

    lip: Lip
    half_turns_min: int
    half_turns_max: int
    times: dict[int, float]
    """The true fold time at every setting left, s, with a warm damper."""

    def least_turns(self) -> int:
        """Return the fewest half turns to a setting inside the window."""
        return min(abs(n) for n, time in self.times.items() if WINDOW[0] <= time <= WINDOW[1])


def drawn_leveler(chance: np.random.Generator) -> Leveler:
    """Draw levelers until one is adjustable: no hanging lip and no slack spring on the way."""
    while True:
        found = _try(chance)
        if found is not None:
            return found


def _try(chance: np.random.Generator) -> Leveler | None:
    off = int(chance.integers(-FARTHEST_OFF, FARTHEST_OFF + 1))
    lip = _lip_at_the_window(chance)
    if lip is None:
        return None
    lip = replace(lip, step=float(chance.uniform(*RATES)) / lip.rate_for_one_newton(0))
    aim = float(chance.uniform(WINDOW[0] + INSIDE, WINDOW[1] - INSIDE))
    lip = replace(lip, pull=lip.pull - off * lip.step, damping=aim / lip.fold_time(0))
    spare = (int(chance.integers(1, 5)), int(chance.integers(1, 5)))
    low, high = min(0, off) - spare[0], max(0, off) + spare[1]
    times = {n: lip.fold_time(n) for n in range(low, high + 1)}
    slack = lip.pull_over_arc(low).min() < 0
    way = range(min(0, off), max(0, off) + 2)
    if slack or any(math.isinf(times[n]) or times[n] > 60 for n in way if n in times):
        return None
    return Leveler(lip=lip, half_turns_min=low, half_turns_max=high, times=times)


def _lip_at_the_window(chance: np.random.Generator) -> Lip | None:
    """Draw a lip at the setting that shall be in the window; its damping and step are set afterwards."""
    weight = float(chance.uniform(90, 160))
    end = math.radians(float(chance.uniform(8, 22)))
    lip = Lip(
        weight_moment=weight,
        end_angle=end,
        spring_anchor=(float(chance.uniform(-0.15, 0.02)), float(chance.uniform(-0.6, -0.36))),
        spring_lever=float(chance.uniform(0.045, 0.115)),
        stiffness=float(chance.uniform(1500, 5000)),
        pull=float(chance.uniform(40, 500)),
        step=0.0,
        damper_anchor=(float(chance.uniform(-0.38, -0.22)), float(chance.uniform(-0.5, -0.2))),
        damper_lever=float(chance.uniform(0.08, 0.14)),
        damping=1.0,
        friction_moment=weight * math.sin(end) * float(chance.uniform(0, 0.1)),
        friction_radius=float(chance.uniform(0, 0.002)),
    )
    left = lip.net_moment(0) / weight
    return lip if left.min() > 0.03 else None

"""The person who times: each way of starting and stopping is off by a habit of its own and scatters.

A reading is the lip's time, plus what the clock starts too early or stops too late. A habit is the same for
every run of a visit; scatter is drawn anew for each.

Source: the scatter and delay of one press, Am. J. Phys. 87(2), 110 (2019); that a lifter who also presses
starts 0.3 to 0.8 s late is our own assumption; what letting go at a tone does is taken to be like a press.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True)
class Way:
    """One way of starting or stopping: its usual habit, how far people's habits lie from it, its scatter, s.

    A habit above 0 makes readings long. Habits are drawn evenly within `apart` of the usual one; `registered`
    is the standard uncertainty that a company states of it.
    """

    habit: float
    apart: float
    scatter: float
    registered: float


STARTS = {
    "countdown": Way(0.11, 0.06, 0.07, 0.05),
    "helper": Way(0.0, 0.12, 0.10, 0.08),
    "by-hand": Way(-0.55, 0.25, 0.12, 0.15),
}
STOPS = {"sharp": Way(0.11, 0.04, 0.07, 0.03), "no-longer-moves": Way(0.30, 0.20, 0.20, 0.12)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """One person on one visit: the ways used and the habit of both together, s."""

    started: str
    stopped: str
    habit: float

    def reading(self, fold_time_s: float, chance: np.random.Generator) -> float:
        """Return what the stopwatch shows for a fold of that many seconds, in hundredths."""
        scatter = math.hypot(STARTS[self.started].scatter, STOPS[self.stopped].scatter)
        return round(max(0.2, fold_time_s + self.habit + scatter * chance.standard_normal()), 2)


def drawn_hands(
    started: str, stopped: str, chance: np.random.Generator, *, habit_off: float | None = None
) -> Hands:
    """Draw a person; habit_off fixes how far from the usual habit this one is, s."""
    start, stop = STARTS[started], STOPS[stopped]
    apart = start.apart + stop.apart
    off = float(chance.uniform(-apart, apart)) if habit_off is None else habit_off
    return Hands(started=started, stopped=stopped, habit=start.habit + stop.habit + off)

"""One mainspring visit: cycles watched and half turns made as the mainspring plan says, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from build_tools.simulator.asking import mainspring_advice
from build_tools.simulator.observer import Observer, Seen, drawn_observer
from build_tools.simulator.platforms import Platform, drawn_platform

CYCLES = 2
"""Cycles at a new setting before anyone asks, as the book has it."""
MOST_CYCLES = 95
SPRINGS = 2
UNSTEADY_BY = 3.0
"""How far an unsteady spring may act from its setting, half turns, anew each cycle."""
NEVER = 1e9


@dataclass(frozen=True, slots=True, kw_only=True)
class Watching:
    """One row of the table of mainspring visits. Chances as 1, habit in half turns."""

    slip: float = 0.0
    """The chance that one word about one cycle is the neighboring one."""
    habit: float = 0.0
    """How far at most a person's line between two words lies from another's."""
    fault: str = ""
    """lip-stays-in, binds, dead (half turns do nothing), unsteady (no cycle like the last) or wrong-way."""
    share: float = 1.0
    """How many visits this row gets, beside those asked for."""


WATCHED = {
    **{
        f"watched-{percent}{'-habit' if habit else ''}": Watching(slip=percent / 100, habit=habit)
        for percent in (0, 5, 10, 20)
        for habit in (0.0, 0.5)
    },
    **{
        f"watched-{fault}-{percent}": Watching(slip=percent / 100, fault=fault, share=0.25)
        for fault in ("lip-stays-in", "binds", "dead", "unsteady", "wrong-way")
        for percent in (5, 10, 20)
    },
}


@dataclass(slots=True, kw_only=True)
class CycleVisit:
    """A mainspring visit under way."""

    platform: Platform
    """As drawn; the fault comes on top of it."""
    observer: Observer
    fault: str
    chance: np.random.Generator
    setting: int = 0
    path: list[int] = field(default_factory=lambda: [0])
    """Every setting that the nuts stood at, in order."""
    seen: list[tuple[int, Seen]] = field(default_factory=list)
    ended: str = ""
    """"left", or the name of the stop."""

    @property
    def true_setting(self) -> int:
        """Where the mainspring acts as if its nuts stood there."""
        return {"dead": 0, "wrong-way": -self.setting}.get(self.fault, self.setting)

    @property
    def acts_as(self) -> Platform:
        """The platform with its fault."""
        if self.fault == "lip-stays-in":
            return replace(self.platform, lip_from=NEVER)
        if self.fault == "binds":
            return replace(
                self.platform, full_from=NEVER, slams_from=NEVER, firm_from=-NEVER, too_hard_from=-NEVER
            )
        return self.platform

    def watch_a_cycle(self) -> None:
        """Run the leveler once and write down what was seen."""
        strength = float(self.true_setting)
        if self.fault == "unsteady":
            strength += float(self.chance.uniform(-UNSTEADY_BY, UNSTEADY_BY))
        self.seen.append((self.setting, self.observer.words(self.acts_as, strength, self.chance)))

    def turn(self, way: int) -> None:
        """Turn every nut half a turn; +1 tightens."""
        self.setting += way
        self.path.append(self.setting)


def followed_cycles(watching: Watching, seed: int, number: int) -> CycleVisit:
    """Return visit `number` of a seeded series, carried through to its end."""
    chance = np.random.default_rng([seed, number])
    visit = CycleVisit(
        platform=drawn_platform(chance),
        observer=drawn_observer(watching.slip, watching.habit, chance),
        fault=watching.fault,
        chance=chance,
    )
    while not visit.ended:
        here = sum(setting == visit.setting for setting, _ in visit.seen)
        for _ in range(max(1, CYCLES - here)):
            visit.watch_a_cycle()
        told = mainspring_advice(visit.platform, visit.seen, springs=SPRINGS)
        if told.stop or told.leave:
            visit.ended = told.stop or "left"
        elif told.do_now:
            visit.turn(told.do_now)
        elif len(visit.seen) > MOST_CYCLES:
            visit.ended = "endless"
    return visit

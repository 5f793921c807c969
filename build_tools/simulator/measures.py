"""What a series of visits shows: one outcome a visit, and the shares that the table gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from build_tools.simulator.asking import registered_habit
from build_tools.simulator.levelers import WINDOW
from build_tools.simulator.visit import Visit

LOOKED_AT = (3, 6, 12)
"""Runs of a visit after which caught faults are counted."""
SOON = 3
"""Half turns away from as found by which a dead spring should be caught."""
AHEAD = (1, 3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How one visit ended. Times in s."""

    ended: str
    outside: float
    """How far the true fold time lies outside the window; 0 inside."""
    runs: int
    turns: int
    turns_away: int
    above_least: int
    runs_a_setting: tuple[int, ...]
    covered: tuple[tuple[int, bool], ...]
    """For each prediction looked at: how far ahead, and whether a new timing lay in it."""

    @property
    def closed(self) -> bool:
        """True where the visit was closed as in order."""
        return self.ended == "left"


def outcome(visit: Visit) -> Outcome:
    """Sum one visit up."""
    time = visit.true_time()
    return Outcome(
        ended=visit.ended,
        outside=max(0.0, WINDOW[0] - time, time - WINDOW[1]),
        runs=visit.folds,
        turns=visit.turns,
        turns_away=visit.turns_away,
        above_least=max(0, visit.turns - visit.leveler.least_turns()),
        runs_a_setting=tuple(Counter(run.half_turns for run in visit.runs).values()),
        covered=tuple(_covered(visit)),
    )


def _covered(visit: Visit) -> Iterable[tuple[int, bool]]:
    """Hold the latest predictions against one new timing each, by the same person."""
    if visit.foretold is None:
        return
    loosest, tightest, foretold = visit.foretold
    for ahead in AHEAD:
        for setting in (loosest - ahead, tightest + ahead):
            time = visit.true_time(setting if not visit.condition.wrong_way else -setting)
            if setting in foretold and time < 600:
                scattered = time * (1 + visit.condition.repeatability * float(visit.chance.standard_normal()))
                new = visit.hands.reading(scattered, visit.chance) - registered_habit(visit)
                low, high = foretold[setting]
                yield ahead, low <= new and (high is None or new <= high)


@dataclass(frozen=True, slots=True)
class Row:
    """The outcomes of one condition, and what the table says of them."""

    name: str
    sound: bool
    outcomes: Sequence[Outcome]

    @property
    def good(self) -> float:
        """Visits closed inside the window or within 0.2 s of it, as a share of all."""
        return self._share(lambda each: each.closed and each.outside <= 0.2)

    def closed_beyond(self, seconds: float) -> float:
        """Return the share of closed visits that lie further outside than that."""
        closed = [each for each in self.outcomes if each.closed]
        return sum(each.outside > seconds for each in closed) / max(1, len(closed))

    def ended(self, *names: str) -> float:
        """Return the share of visits that ended so; without a name, at any stop."""
        return self._share(lambda each: each.ended in names if names else not each.closed)

    @property
    def ends(self) -> Counter[str]:
        """How many visits ended in each way."""
        return Counter(each.ended for each in self.outcomes)

    @property
    def turns_above_least(self) -> float:
        """Half turns above the fewest that lead inside, mean over the closed visits."""
        return _mean(each.above_least for each in self.outcomes if each.closed)

    @property
    def runs_a_setting(self) -> tuple[float, int]:
        """Mean and greatest number of runs at a setting."""
        counts = [count for each in self.outcomes for count in each.runs_a_setting]
        return _mean(counts), max(counts)

    def caught_by(self, runs: int) -> tuple[float, float]:
        """Return the share stopped by so many runs: of the visits that went on so long, and of all."""
        caught = sum(not each.closed and each.runs <= runs for each in self.outcomes)
        went_on = sum(each.runs > runs for each in self.outcomes)
        return caught / max(1, caught + went_on), caught / len(self.outcomes)

    @property
    def caught_soon(self) -> float:
        """Visits stopped before a fourth half turn away from as found, of those that turned at all."""
        turned = [each for each in self.outcomes if each.turns]
        return sum(not each.closed and each.turns_away <= SOON for each in turned) / max(1, len(turned))

    def coverage(self, ahead: int) -> float:
        """Return how often a new timing lay inside its prediction."""
        return _mean(hit for each in self.outcomes for how_far, hit in each.covered if how_far == ahead)

    def _share(self, holds: Callable[[Outcome], bool]) -> float:
        return sum(map(holds, self.outcomes)) / len(self.outcomes)


def _mean(numbers: Iterable[float]) -> float:
    kept = list(numbers)
    return sum(kept) / max(1, len(kept))

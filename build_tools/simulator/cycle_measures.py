"""What a series of mainspring visits shows: one outcome a visit, and the shares that the table gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from build_tools.simulator.cycling import CycleVisit


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleOutcome:
    """How one visit ended; turns in half turns."""

    ended: str
    off: int
    """How far the nuts as they were left stand from the band; 0 in it."""
    is_right: bool
    """True where it was left rising fully and gently, lip out, and can be walked down, cycle for cycle."""
    past: int
    """How far the nuts ever stood past the band's far side, seen from as found."""
    turns: int
    above_least: int
    cycles_a_setting: tuple[int, ...]

    @property
    def closed(self) -> bool:
        """True where the visit was closed as in order."""
        return self.ended == "left"


def cycle_outcome(visit: CycleVisit) -> CycleOutcome:
    """Sum one visit up."""
    low, high = visit.platform.band[0], visit.platform.band[-1]
    turns = len(visit.path) - 1
    return CycleOutcome(
        ended=visit.ended,
        off=max(0, visit.true_setting - high, low - visit.true_setting),
        is_right=visit.fault != "unsteady" and visit.acts_as.is_good(visit.true_setting),
        past=max(0, max(visit.path) - max(0, high), min(0, low) - min(visit.path)),
        turns=turns,
        above_least=max(0, turns - min(map(abs, visit.platform.band))),
        cycles_a_setting=tuple(Counter(setting for setting, _ in visit.seen).values()),
    )


@dataclass(frozen=True, slots=True)
class CycleRow:
    """The outcomes of one condition, and what the table says of them."""

    name: str
    outcomes: Sequence[CycleOutcome]

    def share(self, holds: Callable[[CycleOutcome], bool]) -> float:
        """Return the share of all visits for which that holds."""
        return sum(map(holds, self.outcomes)) / len(self.outcomes)

    @property
    def right(self) -> float:
        """Visits closed with the leveler as it should be."""
        return self.share(lambda each: each.closed and each.is_right)

    @property
    def closed_wrong(self) -> float:
        """Visits closed with the leveler as it should not be: the dangerous end."""
        return self.share(lambda each: each.closed and not each.is_right)

    @property
    def closed_far_off(self) -> float:
        """Visits closed two half turns or more from the band, or with a fault."""
        return self.share(lambda each: each.closed and not each.is_right and (each.off > 1 or not each.off))

    @property
    def stopped(self) -> float:
        """Visits stopped."""
        return self.share(lambda each: not each.closed)

    def went_past(self, half_turns: int) -> float:
        """Return the share of visits in which the nuts stood so far past the band, or further."""
        return self.share(lambda each: each.past >= half_turns)

    @property
    def ends(self) -> Counter[str]:
        """How many visits ended in each way."""
        return Counter(each.ended for each in self.outcomes)

    @property
    def turns_above_least(self) -> float:
        """Half turns above the fewest that lead into the band, mean over the closed visits."""
        return _mean(each.above_least for each in self.outcomes if each.closed)

    @property
    def turns(self) -> tuple[float, int]:
        """Mean and most half turns of a visit."""
        return _mean(each.turns for each in self.outcomes), max(each.turns for each in self.outcomes)

    @property
    def cycles_a_setting(self) -> tuple[float, int]:
        """Mean and greatest number of cycles at a setting."""
        counts = [count for each in self.outcomes for count in each.cycles_a_setting]
        return _mean(counts), max(counts)


def _mean(numbers: Iterable[float]) -> float:
    kept = list(numbers)
    return sum(kept) / max(1, len(kept))

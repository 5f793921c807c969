"""Scales and ticks of a picture: where a value stands, and which round values stand along an axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.shared.decimal_text import fixed, marked
from calculators.shared.fields import rounded


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: the values low and high stand at the places start and end of the picture."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return the place of a value; beyond the ends it is beyond the axis."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def held(self, value: float) -> float:
        """Return the place of a value, held at the end of the axis where it lies beyond."""
        return self.at(min(max(value, self.low), self.high))

    def holds(self, value: float) -> bool:
        """Whether a value lies on the axis."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Tick:
    """A round value on an axis, and how it is written there."""

    value: float
    text: str


def ticks(low: float, high: float, most: int, decimal_mark: str, *, least_step: float = 0.0) -> list[Tick]:
    """Return the multiples of 1, 2 or 5 times a power of ten from low to high, at most so many.

    Args:
        low: lower end of the axis, below high.
        high: upper end.
        most: how many there is room for, 2 or more.
        decimal_mark: as the language has it.
        least_step: 1 for an axis of whole numbers.
    """
    lead, power = _step(max((high - low) / (most - 1), least_step))
    first, last = (_multiple(end, lead, power) for end in (low, high))
    counts = range(math.ceil(first), math.floor(last) + 1)
    texts = [_written(count * lead, power, decimal_mark) for count in counts]
    return [Tick(_scaled(count * lead, power), text) for count, text in zip(counts, texts, strict=True)]


def padded(low: float, high: float, share: float, least: float) -> tuple[float, float]:
    """Widen a range by a share of itself on both sides, and to at least so much in all."""
    room = max(share * (high - low), (least - (high - low)) / 2)
    return low - room, high + room


def spread(values: Sequence[float]) -> tuple[float, float]:
    """Return the least and the greatest of some values."""
    return min(values), max(values)


def _step(rough: float) -> tuple[int, int]:
    """Return the round step that is not below a rough one: a lead of 1, 2 or 5, and a power of ten.

    The power is read off the number's own text: a logarithm may differ in its last digit between machines.
    """
    mantissa, power = f"{rounded(rough):.11e}".split("e")
    lead = next((lead for lead in (1, 2, 5) if float(mantissa) <= lead), 10)
    return (1, int(power) + 1) if lead == 10 else (lead, int(power))


def _multiple(value: float, lead: int, power: int) -> float:
    return rounded(value / _scaled(lead, power))


def _scaled(count: int, power: int) -> float:
    return float(count * 10**power) if power >= 0 else count / 10**-power


def _written(count: int, power: int, decimal_mark: str) -> str:
    return marked(fixed(_scaled(count, power), max(0, -power)), decimal_mark)

"""Scales and ticks of a picture: where a value is, and which round values are along an axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.shared.decimal_text import fixed, marked
from calculators.shared.fields import rounded


@dataclass(frozen=True, slots=True)
class Scale:
    """A linear scale from values to the picture's units: `low` is at `start`, `high` at `end`."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return the position of a value, which may be beyond the axis."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def held(self, value: float) -> float:
        """Return the position of a value, or the end of the axis where the value is beyond it."""
        return self.at(min(max(value, self.low), self.high))

    def holds(self, value: float) -> bool:
        """Return whether a value is within the axis."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Tick:
    """A round value on an axis, and how it is written there."""

    value: float
    text: str


def ticks(low: float, high: float, most: int, decimal_mark: str, *, least_step: float = 0.0) -> list[Tick]:
    """Return ticks at the multiples of 1, 2 or 5 times a power of ten from low to high.

    Args:
        low: lower end of the axis, below high.
        high: upper end.
        most: the number of ticks there is room for, 2 or more.
        decimal_mark: that of the language.
        least_step: the smallest spacing, such as 1 for an axis of whole numbers.
    """
    lead, power = _round_spacing(max((high - low) / (most - 1), least_step))
    first, last = (_multiple(end, lead, power) for end in (low, high))
    counts = range(math.ceil(first), math.floor(last) + 1)
    texts = [_written(count * lead, power, decimal_mark) for count in counts]
    return [Tick(_scaled(count * lead, power), text) for count, text in zip(counts, texts, strict=True)]


def padded(low: float, high: float, share: float, least: float) -> tuple[float, float]:
    """Return a range widened on both sides by a share of itself, and to at least a width of `least`."""
    room = max(share * (high - low), (least - (high - low)) / 2)
    return low - room, high + room


def spread(values: Sequence[float]) -> tuple[float, float]:
    """Return the lowest and the highest of some values."""
    return min(values), max(values)


def _round_spacing(rough: float) -> tuple[int, int]:
    """Return the smallest round spacing that is not below a rough one, as (1, 2 or 5, power of ten).

    The power is read from the number's text, since a logarithm may differ in its last digit between machines.
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

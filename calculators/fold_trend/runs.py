"""Runs of visits that belong together: an adjustment or a jump starts a new one.

A visit has jumped where its fold time is outside the interval that the earlier visits of its run predict for
one new timing. That interval is at least as wide as hand timing alone makes it. At most one sound visit in a
thousand is taken for a jump.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.fold_trend.line import fit_trend

ENOUGH_VISITS = 4
"""A line needs so many visits: with two degrees of freedom its intervals reach four times their scatter."""
JUMP_CONFIDENCE = 0.999
"""An alarm that takes a leveler out of service must be rare, as for runs that disagree at one visit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The visits from `start` up to but without `stop`; it began as "first", by "adjustment" or by "jump"."""

    start: int
    stop: int
    began: str

    @property
    def count(self) -> int:
        """The number of its visits; 0 where the last visit ended with an adjustment."""
        return self.stop - self.start


def split_runs(
    days: Sequence[int], times: Sequence[float], adjusted: Sequence[int], *, timing_uncertainty: float
) -> tuple[Run, ...]:
    """Return visits split into runs.

    Args:
        days: the day of each visit, ascending.
        times: fold time as found at each visit, s.
        adjusted: half turns made after each visit.
        timing_uncertainty: standard uncertainty of one hand-timed run, s.

    Returns:
        At least one run; only the last can be empty.
    """
    runs, start, began = [], 0, "first"
    for i in range(1, len(days)):
        cause = _cause(days, times, adjusted, start, i, timing_uncertainty)
        if cause:
            runs.append(Run(start=start, stop=i, began=began))
            start, began = i, cause
    runs.append(Run(start=start, stop=len(days), began=began))
    if adjusted[-1]:
        runs.append(Run(start=len(days), stop=len(days), began="adjustment"))
    return tuple(runs)


def _cause(
    days: Sequence[int],
    times: Sequence[float],
    adjusted: Sequence[int],
    start: int,
    i: int,
    timing_uncertainty: float,
) -> str:
    """Return why visit i begins a run, "" where it continues the one from `start`."""
    if adjusted[i - 1]:
        return "adjustment"
    if i - start < ENOUGH_VISITS:
        return ""
    before = fit_trend(days[start:i], times[start:i], least_sd=timing_uncertainty, confidence=JUMP_CONFIDENCE)
    low, high = before.interval(days[i], readings=1)
    return "" if low <= times[i] <= high else "jump"

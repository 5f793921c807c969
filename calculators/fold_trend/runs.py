"""Runs of visits that belong together: an adjustment or a jump starts a new one.

A visit has jumped where its fold time lies outside the interval that the visits of its run before it predict
for one new timing, made as wide as hand timing alone would make it at least. At most one sound visit in a
thousand is taken for a jump.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.fold_trend.line import fit_trend

ENOUGH_VISITS = 4
"""Fewer visits than these give no line: with two to spare its intervals reach four times their scatter."""
JUMP_CONFIDENCE = 0.999
"""As for runs that disagree at one visit: an alarm that takes a leveler out of service must be rare."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Visits from start up to, and without, stop; why it began: "first", "adjustment" or "jump"."""

    start: int
    stop: int
    began: str

    @property
    def count(self) -> int:
        """How many visits it has; 0 where the last visit ended with an adjustment."""
        return self.stop - self.start


def split_runs(
    days: Sequence[int], times: Sequence[float], adjusted: Sequence[int], *, timing_uncertainty: float
) -> tuple[Run, ...]:
    """Split visits into runs.

    Args:
        days: ascending.
        times: fold time as found at each visit, s.
        adjusted: half turns made after it.
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
    """Say why visit i begins a run; empty where it goes on with the one from start."""
    if adjusted[i - 1]:
        return "adjustment"
    if i - start < ENOUGH_VISITS:
        return ""
    before = fit_trend(days[start:i], times[start:i], least_sd=timing_uncertainty, confidence=JUMP_CONFIDENCE)
    low, high = before.interval(days[i], readings=1)
    return "" if low <= times[i] <= high else "jump"

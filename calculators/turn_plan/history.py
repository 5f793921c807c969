"""What a leveler's history adds to today's timings: it may shorten the way, and never permits anything."""

from __future__ import annotations

import math

from calculators.shared.rate_line import RateLine, SlopePrior
from calculators.shared.statistics import student_quantile

BORNE_OUT = 0.99
"""A history outside this interval of today's slope is another spring's, or another leveler's."""


def slope_prior(mean: float | None, sd: float | None) -> SlopePrior | None:
    """Return the history's slope, 1/s per half turn; None where none is given."""
    return None if mean is None or sd is None else SlopePrior(mean=mean, sd=sd)


def history_line(
    today: RateLine | None, both: RateLine | None, prior: SlopePrior | None
) -> tuple[RateLine | None, bool]:
    """Return the line to predict from, and whether a history was dropped.

    Args:
        today: the line through today's timings alone.
        both: the line through them and the history.
        prior: the history.
    """
    if prior is None or today is None:
        return both, False
    reach = math.hypot(today.slope_sd, prior.sd) * student_quantile((1 + BORNE_OUT) / 2, today.degrees)
    dropped = abs(today.slope - prior.mean) > reach
    return (today if dropped else both), dropped

"""What one new timing would show at each setting that the line reaches far enough to promise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.rate_line import RateLine

BEYOND = 3
"""Half turns beyond the settings timed for which a time is given."""
HANGING_FACTOR = 1.5
"""No time is given above this many times the top of the window: there the line promises too short a time."""


def foreseeable(timed: Mapping[int, object], half_turns_min: int | None, half_turns_max: int | None) -> range:
    """Return the settings for which a time may be given; none while the adjustment left is not known."""
    if half_turns_min is None or half_turns_max is None:
        return range(0)
    return range(max(half_turns_min, min(timed) - BEYOND), min(half_turns_max, max(timed) + BEYOND) + 1)


def predict(
    line: RateLine | None,
    settings: Sequence[int],
    *,
    window_low_s: float,
    window_high_s: float,
    timing_uncertainty_s: float,
    confidence: float,
) -> tuple[dict[str, Any], ...]:
    """Return what one new timing would show at each setting, in order, without those that get no time.

    Args:
        line: the line, or None for no predictions.
        settings: half turns from as found.
        window_low_s: s.
        window_high_s: s; a setting above 1.5 times of it, or with no rate left, gets no time.
        timing_uncertainty_s: standard uncertainty of one timing, s.
        confidence: of the interval, 1.

    Returns:
        Rows of half_turns, fold_time_s, low_s, high_s (None where the rate's interval reaches 0) and
        probability_in_window.
    """
    rows = []
    for setting in settings:
        if line is None or line.rate(setting) <= 0 or 1 / line.rate(setting) > HANGING_FACTOR * window_high_s:
            continue
        new = line.predict(setting, timing_uncertainty_s)
        slowest, quickest = new.interval(confidence)
        rows.append(
            {
                "half_turns": setting,
                "fold_time_s": 1 / new.rate,
                "low_s": 1 / quickest,
                "high_s": 1 / slowest if slowest > 0 else None,
                "probability_in_window": new.probability_between(1 / window_high_s, 1 / window_low_s),
            }
        )
    return tuple(rows)

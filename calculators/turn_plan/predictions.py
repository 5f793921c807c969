"""What one new timing would show at each setting that the line reaches far enough to promise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.fold_time.measured import Limits
from calculators.shared.rate_line import RateLine
from calculators.shared.timing import Run, Timing

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
    line: RateLine | None, settings: Sequence[int], *, limits: Limits, timing: Timing, runs: Sequence[Run]
) -> tuple[dict[str, Any], ...]:
    """Return what one new timing would show at each setting, in order, without those that get no time.

    Args:
        line: the line, or None for no predictions.
        settings: half turns from as found.
        limits: window and confidence; a setting above 1.5 times the window's top, or with no rate left, gets
            no time.
        timing: how runs are timed.
        runs: those at the setting where the nut stands, timed as the new one will be.

    Returns:
        Rows of half_turns, fold_time_s, low_s, high_s (None where the rate's interval reaches 0) and
        probability_in_window.
    """
    low, high = limits.window
    rows = []
    for setting in settings:
        if line is None or line.rate(setting) <= 0 or 1 / line.rate(setting) > HANGING_FACTOR * high:
            continue
        scatter = timing.scatter(runs, 1 / line.rate(setting))
        new = line.predict(setting, scatter, common_ahead(timing, runs))
        slowest, quickest = new.interval(limits.confidence)
        rows.append(
            {
                "half_turns": setting,
                "fold_time_s": 1 / new.rate,
                "low_s": 1 / quickest,
                "high_s": 1 / slowest if slowest > 0 else None,
                "probability_in_window": new.probability_between(1 / high, 1 / low),
            }
        )
    return tuple(rows)


def common_ahead(timing: Timing, runs: Sequence[Run]) -> float:
    """Return what all timings share, s; none where one figure stands for it and for the scatter alike."""
    return timing.common(runs) if timing.ways else 0.0

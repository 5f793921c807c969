"""What pictures with an upright axis of fold times share: the range of the axis, and the window across it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.drawing.axes import beside
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, padded, spread
from calculators.drawing.svg import box, line

LEAST_SPAN_S = 1.0
"""The shortest range of the axis, s: hand timing shows no finer differences."""


def times_shown(times: Sequence[float], ends: Sequence[float | None]) -> tuple[float, float]:
    """Return the ends of a fold-time axis, s.

    It shows all times, and the ends of intervals (None where there is none) as far as the times do not
    become too small to read.
    """
    low, high = spread(times)
    room = max((high - low) / 3, LEAST_SPAN_S)
    known = [end for end in ends if end is not None]
    lowest, highest = max(low - room, min([low, *known])), min(high + room, max([high, *known]))
    low, high = padded(lowest, highest, 0.05, LEAST_SPAN_S)
    return max(0.0, low), high


def level_window(inputs: Mapping[str, Any], up: Scale, across: Scale, words: PlotWords) -> list[str]:
    """Return the window as a shaded area across the picture, its limits written on the right."""
    limits = (inputs["window_low_s"], inputs["window_high_s"])
    low, high = (up.at(limit) for limit in limits)
    names = [(limit, words.say("limit", limit_s=limit)) for limit in limits]
    return [
        box((across.start, low), (across.end, high), "window"),
        *(line([(across.start, y), (across.end, y)], "limit") for y in (low, high)),
        *beside(up, names, across.end + 4),
    ]

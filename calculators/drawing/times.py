"""What pictures with fold times upward share: how far the axis reaches, and the window across it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.drawing.axes import beside
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, padded, spread
from calculators.drawing.svg import box, line

LEAST_SPAN_S = 1.0
"""Times closer together than this, s, are not drawn farther apart: thumbs are no finer."""


def times_shown(times: Sequence[float], ends: Sequence[float | None]) -> tuple[float, float]:
    """Return how far a fold-time axis reaches, s: all times, and the ends of intervals as far as these do not
    dwarf the times. An end that is None is not there.
    """
    low, high = spread(times)
    room = max((high - low) / 3, LEAST_SPAN_S)
    known = [end for end in ends if end is not None]
    lowest, highest = max(low - room, min([low, *known])), min(high + room, max([high, *known]))
    low, high = padded(lowest, highest, 0.05, LEAST_SPAN_S)
    return max(0.0, low), high


def level_window(inputs: Mapping[str, Any], up: Scale, across: Scale, words: PlotWords) -> list[str]:
    """Shade the window across the picture, with its limits written on the right."""
    limits = (inputs["window_low_s"], inputs["window_high_s"])
    low, high = (up.at(limit) for limit in limits)
    names = [(limit, words.say("limit", limit_s=limit)) for limit in limits]
    return [
        box((across.start, low), (across.end, high), "window"),
        *(line([(across.start, y), (across.end, y)], "limit") for y in (low, high)),
        *beside(up, names, across.end + 4),
    ]

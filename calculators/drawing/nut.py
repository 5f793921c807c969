"""What the pictures of both plans share: settings in half turns, ends of the thread, the nut and its move."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from calculators.drawing.axes import LegendEntry, line_entry, mark_entry
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, Tick, spread, ticks
from calculators.drawing.svg import line, mark, text_width

NUT_ROOM = 18
"""Height of the nut's mark below the axis."""
FEW = 14
"""Up to so many half turns are distinct on a phone, so both ends of the adjustment left are shown."""
NEAR_END = 3
"""Over a wider range, an end is shown only within so many half turns of the settings measured."""
MOST_TICKS = 24
"""Up to so many settings each have a tick."""
_NUT = 6


def settings_shown(
    settings: Iterable[float], inputs: Mapping[str, Any], present: int, do_now: int | None
) -> tuple[float, float]:
    """Return the lowest and highest setting to show: those measured, the next one, and ends that are near."""
    low, high = spread([*settings, present, present + (do_now or 0)])
    ends = [end for end in (inputs["half_turns_min"], inputs["half_turns_max"]) if end is not None]
    all_low, all_high = spread([low, high, *ends])
    if all_high - all_low <= FEW:
        return all_low, all_high
    near = [end for end in ends if low - NEAR_END <= end <= high + NEAR_END]
    return spread([low, high, *near])


def settings_scale(shown: tuple[float, float], start: float, end: float) -> Scale:
    """Return the scale of settings, with room at both ends; a single setting is between two ticks."""
    room = max(0.7, 0.06 * (shown[1] - shown[0])) if shown[0] < shown[1] else 1.3
    return Scale(shown[0] - room, shown[1] + room, start, end)


def settings_ticks(across: Scale, words: PlotWords) -> list[Tick]:
    """Return ticks at whole settings: numbers as far as there is room, and for few settings a tick each."""
    low, high = math.ceil(across.low), math.floor(across.high)
    widest = max(text_width(words.setting(end)) for end in (low, high))
    most = int((across.end - across.start) / (widest + 4))
    named = ticks(across.low, across.high, most, words.decimal_mark, least_step=1)
    if high - low > MOST_TICKS:
        return named
    bare = {float(setting) for setting in range(low, high + 1)} - {tick.value for tick in named}
    return [*named, *(Tick(setting, "") for setting in sorted(bare))]


def thread_ends(inputs: Mapping[str, Any], across: Scale, upright: tuple[float, float]) -> list[str]:
    """Return lines at the loosest and the tightest setting allowed, where these are in the picture."""
    ends = (inputs["half_turns_min"], inputs["half_turns_max"])
    places = [across.at(end) for end in ends if end is not None and across.holds(end)]
    return [line([(x, upright[0]), (x, upright[1])], "end") for x in places]


def nut(present: int, do_now: int | None, across: Scale, axis: float) -> list[str]:
    """Return the nut at its present setting, under the axis, and an arrow to the next one."""
    x, y = across.at(present), axis + 11
    parts = [mark("up", (x, y), _NUT, "nut")]
    if do_now:
        tip = across.at(present + do_now)
        parts.append(line([(x, y), (tip, y)], "arrow"))
        parts.append(mark("right" if do_now > 0 else "left", (tip, y), _NUT - 1, "next"))
    return parts


def nut_entries(
    inputs: Mapping[str, Any], do_now: int | None, across: Scale, words: PlotWords
) -> list[LegendEntry]:
    """Return the legend's entries for these; ends that are not drawn are in its words alone."""
    entries = [mark_entry("up", _NUT, "nut", words.say("nut"))]
    if do_now:
        entries.append(LegendEntry(lambda x, y: _arrow(x, y, do_now), words.say("next")))
    description = words.limits(inputs["half_turns_min"], inputs["half_turns_max"])
    drawn = bool(thread_ends(inputs, across, (0, 1)))
    entries.append(line_entry("end", description, upright=True) if drawn else LegendEntry(None, description))
    return entries


def _arrow(x: float, y: float, do_now: int) -> list[str]:
    """Return the arrow by itself, as a sample."""
    tip = x + 6 * do_now
    return [
        line([(x - 11 * do_now, y), (tip, y)], "arrow"),
        mark("right" if do_now > 0 else "left", (tip, y), _NUT - 1, "sample-next"),
    ]

"""The picture of mainspring-plan: what each setting showed, from too low through good to too high."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.drawing.axes import (
    BASELINE,
    LegendEntry,
    below_x_axis,
    left_margin,
    legend,
    mark_entry,
    x_axis,
)
from calculators.drawing.nut import (
    NUT_ROOM,
    nut,
    nut_entries,
    settings_scale,
    settings_shown,
    settings_ticks,
    thread_ends,
)
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale
from calculators.drawing.svg import WIDTH, box, line, mark, svg, text
from calculators.mainspring_plan.calculator import observed
from calculators.mainspring_plan.rules import Cycle, levels_of

LANE = 46
"""Height of the lane of one result."""
LANES = {1: "too-high", 0: "good", -1: "too-low"}
"""From the top down: a tighter spring leads upward, so settings that agree climb to the right."""
COUNT_WIDTH = 24
"""Numbers of cycles closer together than this would stand on one another; the later one is left out."""
SHAPES = {1: "up", 0: "circle", -1: "down"}
BOTTOM = LANE * len(LANES) + 6
RIGHT = WIDTH - 10


def draw(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> tuple[str, str]:
    """Return the picture and its text alternative."""
    cycles = [observed(row, inputs["walk_down_limit_n"]) for row in inputs["cycles"]]
    do_now, present = answer.get("do_now"), cycles[-1].half_turns
    names = [words.say(name) for name in LANES.values()]
    shown = settings_shown([each.half_turns for each in cycles], inputs, present, do_now)
    across = settings_scale(shown, left_margin(names, strong=True), RIGHT)
    parts = [
        *_lanes(names, across),
        *thread_ends(inputs, across, (2, BOTTOM)),
        *_cycles(cycles, levels_of(cycles), across, words),
        *x_axis(across, settings_ticks(across, words), BOTTOM, words.say("half-turns"), room=NUT_ROOM),
        *nut(present, do_now, across, BOTTOM),
    ]
    entries = [*_legend_entries(cycles, words), *nut_entries(inputs, do_now, across, words)]
    drawn, height = legend(entries, below_x_axis(BOTTOM, room=NUT_ROOM))
    alternative = _alternative(inputs, answer, cycles, words)
    return svg(height, [*parts, *drawn], alternative), alternative


def _middle(level: int) -> float:
    return 4 + LANE * (1.5 - level)


def _lanes(names: Sequence[str], across: Scale) -> list[str]:
    """Name the lanes, and shade the one that is wanted."""
    low, high = (_middle(0) + side * LANE / 2 for side in (-1, 1))
    parts = [box((across.start, low), (across.end, high), "window")]
    parts += [line([(across.start, y), (across.end, y)], "limit") for y in (low, high)]
    for level, name in zip(LANES, names, strict=True):
        at = (across.start - 6, _middle(level) + BASELINE)
        parts.append(text(at, name, "label", anchor="end", strong=level == 0))
    return parts


def _cycles(cycles: Sequence[Cycle], levels: Mapping[int, int], across: Scale, words: PlotWords) -> list[str]:
    """Draw one mark for all cycles that showed the same at a setting, with their number; most is full."""
    counts = Counter((each.half_turns, each.level) for each in cycles)
    parts = []
    named = dict.fromkeys(LANES, -WIDTH + 0.0)
    for (setting, level), count in sorted(counts.items()):
        at = (across.at(setting), _middle(level) + 4)
        parts.append(mark(SHAPES[level], at, 7, "cycle", full=levels[setting] == level))
        if count > 1 and at[0] - named[level] >= COUNT_WIDTH:
            named[level] = at[0]
            parts.append(text((at[0], at[1] - 12), words.say("count", count=count), "label", anchor="middle"))
    return parts


def _legend_entries(cycles: Sequence[Cycle], words: PlotWords) -> list[LegendEntry]:
    """Explain full and open marks where both are there."""
    if not _disagree(cycles):
        return []
    return [
        mark_entry("circle", 6, "cycle", words.say("latest")),
        mark_entry("circle", 6, "cycle", words.say("earlier"), full=False),
    ]


def _disagree(cycles: Sequence[Cycle]) -> bool:
    """Whether cycles at any one setting showed different things."""
    return len({(each.half_turns, each.level) for each in cycles}) > len({each.half_turns for each in cycles})


def _alternative(
    inputs: Mapping[str, Any], answer: Mapping[str, Any], cycles: Sequence[Cycle], words: PlotWords
) -> str:
    told = [
        words.say(
            "told-cycles" if len(cycles) > 1 else "told-cycle",
            count=len(cycles),
            present=words.setting(cycles[-1].half_turns),
        )
    ]
    for row in answer["known_band"]:
        if row["half_turns"]:
            settings = ", ".join(words.setting(setting) for setting in row["half_turns"])
            told.append(words.say(f"told-{row['shows']}", settings=settings))
    if _disagree(cycles):
        told.append(words.say("told-earlier"))
    return " ".join([*told, words.limits(inputs["half_turns_min"], inputs["half_turns_max"])])

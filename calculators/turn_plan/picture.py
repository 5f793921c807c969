"""The picture of turn-plan: each timing at its setting, the line with its interval, the window, the nut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.drawing.axes import (
    LegendEntry,
    area_entry,
    below_x_axis,
    left_margin,
    legend,
    line_entry,
    mark_entry,
    x_axis,
    y_axis,
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
from calculators.drawing.scale import Scale, spread, ticks
from calculators.drawing.svg import WIDTH, Point, area, line, mark, svg
from calculators.drawing.times import level_window, times_shown
from calculators.shared.fields import rounded
from calculators.shared.timing import read_run, read_timing

TOP, BOTTOM = 30, 220
"""Where the times axis begins and ends."""
RIGHT = WIDTH - 42
"""Where the settings axis ends; the window's limits stand beside it."""
STEPS = 8
"""Straight pieces that a curve is drawn in between two settings."""


@dataclass(frozen=True, slots=True)
class Visit:
    """What the picture shows: typed inputs and the answer as it is shown."""

    inputs: Mapping[str, Any]
    answer: Mapping[str, Any]

    @property
    def readings(self) -> Sequence[Mapping[str, Any]]:
        """Every timing, in order, with the registered habits taken off."""
        timing = read_timing(self.inputs)
        return [
            {"half_turns": row["half_turns"], "fold_time_s": rounded(timing.corrected(read_run(row)))}
            for row in self.inputs["readings"]
        ]

    @property
    def timed(self) -> tuple[float, float]:
        """The loosest and the tightest setting timed."""
        return spread([row["half_turns"] for row in self.readings])

    @property
    def present(self) -> int:
        """Where the nut stands."""
        return int(self.readings[-1]["half_turns"])

    @property
    def goal(self) -> Mapping[str, Any] | None:
        """The prediction for the setting that it is likely to end at; None if unknown or reached."""
        to_go = self.answer.get("half_turns_to_go")
        at = self.present + to_go if to_go else None
        return next((row for row in self.answer["predictions"] if row["half_turns"] == at), None)

    def rate(self, half_turns: float) -> float | None:
        """The line's rate at a setting, 1/s; None where there is no line."""
        intercept, slope = self.answer["rate_intercept"], self.answer["rate_slope"]
        return None if intercept is None else intercept + slope * half_turns


def draw(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> tuple[str, str]:
    """Return the picture and its text alternative."""
    visit = Visit(inputs, answer)
    rows = answer["predictions"]
    low, high = times_shown(
        [
            *(row["fold_time_s"] for row in (*visit.readings, *rows)),
            inputs["window_low_s"],
            inputs["window_high_s"],
        ],
        [row[name] for row in rows for name in ("low_s", "high_s")],
    )
    along = ticks(low, high, 6, words.decimal_mark)
    up = Scale(low, high, BOTTOM, TOP)
    shown = settings_shown(
        [*visit.timed, *(row["half_turns"] for row in rows)], inputs, visit.present, answer.get("do_now")
    )
    across = settings_scale(shown, left_margin([tick.text for tick in along]), RIGHT)
    parts = [
        *level_window(inputs, up, across, words),
        *_band(visit, up, across),
        *_line(visit, up, across),
        *thread_ends(inputs, across, (TOP, BOTTOM)),
        *_readings(visit, up, across),
        *_goal(visit, up, across),
        *x_axis(across, settings_ticks(across, words), BOTTOM, words.say("half-turns"), room=NUT_ROOM),
        *y_axis(up, along, across.start, words.say("seconds")),
        *nut(visit.present, answer.get("do_now"), across, BOTTOM),
    ]
    entries, height = legend(_legend_entries(visit, across, words), below_x_axis(BOTTOM, room=NUT_ROOM))
    alternative = _alternative(visit, words)
    return svg(height, [*parts, *entries], alternative), alternative


def _between(rows: Sequence[Mapping[str, Any]], name: str) -> Iterable[tuple[float, float]]:
    """Return (setting, rate) along an end of the interval, straight in the rate between two settings.

    An end that is not there stands for a rate of 0: a lip that never gets there.
    """
    rates = [1 / row[name] if row[name] is not None else 0.0 for row in rows]
    for i in range(len(rows) - 1):
        for step in range(STEPS):
            share = step / STEPS
            yield rows[i]["half_turns"] + share, rates[i] + share * (rates[i + 1] - rates[i])
    if rows:
        yield rows[-1]["half_turns"], rates[-1]


def _place(setting: float, rate: float, up: Scale, across: Scale) -> Point:
    """Return the place of a rate, held within the picture."""
    seconds = 1 / rate if rate * up.high > 1 else up.high
    return across.at(setting), up.held(seconds)


def _band(visit: Visit, up: Scale, across: Scale) -> list[str]:
    rows = visit.answer["predictions"]
    quick, slow = (
        [_place(n, rate, up, across) for n, rate in _between(rows, name)] for name in ("low_s", "high_s")
    )
    parts = [area([*quick, *reversed(slow)], "band")]
    return [*parts, *(line(_within(points), "edge") for points in (quick, slow))]


def _within(points: Sequence[Point]) -> list[Point]:
    """Leave out the part of an edge that only follows the top of the picture."""
    return [
        point
        for i, point in enumerate(points)
        if point[1] > TOP or any(near[1] > TOP for near in points[max(0, i - 1) : i + 2])
    ]


def _line(visit: Visit, up: Scale, across: Scale) -> list[str]:
    """Draw the line over the settings timed and those with a prediction, as far as it gives a time."""
    settings = [*visit.timed, *(row["half_turns"] for row in visit.answer["predictions"])]
    low, high = spread(settings)
    places = []
    for step in range(round((high - low) * STEPS) + 1):
        setting = low + step / STEPS
        rate = visit.rate(setting)
        if rate is not None and rate > 0 and up.holds(1 / rate):
            places.append((across.at(setting), up.at(1 / rate)))
    return [line(places, "line")]


def _readings(visit: Visit, up: Scale, across: Scale) -> list[str]:
    """Draw a ring for each timing; equal ones at one setting become rings within rings."""
    seen: Counter[tuple[float, float]] = Counter()
    parts = []
    for row in visit.readings:
        at = (row["half_turns"], row["fold_time_s"])
        size = 5 + 3 * min(seen[at], 3)
        parts.append(mark("circle", (across.at(at[0]), up.at(at[1])), size, "reading", full=False))
        seen[at] += 1
    return parts


def _goal(visit: Visit, up: Scale, across: Scale) -> list[str]:
    """Draw the time at the likely end with its interval, cut at the edge of the picture."""
    goal = visit.goal
    if goal is None:
        return []
    x = across.at(goal["half_turns"])
    ends = [up.held(goal["low_s"]), up.held(up.high if goal["high_s"] is None else goal["high_s"])]
    caps = [line([(x - 6, y), (x + 6, y)], "bar-thin") for y in ends if TOP < y < BOTTOM]
    return [
        line([(x, ends[0]), (x, ends[1])], "bar-thin"),
        *caps,
        mark("diamond", (x, up.held(goal["fold_time_s"])), 6, "goal", full=False),
    ]


def _legend_entries(visit: Visit, across: Scale, words: PlotWords) -> list[LegendEntry]:
    entries = [
        area_entry("window", "limit", words.say("window")),
        mark_entry("circle", 5, "reading", words.say("reading"), full=False),
    ]
    if visit.rate(0) is not None:
        entries.append(line_entry("line", words.say("line")))
    if len(visit.answer["predictions"]) > 1:
        entries.append(area_entry("band", "edge", words.say("band", percent=words.percent)))
    if visit.goal is not None:
        entries.append(mark_entry("diamond", 6, "goal", words.say("goal"), full=False))
    return [*entries, *nut_entries(visit.inputs, visit.answer.get("do_now"), across, words)]


def _alternative(visit: Visit, words: PlotWords) -> str:
    inputs, answer = visit.inputs, visit.answer
    least, most = spread([row["fold_time_s"] for row in visit.readings])
    loosest, tightest = (words.setting(int(end)) for end in visit.timed)
    told = [
        words.say(
            "told-readings",
            count=len(visit.readings),
            least_s=least,
            most_s=most,
            loosest=loosest,
            tightest=tightest,
            present=words.setting(visit.present),
        ),
        words.say("told-window", low_s=inputs["window_low_s"], high_s=inputs["window_high_s"]),
    ]
    if answer["rate_slope"] is not None:
        way = "level" if answer["rate_slope"] == 0 else "slower" if answer["rate_slope"] < 0 else "quicker"
        told.append(words.say(f"told-{way}"))
    rows = answer["predictions"]
    if rows:
        told.append(
            words.say(
                "told-predictions",
                loosest=words.setting(rows[0]["half_turns"]),
                tightest=words.setting(rows[-1]["half_turns"]),
                least_s=rows[0]["fold_time_s"],
                most_s=rows[-1]["fold_time_s"],
            )
        )
    if visit.goal is not None:
        told.append(
            words.say(
                "told-goal",
                setting=words.setting(visit.goal["half_turns"]),
                fold_time_s=visit.goal["fold_time_s"],
            )
        )
    return " ".join([*told, words.limits(inputs["half_turns_min"], inputs["half_turns_max"])])

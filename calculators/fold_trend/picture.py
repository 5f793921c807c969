"""The picture of fold-trend: the visits by date, the line with its interval, where it leaves the window."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import pairwise
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
from calculators.drawing.dates import date_ticks
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, padded, spread, ticks
from calculators.drawing.svg import WIDTH, area, line, mark, svg
from calculators.drawing.times import level_window, times_shown

TOP, BOTTOM = 30, 210
RIGHT = WIDTH - 42
CHECK_ROOM = 18
"""Height of the mark of the next check below the axis."""
LEAST_SPAN_DAYS = 14

Row = Mapping[str, Any]


def draw(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> tuple[str, str]:
    """Return the picture as SVG, and its text alternative; inputs and answer are as on the wire."""
    visits = [row for row in answer["series"] if row["fold_time_s"] is not None]
    fitted = [row for row in answer["series"] if row["line_s"] is not None]
    adjusted = inputs["visits"][-1]["adjusted_half_turns"] != 0
    last_run = 0 if adjusted else visits[-1]["run"]  # visits before an adjustment show no drift
    low, high = times_shown(
        [
            *(row["fold_time_s"] for row in visits),
            *(row["line_s"] for row in fitted),
            inputs["window_low_s"],
            inputs["window_high_s"],
        ],
        [row[name] for row in fitted for name in ("low_s", "high_s")],
    )
    along = ticks(low, high, 6, words.decimal_mark)
    up = Scale(low, high, BOTTOM, TOP)
    across = _days_scale(answer, left_margin([tick.text for tick in along]))
    parts = [
        *level_window(inputs, up, across, words),
        *_trend(fitted, up, across),
        *_changes(visits, adjusted, across),
        *_visits(visits, last_run, up, across),
        *_leaving(inputs, answer, up, across),
        *x_axis(
            across,
            date_ticks(round(across.low), round(across.high)),
            BOTTOM,
            words.say("date"),
            room=CHECK_ROOM,
        ),
        *y_axis(up, along, across.start, words.say("seconds")),
        mark("up", (across.at(_day(answer["next_check_by"])), BOTTOM + 11), 6, "check"),
    ]
    entries = _legend_entries((visits, fitted), last_run, answer, words)
    drawn, height = legend(entries, below_x_axis(BOTTOM, room=CHECK_ROOM))
    alternative = _alternative(inputs, answer, (visits, fitted), last_run, words)
    return svg(height, [*parts, *drawn], alternative), alternative


def _day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def _days_scale(answer: Mapping[str, Any], start: float) -> Scale:
    days = [_day(row["date"]) for row in answer["series"]]
    marks = [_day(answer[name]) for name in ("next_check_by", "leaves_window_on", "earliest") if answer[name]]
    low, high = spread([*days, *marks])
    if answer["latest"]:  # unless the visits would become too small
        high = max(high, min(_day(answer["latest"]), high + (high - low) / 3))
    low, high = padded(low, high, 0.05, LEAST_SPAN_DAYS)
    return Scale(low, high, start, RIGHT)


def _trend(fitted: Sequence[Row], up: Scale, across: Scale) -> list[str]:
    """Return the line and its interval; an end that would reach 0 is at the bottom of the picture."""
    places = [across.at(_day(row["date"])) for row in fitted]
    low, high = (
        [(x, up.held(0.0 if row[name] is None else row[name])) for x, row in zip(places, fitted, strict=True)]
        for name in ("low_s", "high_s")
    )
    middle = [(x, up.held(row["line_s"])) for x, row in zip(places, fitted, strict=True)]
    return [
        area([*low, *reversed(high)], "band"),
        line(low, "edge"),
        line(high, "edge"),
        line(middle, "line"),
    ]


def _changes(visits: Sequence[Row], adjusted_last: bool, across: Scale) -> list[str]:
    """Return an upright line between each run and the next, and after a last visit with an adjustment."""
    places = [
        across.at((_day(before["date"]) + _day(after["date"])) / 2)
        for before, after in pairwise(visits)
        if before["run"] != after["run"]
    ]
    places += [across.at(_day(visits[-1]["date"])) + 8] if adjusted_last else []
    return [line([(x, TOP), (x, BOTTOM)], "end") for x in places]


def _visits(visits: Sequence[Row], last_run: int, up: Scale, across: Scale) -> list[str]:
    """Return a mark for each visit: filled where the line goes through its run, else open."""
    return [
        mark(
            "circle",
            (across.at(_day(row["date"])), up.at(row["fold_time_s"])),
            5,
            "visit",
            full=row["run"] == last_run,
        )
        for row in visits
    ]


def _leaving(inputs: Mapping[str, Any], answer: Mapping[str, Any], up: Scale, across: Scale) -> list[str]:
    """Return the mark where the line meets the limit ahead, and the days between which that may be."""
    if answer["leaves_window_on"] is None:
        return []
    y = up.at(inputs["window_high_s" if answer["slope_s_per_30_days"] > 0 else "window_low_s"])
    first = across.held(_day(answer["earliest"] or answer["leaves_window_on"]))
    beyond = answer["latest"] is None or not across.holds(_day(answer["latest"]))
    last = across.end - 8 if beyond else across.at(_day(answer["latest"]))
    end = mark("right", (last, y), 6, "beyond") if beyond else line([(last, y - 6), (last, y + 6)], "bar")
    return [
        line([(first, y), (last, y)], "bar"),
        line([(first, y - 6), (first, y + 6)], "bar"),
        end,
        mark("diamond", (across.at(_day(answer["leaves_window_on"])), y), 6, "leaves"),
    ]


def _legend_entries(
    rows: tuple[Sequence[Row], Sequence[Row]], last_run: int, answer: Mapping[str, Any], words: PlotWords
) -> list[LegendEntry]:
    visits, fitted = rows
    entries = [area_entry("window", "limit", words.say("window"))]
    if last_run:
        entries.append(mark_entry("circle", 5, "visit", words.say("visit")))
    if visits[0]["run"] != last_run:
        entries.append(mark_entry("circle", 5, "visit", words.say("visit-before"), full=False))
        entries.append(line_entry("end", words.say("changed"), upright=True))
    if fitted:
        entries.append(line_entry("line", words.say("line")))
        entries.append(area_entry("band", "edge", words.say("band", percent=words.percent)))
    entries.append(mark_entry("up", 6, "check", words.say("check", day=answer["next_check_by"])))
    if answer["leaves_window_on"] is not None:
        entries.append(
            mark_entry("diamond", 6, "leaves", words.say("leaves", day=answer["leaves_window_on"]))
        )
    return entries


def _alternative(
    inputs: Mapping[str, Any],
    answer: Mapping[str, Any],
    rows: tuple[Sequence[Row], Sequence[Row]],
    last_run: int,
    words: PlotWords,
) -> str:
    visits, fitted = rows
    least, most = spread([row["fold_time_s"] for row in visits])
    of_run = sum(row["run"] == last_run for row in visits)
    sentences = [
        words.say(
            "told-visits" if len(visits) > 1 else "told-visit",
            count=len(visits),
            of_run=of_run,
            first=visits[0]["date"],
            last=visits[-1]["date"],
            least_s=least,
            most_s=most,
        ),
        words.say("told-window", low_s=inputs["window_low_s"], high_s=inputs["window_high_s"]),
    ]
    if fitted:
        sentences.append(
            words.say(
                "told-line",
                began=fitted[0]["date"],
                from_s=fitted[0]["line_s"],
                ends=fitted[-1]["date"],
                to_s=fitted[-1]["line_s"],
            )
        )
    days = {
        "leaves": "leaves_window_on",
        "earliest": "earliest",
        "latest": "latest",
        "check": "next_check_by",
    }
    sentences += [words.say(f"told-{code}", day=answer[name]) for code, name in days.items() if answer[name]]
    return " ".join(sentences)

"""The picture of fold-time: every run, and the interval of their mean, against the window."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.drawing.axes import (
    BASELINE,
    ROW,
    bar_entry,
    below_x_axis,
    left_margin,
    legend,
    middle_of,
    x_axis,
)
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, padded, spread, ticks
from calculators.drawing.svg import WIDTH, box, line, mark, svg, text
from calculators.fold_time.calculator import as_asked
from calculators.shared.fields import rounded

TOP = 26
"""Where the first run's row begins; the window's label stands above."""
RUN_ROW = 22
MEAN_ROW = 46
LEAST_SPAN_S = 0.5
"""Times closer together than this, s, are not drawn farther apart: thumbs are no finer."""


def draw(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> tuple[str, str]:
    """Return the picture and its text alternative."""
    runs, window = _times(inputs), (inputs["window_low_s"], inputs["window_high_s"])
    names = [words.say("run", number=i + 1) for i in range(len(runs))]
    left = left_margin([*names, words.say("mean")], strong=True)
    across = _scale(runs, window, answer, left)
    bottom = TOP + RUN_ROW * len(runs) + MEAN_ROW
    parts = [
        *_window(window, across, bottom, words),
        *_runs(runs, names, across, left),
        *_mean(answer, across, bottom - MEAN_ROW + 14, left, words),
    ]
    along = ticks(across.low, across.high, 6, words.decimal_mark)
    parts += x_axis(across, along, bottom, words.say("seconds"))
    sure = bar_entry("diamond", "mean", words.say("interval", percent=words.percent))
    entries, height = legend([sure] if answer["mean_s"] is not None else [], below_x_axis(bottom))
    alternative = _alternative(inputs, answer, words)
    return svg(height, [*parts, *entries], alternative), alternative


def _times(inputs: Mapping[str, Any]) -> tuple[float, ...]:
    """Return every run, s, with the registered habits taken off."""
    return tuple(rounded(time) for time in as_asked(inputs)[0].times)


def _scale(
    runs: tuple[float, ...], window: tuple[float, float], answer: Mapping[str, Any], left: float
) -> Scale:
    """Hold all runs, the window, and the interval as far as it does not dwarf them."""
    low, high = spread([*runs, *window])
    if answer["mean_s"] is None:
        low, high = padded(low, high, 0.06, LEAST_SPAN_S)
        return Scale(max(low, 0.0), high, left + 8, WIDTH - 10)
    room = max(high - low, LEAST_SPAN_S)
    lowest = max(low - room, min(low, answer["low_s"]))
    highest = min(high + room, max(high, answer["high_s"]))
    low, high = padded(lowest, highest, 0.06, LEAST_SPAN_S)
    return Scale(max(low, 0.0), high, left + 8, WIDTH - 10)


def _window(window: tuple[float, float], across: Scale, bottom: float, words: PlotWords) -> list[str]:
    """Shade the window and name it above, as near its middle as the words have room."""
    low, high = (across.at(limit) for limit in window)
    name = words.say("allowed", low_s=window[0], high_s=window[1])
    middle = middle_of(name, (low + high) / 2)
    return [
        box((low, TOP - 6), (high, bottom), "window"),
        *(line([(x, TOP - 6), (x, bottom)], "limit") for x in (low, high)),
        text((middle, TOP - 12), name, "label", anchor="middle", strong=True),
    ]


def _runs(runs: tuple[float, ...], names: list[str], across: Scale, left: float) -> list[str]:
    parts = []
    for i, (run, name) in enumerate(zip(runs, names, strict=True)):
        y = TOP + RUN_ROW * (i + 0.5)
        parts.append(text((left - 2, y + BASELINE), name, "label", anchor="end"))
        parts.append(mark("circle", (across.at(run), y), 5, "run", full=False))
    return parts


def _mean(answer: Mapping[str, Any], across: Scale, y: float, left: float, words: PlotWords) -> list[str]:
    """Draw the mean with its interval; an end beyond the picture is an arrowhead in place of a bar's end."""
    if answer["mean_s"] is None:
        return []
    middle = across.at(answer["mean_s"])
    name = words.say("mean-value", mean_s=answer["mean_s"])
    below = middle_of(name, middle, low=left)
    return [
        text((left - 2, y + BASELINE), words.say("mean"), "label", anchor="end", strong=True),
        *interval(
            [(across.held(answer["low_s"]), y), (across.held(answer["high_s"]), y)],
            cut=(not across.holds(answer["low_s"]), not across.holds(answer["high_s"])),
        ),
        mark("diamond", (middle, y), 6, "mean"),
        text((below, y + ROW + 2), name, "label", anchor="middle", strong=True),
    ]


def interval(ends: list[tuple[float, float]], *, cut: tuple[bool, bool]) -> list[str]:
    """Draw a level bar with an upright at each end, or an arrowhead where it goes on beyond the picture."""
    parts = [line(ends, "bar")]
    for (x, y), beyond, shape in zip(ends, cut, ("left", "right"), strict=True):
        parts.append(mark(shape, (x, y), 6, "beyond") if beyond else line([(x, y - 7), (x, y + 7)], "bar"))
    return parts


def _alternative(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> str:
    runs = _times(inputs)
    least, most = spread(runs)
    told = {
        "count": len(runs),
        "least_s": least,
        "most_s": most,
        "percent": words.percent,
        "low_s": inputs["window_low_s"],
        "high_s": inputs["window_high_s"],
        "mean_s": answer["mean_s"],
        "from_s": answer["low_s"],
        "to_s": answer["high_s"],
    }
    codes = ["told-one" if len(runs) == 1 else "told-runs", "told-window"]
    if answer["mean_s"] is not None:
        codes = [codes[0], "told-interval", codes[1], f"told-{answer['verdict']}"]
    return " ".join(words.say(code, **told) for code in codes)

"""What the pictures have in common: two axes, the window's labels, and a legend."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from calculators.drawing.scale import Scale, Tick
from calculators.drawing.svg import FONT, WIDTH, box, line, mark, text, text_width

TICK = 5
"""Length of a tick, in the picture's units, as all lengths here."""
BASELINE = 5
"""How far the baseline of letters is below their middle."""
ROW = 20
"""Height of a line of words."""
SAMPLE = 28
"""Width of a legend's sample, before its words."""
_GAP = 16
MARGIN = 4


def x_axis(scale: Scale, along: Sequence[Tick], y: float, title: str, *, room: float = 0) -> list[str]:
    """Return the axis at the bottom, with ticks and title. `room` stays free below the line, for marks."""
    parts = [line([(scale.start, y), (scale.end, y)], "axis")]
    for tick in along:
        x = scale.at(tick.value)
        parts.append(line([(x, y), (x, y + TICK)], "tick-line"))
        if tick.text:
            parts.append(text((x, y + room + TICK + FONT), tick.text, "x-tick", anchor="middle"))
    parts.append(text((WIDTH - MARGIN, y + room + TICK + FONT + ROW), title, "title", anchor="end"))
    return parts


def below_x_axis(y: float, *, room: float = 0) -> float:
    """Return the y at which the words of an x axis at y end."""
    return y + room + TICK + FONT + ROW + 6


def y_axis(scale: Scale, along: Sequence[Tick], x: float, title: str) -> list[str]:
    """Return the axis at the left, with ticks and a title above it."""
    parts = [line([(x, scale.start), (x, scale.end)], "axis")]
    for tick in along:
        y = scale.at(tick.value)
        parts.append(line([(x - TICK, y), (x, y)], "tick-line"))
        parts.append(text((x - TICK - 3, y + BASELINE), tick.text, "y-tick", anchor="end"))
    parts.append(text((MARGIN, FONT), title, "title"))
    return parts


def left_margin(texts: Sequence[str], *, strong: bool = False) -> float:
    """Return the x of an axis that leaves room for the words on its left."""
    return MARGIN + TICK + 3 + max(text_width(each, strong=strong) for each in texts)


def middle_of(words: str, wanted: float, *, low: float = MARGIN, high: float = WIDTH - MARGIN) -> float:
    """Return the x of the middle of strong words: as wanted, or the nearest that keeps them between ends."""
    half = text_width(words, strong=True) / 2
    return max(min(wanted, high - half), low + half)


def beside(scale: Scale, limits: Sequence[tuple[float, str]], x: float) -> list[str]:
    """Return (value, words) pairs as labels at the values' heights; two that would meet are moved apart."""
    places = [scale.at(value) for value, _ in limits]
    if len(places) == 2 and abs(places[0] - places[1]) < FONT:
        middle = sum(places) / 2
        places = [middle + FONT / 2, middle - FONT / 2]
    return [
        text((x, y + BASELINE), words, "label", strong=True)
        for y, (_, words) in zip(places, limits, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """An entry of the legend: its words, and draw(x, y), which returns a sample about a point."""

    draw: Callable[[float, float], list[str]] | None
    words: str


def area_entry(kind: str, edge: str, words: str) -> LegendEntry:
    """Return the legend's entry for an area with edges above and below."""

    def draw(x: float, y: float) -> list[str]:
        left, right = x - 11, x + 11
        edges = [line([(left, at), (right, at)], edge) for at in (y - 6, y + 6)]
        return [box((left, y - 6), (right, y + 6), kind), *edges]

    return LegendEntry(draw, words)


def line_entry(kind: str, words: str, *, upright: bool = False) -> LegendEntry:
    """Return the legend's entry for a line."""

    def draw(x: float, y: float) -> list[str]:
        ends = [(x, y - 8), (x, y + 8)] if upright else [(x - 12, y), (x + 12, y)]
        return [line(ends, kind)]

    return LegendEntry(draw, words)


def bar_entry(shape: str, kind: str, words: str) -> LegendEntry:
    """Return the legend's entry for a level interval about a mark."""

    def draw(x: float, y: float) -> list[str]:
        ends = [(x - 11, y), (x + 11, y)]
        caps = [line([(at, y - 5), (at, y + 5)], "bar") for at, _ in ends]
        return [line(ends, "bar"), *caps, mark(shape, (x, y), 5, f"sample-{kind}")]

    return LegendEntry(draw, words)


def mark_entry(shape: str, size: float, kind: str, words: str, *, full: bool = True) -> LegendEntry:
    """Return the legend's entry for a mark, whose class differs from that of marks in the picture itself."""
    return LegendEntry(lambda x, y: [mark(shape, (x, y), size, f"sample-{kind}", full=full)], words)


def legend(entries: Sequence[LegendEntry], top: float) -> tuple[list[str], float]:
    """Return the legend, its top at `top`, with as many entries on a line as fit; and the y of its end."""
    parts: list[str] = []
    x, y = float(MARGIN), top + ROW / 2
    for entry in entries:
        sample = SAMPLE if entry.draw else 0
        lines = _wrapped(entry.words, WIDTH - MARGIN - sample)
        width = sample + max(text_width(each) for each in lines)
        if x > MARGIN and x + width > WIDTH:
            x, y = float(MARGIN), y + ROW
        parts += entry.draw(x + 12, y) if entry.draw else []
        parts += [text((x + sample, y + BASELINE + ROW * i), each, "legend") for i, each in enumerate(lines)]
        y += ROW * (len(lines) - 1)
        x += width + _GAP
    return parts, y + ROW / 2 + 2


def _wrapped(words: str, width: float) -> list[str]:
    """Return words broken at spaces into lines of at most a width; a longer word has a line of its own."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines

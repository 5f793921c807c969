"""A small picture as SVG text: lines, areas, marks and labels, all in the text color of the page around it.

Why this is our own code and no charting library: CPython during the build and Pyodide on a phone without a
network must make the same picture to the last byte, and paper must show it, too. That leaves the standard
library. What is needed fits in this file. A library would put styles and ids into the page, which neither
the content policy nor two pictures on one page allow, and megabytes onto the phone.

Everything is drawn in currentColor, so that it suits a dark page, sunlight and paper. Parts differ by shape,
width and dash, never by color. Each has the class "ht-plot-" + kind for the style sheet, and the
presentation attributes below for places without one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

WIDTH = 320
"""Width of every picture, in its own units: what the letters need on the narrowest phone."""
FONT = 14
"""Size of every letter, in the picture's units."""
LETTER, STRONG_LETTER, DIGIT = 7.2, 8.2, 9.0
"""Approximate widths of letters, in the picture's units; overestimates, so that labels never meet."""

_INK = 'stroke="currentColor"'
_LOOKS = {
    # lines
    "axis": f'{_INK} stroke-width="1.5"',
    "tick-line": f'{_INK} stroke-width="1.5"',
    "zero": f'{_INK} stroke-width="1"',
    "limit": f'{_INK} stroke-width="1.5"',
    "line": f'{_INK} stroke-width="2.5"',
    "line-second": f'{_INK} stroke-width="2.5" stroke-dasharray="9 5"',
    "edge": f'{_INK} stroke-width="1.2" stroke-dasharray="2 3"',
    "bar": f'{_INK} stroke-width="3"',
    "bar-thin": f'{_INK} stroke-width="1.5"',
    "end": f'{_INK} stroke-width="1.5" stroke-dasharray="5 3"',
    "loose": f'{_INK} stroke-width="6" stroke-dasharray="2 2"',
    "arrow": f'{_INK} stroke-width="2.5"',
    # areas
    "window": 'fill="currentColor" fill-opacity="0.12"',
    "band": 'fill="currentColor" fill-opacity="0.2"',
    # marks: filled, or open to the ground behind
    "full": 'fill="currentColor"',
    "open": f'fill="none" {_INK} stroke-width="2"',
}
_ANCHORS = {"start": "", "middle": ' text-anchor="middle"', "end": ' text-anchor="end"'}
_CORNERS = {
    "diamond": ((0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)),
    "up": ((0, -1.2), (1.15, 0.9), (-1.15, 0.9)),
    "down": ((0, 1.2), (1.15, -0.9), (-1.15, -0.9)),
    "left": ((-1.2, 0), (0.9, -1.15), (0.9, 1.15)),
    "right": ((1.2, 0), (-0.9, -1.15), (-0.9, 1.15)),
}
"""Corners of each shape relative to its middle, for size 1."""
_WIDE = "0123456789\u2212"

Point = tuple[float, float]


def number(value: float) -> str:
    """Return a coordinate as text, to a tenth of a unit: finer than a line, but alike in every Python."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def line(points: Sequence[Point], kind: str) -> str:
    """Return a line through points, with the looks of a kind; "" for fewer than two points."""
    if len(points) < 2:
        return ""
    return f'<path class="ht-plot-{kind}" {_LOOKS[kind]} fill="none" d="{path_data(points)}"/>'


def area(points: Sequence[Point], kind: str) -> str:
    """Return the filled area within points; "" for fewer than three points."""
    if len(points) < 3:
        return ""
    return f'<path class="ht-plot-{kind}" {_LOOKS[kind]} d="{path_data(points)}Z"/>'


def box(low: Point, high: Point, kind: str) -> str:
    """Return a filled upright box between two opposite corners."""
    return area([low, (high[0], low[1]), high, (low[0], high[1])], kind)


def mark(shape: str, at: Point, size: float, kind: str, *, full: bool = True) -> str:
    """Return a mark about a point: a circle, a diamond, or a triangle ("up", "down", "left", "right")."""
    look = f'class="ht-plot-mark ht-plot-{kind}" {_LOOKS["full" if full else "open"]}'
    if shape == "circle":
        return f'<circle {look} cx="{number(at[0])}" cy="{number(at[1])}" r="{number(size)}"/>'
    corners = [(at[0] + size * x, at[1] + size * y) for x, y in _CORNERS[shape]]
    return f'<path {look} d="{path_data(corners)}Z"/>'


def text(at: Point, words: str, kind: str, *, anchor: str = "start", strong: bool = False) -> str:
    """Return words on a baseline; `at` is its start, middle or end, as `anchor` says."""
    weight = ' font-weight="700"' if strong else ""
    place = f'x="{number(at[0])}" y="{number(at[1])}"'
    return f'<text class="ht-plot-{kind}" {place}{_ANCHORS[anchor]}{weight}>{_escaped(words)}</text>'


def text_width(words: str, *, strong: bool = False) -> float:
    """Return the approximate width of words, in the picture's units; an overestimate."""
    digits = sum(sign in _WIDE for sign in words)
    return DIGIT * digits + (STRONG_LETTER if strong else LETTER) * (len(words) - digits)


def svg(height: float, parts: Iterable[str], alternative: str) -> str:
    """Return the whole picture, 320 units wide. Screen readers read its text alternative alone."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="ht-plot" viewBox="0 0 {WIDTH} {number(height)}"'
        f' role="img" aria-label="{_escaped(alternative)}" fill="currentColor" font-size="{FONT}">'
    )
    return "".join((head, *parts, "</svg>"))


def path_data(points: Sequence[Point]) -> str:
    """Return the `d` attribute of a path with straight lines through points."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def _escaped(words: str) -> str:
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        words = words.replace(sign, name)
    return words

"""Turns shapes in m into SVG on a sheet 320 units wide, with classes alone: looks are in the style sheet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from build_tools.drawing.shapes import Arrow, Circle, Line, Shape
from build_tools.shown.html_parts import tag
from calculators.drawing.svg import number, path_data
from calculators.shared.spring_geometry import Point

HEAD = 9
"""Length of an arrow's head, in the sheet's units."""
_SLENDER = {"dimension": 6}


@dataclass(frozen=True, slots=True)
class View:
    """How meters map to the sheet: `scale` units for 1 m, and where the origin is, in units."""

    scale: float
    origin: Point

    def at(self, point: Point) -> Point:
        """Return a point, given in m, in the sheet's units, where y points down."""
        return self.origin[0] + self.scale * point[0], self.origin[1] - self.scale * point[1]

    def down(self, by: float) -> View:
        """Return the same view, `by` units lower on the sheet."""
        return View(self.scale, (self.origin[0], self.origin[1] + by))


def drawn(shapes: Iterable[Shape], view: View) -> Markup:
    """Return shapes as SVG, each drawn over those before it."""
    return Markup("").join(_shape(shape, view) for shape in shapes)


def _shape(shape: Shape, view: View) -> Markup:
    if isinstance(shape, Circle):
        x, y = view.at(shape.at)
        return tag(
            "circle",
            class_=_class(shape.kind),
            cx=number(x),
            cy=number(y),
            r=number(view.scale * shape.radius),
        )
    points = [view.at(point) for point in shape.points]
    if isinstance(shape, Arrow):
        return _arrow(shape, points)
    return path(shape.kind, points, closed=isinstance(shape, Line) and shape.closed)


def path(kind: str, points: Sequence[Point], *, closed: bool = False) -> Markup:
    """Return a line, or the area that it closes, through points in the sheet's units."""
    return tag("path", class_=_class(kind), d=path_data(points) + ("Z" if closed else ""))


def _arrow(arrow: Arrow, points: list[Point]) -> Markup:
    size = _SLENDER.get(arrow.kind, HEAD)
    heads = [_head(points, size)]
    if arrow.both:
        heads.append(_head(points[::-1], size))
        points = _cut(points[::-1], size)[::-1]
    parts = [path(arrow.kind, _cut(points, size)), *(path("head", head, closed=True) for head in heads)]
    return Markup("").join(parts)


def _cut(points: list[Point], size: float) -> list[Point]:
    """Return an arrow's line shortened to end inside its head, so that the tip stays sharp."""
    kept = [point for point in points if math.dist(point, points[-1]) > 0.7 * size] or points[:1]
    tip, last = points[-1], kept[-1]
    share = 1 - 0.6 * size / max(math.dist(last, tip), 1e-9)
    return [*kept, (last[0] + share * (tip[0] - last[0]), last[1] + share * (tip[1] - last[1]))]


def _head(points: Sequence[Point], size: float) -> list[Point]:
    tip = points[-1]
    tail = next((point for point in reversed(points) if math.dist(point, tip) >= size), points[0])
    angle = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    sides = [
        (tip[0] - size * math.cos(angle + turn), tip[1] - size * math.sin(angle + turn))
        for turn in (0.42, -0.42)
    ]
    return [tip, *sides]


def _class(kind: str) -> str:
    return f"ht-draw-{kind}"

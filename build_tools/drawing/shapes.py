"""What a drawing is made of before it becomes SVG: lines, areas and circles in m, each with a kind.

Kinds are classes of build_tools/browser/style/drawing.css, which alone says how each one looks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from calculators.shared.spring_geometry import Point, turned


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points, or the area that it closes."""

    kind: str
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about `at`."""

    kind: str
    at: Point
    radius: float


@dataclass(frozen=True, slots=True)
class Arrow:
    """A line with a head at its end, and with `both` one at its start, too."""

    kind: str
    points: tuple[Point, ...]
    both: bool = False


Shape = Line | Circle | Arrow


def area(kind: str, *points: Point) -> Line:
    """Return a closed area."""
    return Line(kind, points, closed=True)


def line(kind: str, *points: Point) -> Line:
    """Return an open line."""
    return Line(kind, points)


def box(kind: str, low: Point, high: Point) -> Line:
    """Return an upright box between two opposite corners."""
    return area(kind, low, (high[0], low[1]), high, (low[0], high[1]))


def arc(center: Point, radius: float, start_deg: float, end_deg: float) -> tuple[Point, ...]:
    """Return points about every three degrees along an arc, both ends included."""
    pieces = max(2, math.ceil(abs(end_deg - start_deg) / 3))
    angles = (start_deg + (end_deg - start_deg) * piece / pieces for piece in range(pieces + 1))
    return tuple(shifted(center, turned((radius, 0), angle)) for angle in angles)


def shifted(point: Point, by: Point) -> Point:
    """Return a point moved by a vector."""
    return point[0] + by[0], point[1] + by[1]


def between(start: Point, end: Point, share: float) -> Point:
    """Return a point on the line between two; `share` is 0 at the start and 1 at the end."""
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


@dataclass(frozen=True, slots=True)
class Along:
    """Coordinates along a line: x from its start toward its end, y to the left of it."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """The distance from start to end."""
        return math.dist(self.start, self.end)

    def at(self, x: float, y: float = 0) -> Point:
        """Return the point with these coordinates."""
        angle = math.degrees(math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0]))
        return shifted(self.start, turned((x, y), angle))

    def box(self, kind: str, low: Point, high: Point) -> Line:
        """Return a box between two opposite corners in these coordinates."""
        return area(kind, self.at(*low), self.at(high[0], low[1]), self.at(*high), self.at(low[0], high[1]))


def moved(shapes: Iterable[Shape], by: Point) -> Iterator[Shape]:
    """Yield shapes moved by a vector."""
    for shape in shapes:
        if isinstance(shape, Circle):
            yield replace(shape, at=shifted(shape.at, by))
        else:
            yield replace(shape, points=tuple(shifted(point, by) for point in shape.points))


def coil(axis: Along, start: float, end: float, radius: float, turns: int) -> Iterator[Shape]:
    """Yield a small tension spring from the side: the near half of each turn bold, the far half thin.

    `start` and `end` are distances along the axis.
    """
    pitch = (end - start) / turns
    for turn in range(turns):
        low = start + turn * pitch
        yield line("coil", axis.at(low + 0.15 * pitch, -radius), axis.at(low + 0.85 * pitch, radius))
        if turn + 1 < turns:
            yield line("coil-far", axis.at(low + 0.85 * pitch, radius), axis.at(low + 1.15 * pitch, -radius))


def thick_coil(axis: Along, start: float, end: float, radius: float, turns: int) -> Iterator[Shape]:
    """Yield a large tension spring from the side: the wire of each turn with its two edges."""
    pitch = (end - start) / turns
    for turn in range(turns):
        low = start + turn * pitch
        stroke = axis.at(low + 0.2 * pitch, -radius), axis.at(low + 0.8 * pitch, radius)
        yield line("wire", *stroke)
        yield line("wire-core", *stroke)


def hatch(start: Point, end: Point, depth: float, spacing: float) -> Iterator[Shape]:
    """Yield short strokes at 45 degrees to the right of a line, the usual hatching of ground."""
    edge = Along(start, end)
    count = int(edge.length / spacing)
    for number in range(count):
        x = (number + 0.5) * edge.length / count
        yield line("hatch", edge.at(x), edge.at(x - depth, -depth))


def break_line(start: Point, end: Point, size: float) -> Line:
    """Return a line with a zigzag in its middle, which means that the part continues beyond it."""
    edge = Along(start, end)
    half = edge.length / 2
    return line(
        "thin",
        edge.at(0),
        edge.at(half - size),
        edge.at(half - size / 2, size),
        edge.at(half + size / 2, -size),
        edge.at(half + size),
        edge.at(edge.length),
    )


def points_of(shapes: Sequence[Shape]) -> Iterator[Point]:
    """Yield points that bound the shapes: all those of lines, two corners around each circle."""
    for shape in shapes:
        if isinstance(shape, Circle):
            (x, y), r = shape.at, shape.radius
            yield from ((x - r, y - r), (x + r, y + r))
        else:
            yield from shape.points

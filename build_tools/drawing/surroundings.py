"""What does not move with the leveler: the dock in section along the pit, keepers, a bumper, the truck."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from build_tools.drawing.geometry import DECK, Geometry
from build_tools.drawing.shapes import Shape, area, box, break_line, hatch, line

LEFT, RIGHT = -0.26, 0.86
"""How far the drawing reaches behind the hinge (negative) and beyond the lip's hinge, m."""
BELOW = 0.16
"""How far the drawing reaches under the pit's floor, m."""
_WALL = -0.1
CURB = 0.2
"""Height of the pit's front wall, m."""
BUMPER = 0.13
"""How far the bumpers project from the dock's face, m."""
FACE = -0.032
"""Position of the dock's face from the lip's hinge, m."""


def dock(geometry: Geometry) -> Iterator[Shape]:
    """Yield floor, pit and face of the dock in section, and the frame that carries the hinge."""
    floor, bottom = -geometry.pit_depth, -geometry.pit_depth - BELOW
    face = geometry.platform_length + FACE
    edge = [
        (LEFT, DECK),
        (_WALL, DECK),
        (_WALL, floor),
        (face - 0.11, floor),
        (face - 0.11, floor + CURB),
        (face, floor + CURB),
        (face, bottom),
    ]
    yield area("concrete", *edge, (LEFT, bottom))
    yield line("edge", *edge)
    for start, end in pairwise(edge):
        yield from hatch(start, end, 0.04, 0.075)
    yield box("part", (_WALL, floor), (_WALL + 0.035, 0.0))
    yield area("part", (_WALL, -0.09), (_WALL, 0.022), (-0.01, 0.022), (0.022, -0.022))


def keepers(geometry: Geometry) -> Iterator[Shape]:
    """Yield a keeper: a bracket on the front wall with a pocket for the lip's end."""
    hinge, floor, top = geometry.platform_length, geometry.keeper_floor, geometry.keeper_top
    face, under = hinge + FACE, floor - 0.03
    yield area(
        "keeper",
        (face, floor),
        (hinge + 0.062, floor),
        (hinge + 0.062, top - 0.02),
        (hinge + 0.088, top),
        (hinge + 0.094, under),
        (hinge + 0.05, under - 0.02),
        (face, under - 0.1),
    )


def bumper(geometry: Geometry) -> Iterator[Shape]:
    """Yield the bumper on the far side of the leveler, to be drawn behind everything."""
    face = geometry.platform_length + FACE
    yield box("rubber", (face, -0.62), (face + BUMPER, -0.1))


def truck(geometry: Geometry, bed: float, gone: float = 0.0) -> Iterator[Shape]:
    """Yield the rear of a truck with its bed at a height `bed`, m, `gone` m away from the bumpers."""
    start = geometry.platform_length + FACE + BUMPER + gone
    end = geometry.platform_length + RIGHT - 0.04
    yield area(
        "truck", (start, bed), (end, bed), (end, bed - 0.13), (start + 0.03, bed - 0.13), (start, bed - 0.1)
    )
    yield line("thin", (start + 0.02, bed - 0.035), (end, bed - 0.035))
    yield box("truck", (start + 0.1, bed - 0.34), (start + 0.15, bed - 0.13))
    yield box("truck", (start + 0.04, bed - 0.42), (start + 0.21, bed - 0.34))
    yield break_line((end, bed + 0.06), (end, bed - 0.2), 0.03)

"""The adjusting nut with its jam nut, from the side and from its end: half turn, painted line, thread.

Sizes are in m, for a rod of about an inch; they are the same for every leveler.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from build_tools.drawing.geometry import Geometry
from build_tools.drawing.shapes import Arrow, Circle, Shape, arc, area, box, break_line, line, moved, shifted
from build_tools.drawing.sheet import Drawing, Label
from calculators.shared.spring_geometry import Point, turned

ROD = 0.0125
"""Radius of the rod, m."""
_CORNER = 0.0255
"""Distance from a nut's middle to its corners, m."""
_PITCH = 0.0052
_LEFT, _END = -0.135, 0.092
_THREAD, _PLATE = -0.092, 0.014
_NUT, _JAM = (0.003, 0.027), (0.0285, 0.0405)
END_VIEW: Point = (0.178, 0.0)
"""The middle of the second nut, which is seen from its end, m."""


def adjusting_nut(geometry: Geometry) -> Drawing:
    """Return the drawing of the nuts; no size of the leveler matters here."""
    del geometry
    shapes = (*_rod(), *_plate(), *_nuts(), *_paint(), *_rooms(), *moved(_from_its_end(), END_VIEW))
    labels = (
        Label(term="spring-rod", at=(-0.115, 0.006)),
        Label(term="spring-anchor", at=(-0.007, 0.043)),
        Label(term="adjusting-nut", at=(0.013, 0.018)),
        Label(term="jam-nut", at=(0.0345, 0.014)),
        Label(term="half-turn", at=shifted(END_VIEW, turned((0.0385, 0), 55))),
        Label(note="to-tighten", at=((_THREAD - _PLATE) / 2, -0.038), below=True),
        Label(term="painted-line", at=(0.0155, 0.0), below=True),
        Label(note="to-loosen", at=((_JAM[1] + _END) / 2 + 0.01, -0.038), below=True),
    )
    return Drawing(shapes=shapes, labels=labels, low=(_LEFT, -0.066), high=(END_VIEW[0] + 0.05, 0.06))


def _rod() -> Iterator[Shape]:
    yield area(
        "part",
        (_LEFT - 0.01, -ROD),
        (_END - 0.003, -ROD),
        (_END, -ROD + 0.003),
        (_END, ROD - 0.003),
        (_END - 0.003, ROD),
        (_LEFT - 0.01, ROD),
    )
    turns = int((_END - 0.004 - _THREAD) / _PITCH)
    for turn in range(turns):
        x = _THREAD + turn * _PITCH
        yield line("thin", (x, -ROD), (x + _PITCH / 2, ROD))
    yield break_line((_LEFT + 0.003, -0.03), (_LEFT + 0.003, 0.03), 0.006)


def _plate() -> Iterator[Shape]:
    """Yield the frame's plate in section, above and below the rod."""
    for low, high in ((-0.056, -ROD - 0.002), (ROD + 0.002, 0.056)):
        yield box("part", (-_PLATE, low), (0.0, high))
        count = round((high - low - _PLATE) / 0.008)
        for place in range(count + 1):
            y = low + place * (high - low - _PLATE) / count
            yield line("hatch", (-_PLATE, y), (0.0, y + _PLATE))


def _nuts() -> Iterator[Shape]:
    for low, high in (_NUT, _JAM):
        yield box("part", (low, -_CORNER), (high, _CORNER))
        for side in (-1, 1):
            yield line("thin", (low, side * _CORNER / 2), (high, side * _CORNER / 2))


def _paint() -> Iterator[Shape]:
    yield line("paint", (_NUT[0] + 0.003, 0.0), (_JAM[1] + 0.022, 0.0))


def _rooms() -> Iterator[Shape]:
    """Yield the dimension lines of the two lengths of thread that are left."""
    for low, high in ((_THREAD, -_PLATE), (_JAM[1], _END)):
        for x in (low, high):
            yield line("thin", (x, -ROD - 0.003), (x, -0.042))
        yield Arrow("dimension", ((low, -0.038), (high, -0.038)), both=True)


def _from_its_end() -> Iterator[Shape]:
    yield area("part", *(turned((_CORNER, 0), 60 * corner) for corner in range(6)))
    yield Circle("thin", (0, 0), _CORNER * math.cos(math.radians(30)) - 0.0008)
    yield Circle("part", (0, 0), ROD)
    yield Circle("thin", (0, 0), ROD - 0.002)
    yield line("paint", (0, 0.003), (0, _CORNER - 0.006))
    yield box("thin", (-0.0035, -_CORNER + 0.006), (0.0035, -0.003))
    yield Arrow("motion", arc((0, 0), 0.0385, 84, -84), both=True)

"""The mainspring from anchor to anchor: hook, coils, rod, and the nuts that hold it at the frame."""

from __future__ import annotations

from collections.abc import Iterator

from build_tools.drawing.pose import Pose
from build_tools.drawing.shapes import Along, Circle, Shape, box, coil, line, thick_coil

ROD = 0.3
"""Length from the last coil to the frame's anchor, m, which does not stretch."""
HOOK = 0.07
"""Length from the platform's anchor to the first coil, m."""
RADIUS = 0.05
"""Distance from the spring's axis to the middle of its wire, m."""
_PLATE = 0.022


def mainspring(pose: Pose, *, large: bool = False) -> Iterator[Shape]:
    """Yield one mainspring with its rod and its nuts, between the anchors of the calculator."""
    spring = Along(*pose.spring_ends)
    coils_end = spring.length - ROD
    foot = pose.geometry.frame_anchor[1] - 0.1 if large else -pose.geometry.pit_depth
    yield from anchor(pose, foot)
    if large:
        yield spring.box("part", (coils_end - 0.02, -0.009), (spring.length + 0.125, 0.009))
    else:
        yield line("rod", spring.at(coils_end), spring.at(spring.length + 0.125))
    yield line("rod", spring.at(0), spring.at(HOOK))
    if large:
        yield from thick_coil(spring, HOOK, coils_end, RADIUS, 15)
    else:
        yield from coil(spring, HOOK, coils_end, RADIUS, 11)
    yield Circle("solid", spring.at(0), 0.016)
    yield spring.box("part", (spring.length, -0.042), (spring.length + 0.05, 0.042))
    yield line("thin", spring.at(spring.length, 0.014), spring.at(spring.length + 0.05, 0.014))
    yield spring.box("part", (spring.length + 0.056, -0.036), (spring.length + 0.078, 0.036))


def anchor(pose: Pose, foot: float) -> Iterator[Shape]:
    """Yield the frame's plate through which the rod passes, down to `foot`, m; its far face is the anchor."""
    x, y = pose.geometry.frame_anchor
    yield box("part", (x - _PLATE, foot), (x, y + 0.075))
    if foot < y - 0.2:
        yield line("thin", (x - _PLATE, y - 0.075), (x - 0.1, foot))


def nut_at(pose: Pose) -> tuple[float, float]:
    """Return the middle of the adjusting nut."""
    spring = Along(*pose.spring_ends)
    return spring.at(spring.length + 0.025, -0.02)


def coils_at(pose: Pose, share: float = 0.5) -> tuple[float, float]:
    """Return a point on the axis of the coils, at a share of their length."""
    spring = Along(*pose.spring_ends)
    return spring.at(HOOK + share * (spring.length - ROD - HOOK), 0)

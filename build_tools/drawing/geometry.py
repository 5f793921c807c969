"""The leveler that is drawn: the counterbalance's lengths, and the sizes that only a drawing needs.

The hinge is the origin, x points toward the lip, y up; lengths in m, angles in degrees upward from level, as
in calculators/counterbalance. Sizes that a leveler class's row has under that calculator's names come from
the row; the rest are those of PRACTICE, an invented leveler that no maker builds.

Source: sizes of an ordinary pit leveler as a technician meets it, common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from calculators.shared.spring_geometry import Point, Spring

DECK = 0.035
"""Thickness of platform and lip, m; the upper sides of both are on the line of the hinges."""
BEAM = 0.1
"""Depth of the platform's beams below that line, m."""
ROOM = 0.02
"""The hanging lip clears the keepers by this while the fold is timed, m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Geometry:
    """A leveler in its pit. The first three are the calculator's inputs of the same names."""

    platform_length: float
    frame_anchor: Point
    platform_anchor: Point
    lip_length: float
    pit_depth: float
    highest: float
    """The platform's angle when fully up."""
    lowest: float
    """Its angle on a low truck bed."""

    @property
    def spring(self) -> Spring:
        """The mainspring, for its length alone; its forces are not drawn."""
        return Spring(
            frame_anchor=self.frame_anchor,
            platform_anchor=self.platform_anchor,
            count=1,
            rate=1,
            initial_tension=0,
            free_length=1,
            half_turn_m=0,
        )

    @property
    def keeper_floor(self) -> float:
        """Height of the lip's end at rest, m: the level platform is carried by the lip in its keepers."""
        return -self.lip_length

    @property
    def keeper_top(self) -> float:
        """Height of the upper edge of the keepers' outer cheek, m."""
        return self.keeper_floor + 0.07

    @property
    def timing_angle(self) -> float:
        """The platform's angle at which the hanging lip just clears the keepers, degrees."""
        return math.degrees(math.asin((self.keeper_top + ROOM + self.lip_length) / self.platform_length))


PRACTICE = Geometry(
    platform_length=1.83,
    frame_anchor=(0.98, -0.44),
    platform_anchor=(0.03, -0.4),
    lip_length=0.42,
    pit_depth=0.68,
    highest=12,
    lowest=-5,
)
NAMES = (
    "platform_length_m",
    "frame_anchor_x_m",
    "frame_anchor_y_m",
    "platform_anchor_x_m",
    "platform_anchor_y_m",
)
"""The figures of a leveler class's row that a drawing uses, by the names of the counterbalance's inputs."""
_BOUNDS = {
    "platform_length_m": (1.75, 3.0),
    "frame_anchor_x_m": (0.7, 1.1),
    "frame_anchor_y_m": (-0.6, -0.25),
    "platform_anchor_x_m": (-0.02, 0.2),
    "platform_anchor_y_m": (-0.6, -0.25),
}
"""Within these limits the parts of the drawing do not overlap, m."""


def geometry_of(figures: Mapping[str, Mapping[str, Any]]) -> Geometry:
    """Return the geometry of a leveler class from the figures of its row, and for the rest from PRACTICE."""
    given = {name: float(figures[name]["value"]) for name in NAMES if name in figures}
    frame, platform = PRACTICE.frame_anchor, PRACTICE.platform_anchor
    return replace(
        PRACTICE,
        platform_length=given.get("platform_length_m", PRACTICE.platform_length),
        frame_anchor=(given.get("frame_anchor_x_m", frame[0]), given.get("frame_anchor_y_m", frame[1])),
        platform_anchor=(
            given.get("platform_anchor_x_m", platform[0]),
            given.get("platform_anchor_y_m", platform[1]),
        ),
    )


def not_drawable(figures: Mapping[str, Mapping[str, Any]]) -> list[tuple[str, float, float, float]]:
    """Return (name, value, lowest, highest), in m, for each figure of a row that no drawing can show."""
    beyond = []
    for name, (low, high) in _BOUNDS.items():
        value = float(figures[name]["value"]) if name in figures else None
        if value is not None and not low <= value <= high:
            beyond.append((name, value, low, high))
    return beyond

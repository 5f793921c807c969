"""Where the moving parts are: the angles of platform and lip, and the points that follow from them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from build_tools.drawing.geometry import BEAM, Geometry
from build_tools.drawing.shapes import between, shifted
from calculators.shared.spring_geometry import Point, turned

HANGING = -90.0
"""The angle of a hanging lip from level, degrees, whatever the platform's angle."""
LEVER = 0.1
"""Length of each arm of the lip-assist lever, and of the lug of the lip, m."""
_LUG_DEG, _TOP_OUT_DEG = -60, 50
"""Directions of the lip's lug and of the lever's upper arm while the lip is out, degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """The position of platform and lip at one moment. Angles in degrees upward from level."""

    geometry: Geometry
    platform: float = 0.0
    lip: float = HANGING

    def on_platform(self, x: float, y: float) -> Point:
        """Return where a point is whose coordinates are given along the platform, from its hinge, m."""
        return turned((x, y), self.platform)

    @property
    def lip_hinge(self) -> Point:
        """The hinge between platform and lip."""
        return self.on_platform(self.geometry.platform_length, 0)

    def on_lip(self, x: float, y: float) -> Point:
        """Return where a point is whose coordinates are given along the lip, from its hinge, m."""
        return shifted(self.lip_hinge, turned((x, y), self.lip))

    @property
    def lip_end(self) -> Point:
        """The end of the lip, on the line of its hinge."""
        return self.on_lip(self.geometry.lip_length, 0)

    @property
    def spring_ends(self) -> tuple[Point, Point]:
        """The mainspring's two anchors, the platform's first."""
        return self.on_platform(*self.geometry.platform_anchor), self.geometry.frame_anchor


@dataclass(frozen=True, slots=True, kw_only=True)
class LipLever:
    """The lever between lip-assist spring and lip; points are along the platform, from its hinge."""

    bracket: Point
    """The spring's end on the platform."""
    bottom: Point
    """The spring's end on the lever."""
    pivot: Point
    top: Point
    lug: Point
    """Where the link from the lever's top meets the lip."""


def lip_lever(pose: Pose) -> LipLever:
    """Return the position of the lever, which follows from the lip's angle since the link keeps its length.

    Raises:
        ValueError: the lip is turned farther than the link can follow.
    """
    length = pose.geometry.platform_length
    pivot = (length - 0.22, -BEAM - 0.1)
    out = _lug(length, 0)
    link = math.dist(shifted(pivot, turned((LEVER, 0), _TOP_OUT_DEG)), out)
    lug = _lug(length, pose.lip - pose.platform)
    away = math.dist(pivot, lug)
    toward = math.degrees(math.atan2(lug[1] - pivot[1], lug[0] - pivot[0]))
    cosine = (LEVER**2 + away**2 - link**2) / (2 * LEVER * away)
    top = shifted(pivot, turned((LEVER, 0), toward + math.degrees(math.acos(cosine))))
    return LipLever(
        bracket=(length - 0.56, pivot[1] - 0.077),
        bottom=between(top, pivot, 2),
        pivot=pivot,
        top=top,
        lug=lug,
    )


def _lug(length: float, lip_to_platform: float) -> Point:
    return shifted((length, 0), turned((LEVER, 0), _LUG_DEG + lip_to_platform))

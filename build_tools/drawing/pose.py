"""Where the moving parts stand: the platform's angle, the lip's, and what follows from them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from build_tools.drawing.geometry import BEAM, Geometry
from build_tools.drawing.shapes import between, shifted
from calculators.shared.spring_geometry import Point, turned

HANGING = -90.0
"""The lip's angle from level while it hangs, whatever the platform's."""
LEVER = 0.1
"""Each arm of the lip-assist lever, m, and the lug of the lip that it pushes."""
_LUG_DEG, _TOP_OUT_DEG = -60, 50
"""Directions, with the lip out, of its lug from its hinge and of the lever's upper arm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """One moment. Angles in degrees upward from level."""

    geometry: Geometry
    platform: float = 0.0
    lip: float = HANGING

    def on_platform(self, x: float, y: float) -> Point:
        """Return where a point of the platform's own axes lies."""
        return turned((x, y), self.platform)

    @property
    def lip_hinge(self) -> Point:
        """Where platform and lip are joined."""
        return self.on_platform(self.geometry.platform_length, 0)

    def on_lip(self, x: float, y: float) -> Point:
        """Return where a point of the lip's own axes lies; x runs from its hinge to its end."""
        return shifted(self.lip_hinge, turned((x, y), self.lip))

    @property
    def lip_end(self) -> Point:
        """The end of the lip, on the line of its hinge."""
        return self.on_lip(self.geometry.lip_length, 0)

    @property
    def spring_ends(self) -> tuple[Point, Point]:
        """The mainspring's two anchors, platform's first."""
        return self.on_platform(*self.geometry.platform_anchor), self.geometry.frame_anchor


@dataclass(frozen=True, slots=True, kw_only=True)
class LipLever:
    """The lever between lip-assist spring and lip, in the platform's axes."""

    bracket: Point
    """The spring's end on the platform."""
    bottom: Point
    """The spring's end on the lever."""
    pivot: Point
    top: Point
    lug: Point
    """Where the link from the lever's top pushes the lip."""


def lip_lever(pose: Pose) -> LipLever:
    """Return how the lever stands: its link keeps its length, so the lip's angle decides.

    Raises ValueError where the lip is turned farther than the link can follow.
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

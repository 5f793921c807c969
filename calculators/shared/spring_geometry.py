"""A spring between a fixed point and a point of a rotating platform: its length, its lever arm, its pull.

The hinge is the origin, x points toward the lip, y up; a positive angle turns the platform up. With the
frame's anchor A, and the platform's anchor B after the rotation, the spring pulls B toward A with force F:

    L = |A - B|          moment about the hinge = F (Bx Ay - By Ax) / L = F arm

Source: the moment as the cross product M = r x F in the plane, any text on statics, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

TAUT_M = 1e-9
"""A spring extended by less than this, m, is slack: the rest is rounding, a few times an atom's width."""
LEAST_LENGTH_M = 1e-3
"""Anchors closer than this, m, count as meeting: the direction of the pull is then undefined."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """One spring, or `count` equal ones side by side. Lengths in m, rate in N/m, tension in N."""

    frame_anchor: Point
    platform_anchor: Point
    """In the platform's own coordinates, which are the frame's while the platform is level."""
    count: int
    rate: float
    initial_tension: float
    free_length: float
    """The distance between the anchors at which the spring begins to pull, at half turn 0."""
    half_turn_m: float
    """By how much one half turn of the nut shortens the free length: half the thread's pitch."""

    def length_at(self, angle_deg: float) -> float:
        """Return the distance between its anchors, m."""
        return math.dist(self.frame_anchor, turned(self.platform_anchor, angle_deg))

    def length_and_arm(self, angle_deg: float) -> tuple[float, float]:
        """Return the length and the arm of the pull about the hinge, m; the arm is above 0 where it lifts.

        Raises:
            ZeroDivisionError: the anchors meet.
        """
        (ax, ay), (bx, by) = self.frame_anchor, turned(self.platform_anchor, angle_deg)
        length = math.hypot(ax - bx, ay - by)
        return length, (bx * ay - by * ax) / length

    def extension(self, length: float, half_turns: float) -> float:
        """Return by how much a spring of this length is longer than its free length, m; below 0 if slack."""
        return length - self.free_length + half_turns * self.half_turn_m

    def force(self, length: float, half_turns: float) -> float:
        """Return the pull of one spring of this length, m, in N; 0 where it is slack."""
        extension = self.extension(length, half_turns)
        return self.initial_tension + self.rate * extension if extension > TAUT_M else 0.0

    def extension_for(self, force: float) -> float:
        """Return the extension, m, above which the pull exceeds a force of at least 0 N."""
        return max(TAUT_M, (force - self.initial_tension) / self.rate)

    def dead_center_deg(self) -> float:
        """Return the angle, -180 to 180 degrees, at which both anchors are in line on one side of the hinge.

        There the spring is shortest and has no moment. The angle is rounded to a billionth of a degree, so
        that a round angle is not listed twice.
        """
        (ax, ay), (bx, by) = self.frame_anchor, self.platform_anchor
        apart = math.degrees(math.atan2(ay, ax) - math.atan2(by, bx))
        return round(math.remainder(apart, 360), 9)


def turned(point: Point, angle_deg: float) -> Point:
    """Return a point of the platform's own coordinates in the frame's, with the platform turned up."""
    angle = math.radians(angle_deg)
    cosine, sine = math.cos(angle), math.sin(angle)
    return point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine

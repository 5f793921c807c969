"""The moments on a platform about its hinge at one angle: springs, weight, friction, and a person on it.

Moments are positive upward. With the platform's center of mass c along it, and the lip's at (x, y):

    gravity = -g (m_platform c cos t + m_lip (x cos t - y sin t))

While the platform rises, friction reduces the net moment; while it is walked down, friction adds to it. A
person at x along the platform pushes straight down, so the force that just moves it down is the net moment
divided by x cos t.

Source: the moment of a force, M = r x F in the plane, as in any text on statics; standard gravity
9.80665 m/s2, 3rd General Conference on Weights and Measures, 1901. Both from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.shared.spring_geometry import Point, Spring, turned

GRAVITY = 9.80665
"""Standard gravity, m/s2."""
FINE_STEPS = 10
"""Angles per degree among which extremes are looked for; between two, a moment bends by under a millionth."""
CURVE_SPACINGS_DEG = (0.25, 0.5, 1, 2, 5)
CURVE_ROWS = 40
"""About as many rows as a person would read; the smallest spacing that needs no more is taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leveler:
    """A leveler, whatever the setting of its springs. SI units; angles in degrees.

    Centers of mass and points are along the platform, from its hinge.
    """

    platform_mass: float
    platform_center: float
    lip_mass: float
    lip_stored: Point
    lip_extended: Point
    spring: Spring
    friction: float
    foot_x: float
    """Where the person stands."""

    def at(self, angle_deg: float) -> Position:
        """Return everything at one angle that no half turn changes."""
        length, arm = self.spring.length_and_arm(angle_deg)
        across = math.cos(math.radians(angle_deg))
        platform = self.platform_mass * self.platform_center * across
        rising = platform + self.lip_mass * turned(self.lip_stored, angle_deg)[0]
        walking = platform + self.lip_mass * turned(self.lip_extended, angle_deg)[0]
        return Position(
            angle_deg=angle_deg,
            spring_length=length,
            arm=self.spring.count * arm,
            gravity_rising=-GRAVITY * rising,
            gravity_walking=-GRAVITY * walking,
            foot_arm=self.foot_x * across,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A leveler at one angle: lengths in m, moments in N m, positive upward."""

    angle_deg: float
    spring_length: float
    arm: float
    """The sum of the arms of all springs: times the pull of one, it is their moment."""
    gravity_rising: float
    gravity_walking: float
    foot_arm: float

    def net_rising(self, force: float, friction: float) -> float:
        """Return the net moment that lifts the platform, N m, with the lip stored.

        Args:
            force: the pull of one spring, N.
            friction: the moment of friction, N m.
        """
        return force * self.arm + self.gravity_rising - friction

    def net_walking(self, force: float, friction: float) -> float:
        """Return the net moment that holds the platform up, N m, with the lip extended, in the same way."""
        return force * self.arm + self.gravity_walking + friction

    def walk_down_force(self, force: float, friction: float) -> float:
        """Return the person's force, N, that just moves the platform down; 0 where it comes by itself."""
        return max(0.0, self.net_walking(force, friction) / self.foot_arm)


def fine_angles(low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    """Return the angles in degrees to search for extremes: every tenth, both ends, dead center."""
    first, last = math.ceil(low_deg * FINE_STEPS), math.floor(high_deg * FINE_STEPS)
    inner = [tenths / FINE_STEPS for tenths in range(first, last + 1)]
    return _with_ends(inner, low_deg, high_deg, dead_center_deg)


def curve_angles(low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    """Return the angles of a curve that people read: at most about 40 round ones, both ends, dead center."""
    travel, widest = high_deg - low_deg, CURVE_SPACINGS_DEG[-1]
    spacing = next((spacing for spacing in CURVE_SPACINGS_DEG if travel <= spacing * CURVE_ROWS), widest)
    first, last = math.ceil(low_deg / spacing), math.floor(high_deg / spacing)
    inner = [float(spacing * count) for count in range(first, last + 1)]
    return _with_ends(inner, low_deg, high_deg, dead_center_deg)


def _with_ends(inner: list[float], low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    between = (angle for angle in (*inner, dead_center_deg) if low_deg < angle < high_deg)
    return sorted({low_deg, high_deg, *between})

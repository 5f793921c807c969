"""What turns a platform about its hinge at one angle: its springs, its weight, friction, and a person on it.

Moments count upward. Weight with the platform's centre c along it and the lip's centre at (x, y):

    gravity = -g (m_platform c cos t + m_lip (x cos t - y sin t))

Rising, friction takes from the net moment; walking down, it adds to it. A person at x along the platform
pushes straight down, so the force that just moves it down is the net moment over x cos t.

Source: standard gravity 9.80665 m/s2, 3rd General Conference on Weights and Measures, 1901, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.shared.spring_geometry import Point, Spring, turned

GRAVITY = 9.80665
"""Standard gravity, m/s2."""
FINE_STEPS = 10
"""Angles a degree at which extremes are looked for: between two, a moment bends by less than a millionth."""
CURVE_STEPS_DEG = (0.25, 0.5, 1, 2, 5)
CURVE_ROWS = 40
"""About as many rows as a person would read; the finest step that needs no more is taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leveler:
    """A leveler as it stands, whatever the setting of its springs. SI units; angles in degrees."""

    platform_mass: float
    platform_center: float
    lip_mass: float
    lip_stored: Point
    lip_extended: Point
    spring: Spring
    friction: float
    foot_x: float
    """Where the person stands, along the platform."""

    def at(self, angle_deg: float) -> Position:
        """Return everything about one angle that no half turn changes."""
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
    """A leveler at one angle: lengths in m, moments in N m, upward above 0."""

    angle_deg: float
    spring_length: float
    arm: float
    """Arms of all springs together: times the pull of one, it gives their moment."""
    gravity_rising: float
    gravity_walking: float
    foot_arm: float

    def net_rising(self, force: float, friction: float) -> float:
        """Return what lifts it, N m, with the lip stored and this pull of one spring, N."""
        return force * self.arm + self.gravity_rising - friction

    def net_walking(self, force: float, friction: float) -> float:
        """Return what holds it up, N m, with the lip extended and this pull of one spring, N."""
        return force * self.arm + self.gravity_walking + friction

    def walk_down_force(self, force: float, friction: float) -> float:
        """Return the weight, N, that walks the platform down here; 0 where it comes down by itself."""
        return max(0.0, self.net_walking(force, friction) / self.foot_arm)


def fine_angles(low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    """Return the angles at which extremes are looked for: tenths of a degree, both ends, dead center."""
    first, last = math.ceil(low_deg * FINE_STEPS), math.floor(high_deg * FINE_STEPS)
    inner = [tenths / FINE_STEPS for tenths in range(first, last + 1)]
    return _with_marks(inner, low_deg, high_deg, dead_center_deg)


def curve_angles(low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    """Return the angles of a curve for people: at most about 40 round ones, both ends, dead center."""
    travel = high_deg - low_deg
    step = next((step for step in CURVE_STEPS_DEG if travel <= step * CURVE_ROWS), CURVE_STEPS_DEG[-1])
    first, last = math.ceil(low_deg / step), math.floor(high_deg / step)
    inner = [float(step * count) for count in range(first, last + 1)]
    return _with_marks(inner, low_deg, high_deg, dead_center_deg)


def _with_marks(inner: list[float], low_deg: float, high_deg: float, dead_center_deg: float) -> list[float]:
    between = (angle for angle in (*inner, dead_center_deg) if low_deg < angle < high_deg)
    return sorted({low_deg, high_deg, *between})

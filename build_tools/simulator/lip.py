"""One lip: what moves it over its arc, and how long it takes to fold against its damper.

The hinge is the origin, x points out of the dock, y up, angles are measured from hanging. The lip-assist
spring runs from a fixed point to a lever opposite the lip and holds it back; the damper runs from a fixed
point to the lip. Quasi-static: everywhere the damper balances what is left of the moment, so the fold time
is the integral of (damping / net moment) over the arc. Inertia is left out (under 0.01 s of 15).

Source: own mechanics. Dry friction is Coulomb's: a moment of its own, and a part that grows with the pull of
the spring on the hinge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)
Points = NDArray[np.float64]
OUT = math.pi / 2
"""The angle of a lip in line with the platform, from hanging."""


@dataclass(frozen=True, kw_only=True)
class Lip:
    """One lip. Points in m, stiffness in N/m, pull and step in N, moments in N m, damping in N s/m."""

    weight_moment: float
    end_angle: float
    spring_anchor: tuple[float, float]
    spring_lever: float
    stiffness: float
    pull: float
    """The spring's pull with the lip out, at half turn 0."""
    step: float
    """What half a turn adds to it."""
    damper_anchor: tuple[float, float]
    damper_lever: float
    damping: float
    friction_moment: float
    friction_radius: float
    """Dry friction of the hinge for one newton of spring pull, m."""

    def fold_time(self, half_turns: float) -> float:
        """Return the fold time, s, with the damper at 20 degrees C; infinite where the lip hangs."""
        moment = self.net_moment(half_turns)
        if moment.min() <= 0:
            return math.inf
        return self.damping * float(np.sum(self._weights * self._leverage / moment))

    def net_moment(self, half_turns: float) -> Points:
        """Return gravity less spring less friction at every node of the arc, N m."""
        pull = self.pull_over_arc(half_turns)
        held = pull * (self.spring_arm + self.friction_radius)
        return self.weight_moment * np.sin(self._angles) - held - self.friction_moment

    def pull_over_arc(self, half_turns: float) -> Points:
        """Return the spring's pull at every node, N; below 0 it would push, and no leveler is drawn so."""
        return self.pull + self.step * half_turns + self.stiffness * self._stretch

    def rate_for_one_newton(self, half_turns: float) -> float:
        """Return by which share the fold time grows for one newton more of pull, 1/N."""
        moment = self.net_moment(half_turns)
        slowness = self._weights * self._leverage / moment
        gain = slowness * (self.spring_arm + self.friction_radius) / moment
        return float(np.sum(gain) / np.sum(slowness))

    @cached_property
    def _angles(self) -> Points:
        half = (OUT - self.end_angle) / 2
        return np.asarray(self.end_angle + half * (1 + _NODES))

    @cached_property
    def _weights(self) -> Points:
        return np.asarray((OUT - self.end_angle) / 2 * _WEIGHTS)

    @cached_property
    def spring_arm(self) -> Points:
        """Distance of the spring's line from the hinge, m."""
        x, y = self._spring_line(self._angles)
        lever = self.spring_lever * np.cos(self._angles), self.spring_lever * np.sin(self._angles)
        return np.asarray((x * lever[0] + y * lever[1]) / np.hypot(x, y))

    @cached_property
    def _stretch(self) -> Points:
        """How much longer the spring is than with the lip out, m."""
        there = np.hypot(*self._spring_line(self._angles))
        return np.asarray(there - np.hypot(*self._spring_line(np.array([OUT]))))

    def _spring_line(self, angle: Points) -> tuple[Points, Points]:
        x = -self.spring_lever * np.sin(angle) - self.spring_anchor[0]
        return x, self.spring_lever * np.cos(angle) - self.spring_anchor[1]

    @cached_property
    def _leverage(self) -> Points:
        """Square of the damper's stroke for one radian, m^2."""
        x = self.damper_lever * np.sin(self._angles) - self.damper_anchor[0]
        y = -self.damper_lever * np.cos(self._angles) - self.damper_anchor[1]
        along = x * self.damper_lever * np.cos(self._angles) + y * self.damper_lever * np.sin(self._angles)
        return np.asarray((along / np.hypot(x, y)) ** 2)

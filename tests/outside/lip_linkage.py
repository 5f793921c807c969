"""A lip falling against a damper, integrated over its arc: the independent stand-in for a real lip.

Angles are measured from hanging: the lip falls from 90 degrees to the end of its arc. The hinge is the
origin, x points out of the dock, y up. The lip-assist spring runs from an anchor below the platform to a
lever that turns with the lip, opposite to it; the falling lip stretches it, and it holds the lip back.
Quasi-static: the damper balances the net moment everywhere, so the fold time is the integral of damping over
net moment.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(300)
Angles = NDArray[np.float64]
EXTENDED = math.pi / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Linkage:
    """One lip. Lengths in m, stiffness in N/m, moments in N m; damping is set by the fold time as found."""

    anchor: tuple[float, float]
    lever: float
    stiffness: float
    stretch: float
    step_n: float
    """Spring tension that half a turn adds, N."""
    weight_moment: float
    end_degrees: float
    damper: tuple[float, float, float] | None = None
    """Anchor x, y and the lever along the lip, for a damper between two points; None for one at the hinge."""
    as_found_s: float = 15.0
    friction_moment: float = 0.0
    friction_per_tension: float = 0.0
    """Dry friction at the hinge: a moment in N m, and a radius in m by which spring tension adds to it."""

    @property
    def arc(self) -> tuple[Angles, Angles]:
        """Angles and weights of the quadrature over the lip's arc."""
        start, half = math.radians(self.end_degrees), (EXTENDED - math.radians(self.end_degrees)) / 2
        return start + half * (1 + _NODES), half * _WEIGHTS

    def tension(self, angle: Angles, half_turns: float) -> Angles:
        """Spring tension, N."""
        extra = self._length(angle) - self._length(np.array([EXTENDED]))
        return self.stiffness * (self.stretch + extra) + self.step_n * half_turns

    def net_moment(self, angle: Angles, half_turns: float) -> Angles:
        """What is left to move the lip, N m; at or below 0 it stands still."""
        held = self.tension(angle, half_turns) * (self._arm(angle) + self.friction_per_tension)
        return self.weight_moment * np.sin(angle) - held - self.friction_moment

    def carried(self, half_turns: float) -> float:
        """The largest share of the lip's weight moment, anywhere on the arc, that is not left to move it."""
        angle = self.arc[0]
        return float((1 - self.net_moment(angle, half_turns) / (self.weight_moment * np.sin(angle))).max())

    def fold_time(self, half_turns: float) -> float:
        """Fold time, s; infinite where the lip hangs."""
        return self.as_found_s * self._unscaled(half_turns) / self._unscaled(0)

    def damping_at_hinge(self) -> float:
        """The damping that gives the fold time as found, N m s, for a damper at the hinge."""
        return self.as_found_s / self._unscaled(0)

    @cache  # noqa: B019 - linkages are few and live as long as the tests
    def _unscaled(self, half_turns: float) -> float:
        angle, weights = self.arc
        moment = self.net_moment(angle, half_turns)
        if moment.min() <= 0:
            return math.inf
        return float(np.sum(weights * self._damper_leverage(angle) / moment))

    def _length(self, angle: Angles) -> Angles:
        x, y = -self.lever * np.sin(angle) - self.anchor[0], self.lever * np.cos(angle) - self.anchor[1]
        return np.asarray(np.hypot(x, y))

    def _arm(self, angle: Angles) -> Angles:
        """Distance of the spring's line from the hinge, m: how fast it stretches as the lip falls."""
        x, y = -self.lever * np.sin(angle) - self.anchor[0], self.lever * np.cos(angle) - self.anchor[1]
        return np.asarray((x * self.lever * np.cos(angle) + y * self.lever * np.sin(angle)) / np.hypot(x, y))

    def _damper_leverage(self, angle: Angles) -> Angles:
        """The damper's moment for one unit of speed, relative: the square of its stroke for one radian."""
        if self.damper is None:
            return np.ones_like(angle)
        x0, y0, lever = self.damper
        x, y = lever * np.sin(angle) - x0, -lever * np.cos(angle) - y0
        return np.asarray(((x * lever * np.cos(angle) + y * lever * np.sin(angle)) / np.hypot(x, y)) ** 2)


def _linkage(
    x: float,
    y: float,
    lever: float,
    stiffness: float,
    stretch: float,
    step_n: float,
    weight: float,
    end: float,
    damper: tuple[float, float, float] | None = None,
    as_found_s: float = 15.0,
) -> Linkage:
    return Linkage(
        anchor=(x, y),
        lever=lever,
        stiffness=stiffness,
        stretch=stretch,
        step_n=step_n,
        weight_moment=weight,
        end_degrees=end,
        damper=damper,
        as_found_s=as_found_s,
    )


FAR = (
    _linkage(-0.02, -0.36, 0.070, 4700, 0.040, 36, 148, 10, (-0.25, -0.34, 0.102)),
    _linkage(-0.01, -0.46, 0.104, 4600, 0.024, 28, 159, 16),
    _linkage(-0.13, -0.47, 0.046, 1800, 0.040, 38, 102, 15),
    _linkage(-0.10, -0.48, 0.078, 1700, 0.026, 21, 91, 21, (-0.31, -0.35, 0.140)),
    _linkage(-0.09, -0.59, 0.076, 1800, 0.033, 33, 119, 13),
    _linkage(0.01, -0.52, 0.092, 1900, 0.075, 27, 94, 11),
    _linkage(-0.11, -0.57, 0.071, 3700, 0.037, 17, 132, 17, (-0.33, -0.28, 0.100)),
    _linkage(-0.03, -0.56, 0.077, 1700, 0.068, 33, 140, 21),
    _linkage(-0.02, -0.51, 0.052, 4100, 0.025, 37, 136, 21),
    _linkage(-0.14, -0.40, 0.060, 1600, 0.048, 21, 140, 14, (-0.37, -0.50, 0.121)),
    _linkage(0.01, -0.56, 0.079, 2200, 0.076, 15, 124, 12, (-0.32, -0.46, 0.082)),
    _linkage(-0.11, -0.59, 0.049, 4000, 0.058, 21, 113, 18),
)
"""Far from hanging: ten half turns on, the spring still carries at most half of the lip's weight."""

NEAR = (
    _linkage(-0.02, -0.49, 0.099, 4600, 0.077, 40, 119, 12, (-0.32, -0.29, 0.098)),
    _linkage(-0.04, -0.44, 0.100, 5300, 0.048, 13, 91, 21, (-0.26, -0.26, 0.117)),
    _linkage(-0.05, -0.40, 0.113, 2900, 0.070, 30, 103, 16, (-0.34, -0.21, 0.133)),
    _linkage(-0.07, -0.53, 0.113, 1800, 0.046, 33, 95, 12),
    _linkage(-0.11, -0.48, 0.084, 1700, 0.077, 39, 128, 8),
    _linkage(-0.15, -0.35, 0.058, 5200, 0.032, 30, 126, 11),
)
"""Near hanging: ten half turns on, the spring carries more than 0.95 of the weight at some angle."""

STALLING = (
    _linkage(-0.02, -0.36, 0.106, 5600, 0.028, 22, 91, 9, (-0.31, -0.35, 0.133)),
    _linkage(-0.05, -0.47, 0.112, 5600, 0.076, 26, 146, 15),
    _linkage(-0.07, -0.45, 0.088, 4600, 0.036, 20, 96, 10, (-0.32, -0.41, 0.087)),
    _linkage(-0.10, -0.46, 0.083, 5600, 0.056, 30, 159, 10, (-0.30, -0.31, 0.119)),
    _linkage(-0.11, -0.50, 0.115, 3600, 0.035, 36, 126, 23, (-0.22, -0.27, 0.128)),
    _linkage(-0.13, -0.51, 0.099, 3000, 0.061, 22, 99, 13, (-0.35, -0.29, 0.142)),
)
"""Stalling: within ten half turns the lip stands still part of the way down."""

STEEP = (
    _linkage(-0.04, -0.46, 0.118, 2400, 0.073, 152, 99, 8, None, 9.0),
    _linkage(-0.05, -0.60, 0.109, 5100, 0.042, 197, 128, 16, None, 9.0),
    _linkage(-0.11, -0.59, 0.105, 2100, 0.078, 142, 105, 11, None, 9.0),
)
"""Steep: one half turn from 9 s takes the fold close to the window, the next one hangs the lip."""

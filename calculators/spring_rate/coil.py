"""A coil spring of round wire: rate and shear stress from its dimensions.

Source: rate, Wahl factor and stress as in the companion code of a textbook on machine design (example 10.1,
FOSSEE, Scilab Textbook Companion 764, read).
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Coil:
    """Wire diameter and outside diameter, m; active coils; shear modulus of the wire, Pa."""

    wire: float
    outside: float
    active_coils: float
    shear_modulus: float

    @property
    def mean_diameter(self) -> float:
        """Diameter of the coil from wire center to wire center, m."""
        return self.outside - self.wire

    @property
    def index(self) -> float:
        """Mean diameter over wire diameter."""
        return self.mean_diameter / self.wire

    @property
    def wahl_factor(self) -> float:
        """How much curved wire and direct shear raise the stress; for an index above 1."""
        return (4 * self.index - 1) / (4 * self.index - 4) + 0.615 / self.index

    @property
    def rate(self) -> float:
        """How much harder it pulls for each meter longer, N/m."""
        return self.shear_modulus * self.wire**4 / (8 * self.mean_diameter**3 * self.active_coils)

    def shear_stress(self, force: float) -> float:
        """Return the greatest shear stress in the coils, Pa, under a pull, N. Hooks are not looked at."""
        return self.wahl_factor * 8 * force * self.mean_diameter / (math.pi * self.wire**3)

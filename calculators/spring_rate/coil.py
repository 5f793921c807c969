"""A coil spring of round wire: rate and shear stress from its dimensions.

Source: rate, Wahl factor and stress as in the companion code of a textbook on machine design (example 10.1,
FOSSEE, Scilab Textbook Companion 764, read, which numbers no equations).
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Coil:
    """A coil by its wire diameter and outside diameter, m, active coils, and the wire's shear modulus, Pa."""

    wire: float
    outside: float
    active_coils: float
    shear_modulus: float

    @property
    def mean_diameter(self) -> float:
        """The diameter from wire center to wire center, D, m."""
        return self.outside - self.wire

    @property
    def index(self) -> float:
        """The spring index C = D/d: mean diameter divided by wire diameter."""
        return self.mean_diameter / self.wire

    @property
    def wahl_factor(self) -> float:
        """The Wahl factor K = (4 C - 1)/(4 C - 4) + 0.615/C, for an index above 1.

        It is by how much the wire's curvature and direct shear raise the stress.
        """
        return (4 * self.index - 1) / (4 * self.index - 4) + 0.615 / self.index

    @property
    def rate(self) -> float:
        """The rate k = G d^4 / (8 D^3 N), N/m."""
        return self.shear_modulus * self.wire**4 / (8 * self.mean_diameter**3 * self.active_coils)

    def shear_stress(self, force: float) -> float:
        """Return the greatest shear stress in the coils, K 8 F D / (pi d^3), Pa, under a pull, N.

        That of the hooks is not included.
        """
        return self.wahl_factor * 8 * force * self.mean_diameter / (math.pi * self.wire**3)

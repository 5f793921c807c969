"""A leveler at one setting of its springs, over its whole travel: where it stalls, how hard it walks down."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from calculators.counterbalance.half_turn_band import LEAST_MOMENT
from calculators.shared.fields import rounded
from calculators.shared.leveler_moments import Leveler, Position, curve_angles, fine_angles

_HALVINGS = 60
"""More would not change a double: the first bracket is a tenth of a degree."""


@dataclass(frozen=True, kw_only=True)
class Travel:
    """A leveler with so many half turns made; both rows of positions run from the lowest up."""

    leveler: Leveler
    half_turns: int
    fine: tuple[Position, ...]
    """Where extremes are looked for."""
    coarse: tuple[Position, ...]
    """What a person reads."""

    def at_setting(self, half_turns: int) -> Travel:
        """Return the same leveler and travel at another setting."""
        return dataclasses.replace(self, half_turns=half_turns)

    def force(self, position: Position) -> float:
        """Return the pull of one spring, N."""
        return self.leveler.spring.force(position.spring_length, self.half_turns)

    def least_lift(self) -> tuple[float, float]:
        """Return the least net moment on the way up, N m, and its angle."""
        lifts = ((self._lift(position), position.angle_deg) for position in self.fine)
        return min(lifts)

    def _lift(self, position: Position) -> float:
        return position.net_rising(self.force(position), self.leveler.friction)

    def stall_angle(self) -> float | None:
        """Return the first angle on the way up where the springs no longer lift; None where all do."""
        lifting = None
        for position in self.fine:
            if self._lift(position) <= LEAST_MOMENT:
                return position.angle_deg if lifting is None else self._narrow(lifting, position.angle_deg)
            lifting = position.angle_deg
        return None

    def _narrow(self, lifting: float, stalled: float) -> float:
        """Halve between an angle that lifts and one that does not; a spring gone loose may jump there."""
        for _ in range(_HALVINGS):
            middle = (lifting + stalled) / 2
            if self._lift(self.leveler.at(middle)) > LEAST_MOMENT:
                lifting = middle
            else:
                stalled = middle
        return rounded(stalled)

    def peak_walk_down(self) -> tuple[float, float]:
        """Return the most weight, N, that walking down takes, and the angle: the highest such, met first."""
        forces = (
            (position.walk_down_force(self.force(position), self.leveler.friction), position.angle_deg)
            for position in self.fine
        )
        return max(forces)

    def walks_down(self, limit_n: float) -> bool:
        """Whether a weight of limit_n, N, is enough at every angle."""
        return all(
            position.net_walking(self.force(position), self.leveler.friction)
            <= limit_n * position.foot_arm + LEAST_MOMENT
            for position in self.fine
        )

    def slack_angles(self) -> list[float]:
        """Return the angles of the curve at which the springs hang loose; none without springs."""
        if not self.leveler.spring.count:
            return []
        return [position.angle_deg for position in self.coarse if self.force(position) == 0]

    def pulls_down_angles(self) -> list[float]:
        """Return the angles of the curve at which the springs pull the platform down instead of up."""
        return [
            position.angle_deg
            for position in self.coarse
            if self.force(position) * position.arm < -LEAST_MOMENT
        ]

    def curve(self) -> list[dict[str, float]]:
        """Return the rows of the curve, from the lowest angle up."""
        return [self._row(position) for position in self.coarse]

    def _row(self, position: Position) -> dict[str, float]:
        force, friction = self.force(position), self.leveler.friction
        return {
            "angle_deg": position.angle_deg,
            "spring_moment_nm": force * position.arm,
            "gravity_rising_nm": position.gravity_rising,
            "net_rising_nm": position.net_rising(force, friction),
            "gravity_walking_nm": position.gravity_walking,
            "net_walking_nm": position.net_walking(force, friction),
            "walk_down_force_n": position.walk_down_force(force, friction),
        }


def travel(leveler: Leveler, low_deg: float, high_deg: float, half_turns: int) -> Travel:
    """Return a leveler's travel between two angles, in degrees, with so many half turns made."""
    dead_center = leveler.spring.dead_center_deg()
    fine, coarse = (
        tuple(leveler.at(angle) for angle in angles(low_deg, high_deg, dead_center))
        for angles in (fine_angles, curve_angles)
    )
    return Travel(leveler=leveler, half_turns=half_turns, fine=fine, coarse=coarse)

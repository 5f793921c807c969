"""A leveler at one setting over its whole travel: where it stalls, and how hard it is to walk down."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from calculators.counterbalance.half_turn_band import LEAST_MOMENT
from calculators.shared.fields import rounded
from calculators.shared.leveler_moments import Leveler, Position, curve_angles, fine_angles

_HALVINGS = 60
"""More would not change a double, since the first bracket is a tenth of a degree."""


@dataclass(frozen=True, kw_only=True)
class Travel:
    """A leveler with some half turns made; both series of positions are ordered upward."""

    leveler: Leveler
    half_turns: int
    fine: tuple[Position, ...]
    """The positions among which extremes are looked for."""
    coarse: tuple[Position, ...]
    """The positions of the curve that a person reads."""

    def at_setting(self, half_turns: int) -> Travel:
        """Return the same leveler and travel at another setting."""
        return dataclasses.replace(self, half_turns=half_turns)

    def force(self, position: Position) -> float:
        """Return the pull of one spring at a position, N."""
        return self.leveler.spring.force(position.spring_length, self.half_turns)

    def least_lift(self) -> tuple[float, float]:
        """Return the least net moment while it rises, N m, and its angle, degrees."""
        lifts = ((self._lift(position), position.angle_deg) for position in self.fine)
        return min(lifts)

    def _lift(self, position: Position) -> float:
        return position.net_rising(self.force(position), self.leveler.friction)

    def stall_angle(self) -> float | None:
        """Return the first angle, degrees, at which the springs do not lift it; None where there is none."""
        lifting = None
        for position in self.fine:
            if self._lift(position) <= LEAST_MOMENT:
                return position.angle_deg if lifting is None else self._narrow(lifting, position.angle_deg)
            lifting = position.angle_deg
        return None

    def _narrow(self, lifting: float, stalled: float) -> float:
        """Return the angle between one that lifts and one that does not, by bisection.

        The moment may jump where a spring goes slack, so no faster method is used.
        """
        for _ in range(_HALVINGS):
            middle = (lifting + stalled) / 2
            if self._lift(self.leveler.at(middle)) > LEAST_MOMENT:
                lifting = middle
            else:
                stalled = middle
        return rounded(stalled)

    def peak_walk_down(self) -> tuple[float, float]:
        """Return the greatest force of walking down, N, and its angle, degrees; of several the highest."""
        forces = (
            (position.walk_down_force(self.force(position), self.leveler.friction), position.angle_deg)
            for position in self.fine
        )
        return max(forces)

    def walks_down(self, limit_n: float) -> bool:
        """Return whether a force of limit_n, N, is enough at every angle."""
        return all(
            position.net_walking(self.force(position), self.leveler.friction)
            <= limit_n * position.foot_arm + LEAST_MOMENT
            for position in self.fine
        )

    def slack_angles(self) -> list[float]:
        """Return the angles of the curve at which the springs are slack; none without springs."""
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
        """Return the rows of the answer's curve by column, from the lowest angle up."""
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
    """Return a leveler's travel between two angles, degrees, with some half turns made."""
    dead_center = leveler.spring.dead_center_deg()
    fine, coarse = (
        tuple(leveler.at(angle) for angle in angles(low_deg, high_deg, dead_center))
        for angles in (fine_angles, curve_angles)
    )
    return Travel(leveler=leveler, half_turns=half_turns, fine=fine, coarse=coarse)

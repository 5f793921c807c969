"""Angles and dead center of a leveler: which are looked at, and where its springs turn nothing."""

from __future__ import annotations

import pytest

from calculators.shared.leveler_moments import curve_angles, fine_angles
from calculators.shared.spring_geometry import Spring, turned


@pytest.mark.parametrize(
    ("low", "high", "dead", "angles"),
    [
        (-0.25, 0.25, 50, [-0.25, -0.2, -0.1, 0, 0.1, 0.2, 0.25]),
        (1, 1.2, 1.15, [1, 1.1, 1.15, 1.2]),
        (-1.2, -1, 1.1, [-1.2, -1.1, -1]),
    ],
)
def test_extremes_are_looked_for_at_tenths(low: float, high: float, dead: float, angles: list[float]) -> None:
    """Every tenth of a degree within the travel, both ends once, and dead center where it is between."""
    assert fine_angles(low, high, dead) == angles


@pytest.mark.parametrize(
    ("low", "high", "first", "step", "last"),
    [
        (-5, 5, -5, 0.25, 5),
        (-10, 10, -10, 0.5, 10),
        (-20, 20, -20, 1, 20),
        (-40, 40, -40, 2, 40),
        (-80, 80, -80, 5, 80),
        (1.6, 11.6, 1.75, 0.25, 11.5),
        (10.1, 69.9, 12, 2, 68),
    ],
)
def test_a_curve_has_round_angles(low: float, high: float, first: float, step: float, last: float) -> None:
    """At most 40 steps of 0.25, 0.5, 1, 2 or 5 degrees, on multiples of the step, and both ends."""
    inner = [first + step * i for i in range(round((last - first) / step) + 1)]
    assert curve_angles(low, high, 90) == sorted({low, high, *inner})


def test_dead_center_is_found_the_short_way_round() -> None:
    """Anchors at 170 and at -170 degrees lie 20 degrees apart, not 340; the angle is rounded, not whole."""
    frame, platform = turned((1, 0), 170.25), turned((1, 0), -170)
    spring = Spring(
        frame_anchor=frame,
        platform_anchor=platform,
        count=1,
        rate=1000,
        initial_tension=100,
        free_length=0.5,
        half_turn_m=0.001,
    )
    assert spring.dead_center_deg() == pytest.approx(-19.75, abs=1e-9)

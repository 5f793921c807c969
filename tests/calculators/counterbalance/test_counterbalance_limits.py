"""Where the counterbalance's decisions turn over: moments near zero, springs that can do nothing, ties."""

from __future__ import annotations

import dataclasses

import pytest

from calculators.counterbalance.half_turn_band import LEAST_MOMENT, Band, rising_band, walking_band
from calculators.counterbalance.sentences import Stall
from calculators.counterbalance.travel import Travel
from calculators.shared.leveler_moments import Leveler, Position
from calculators.shared.spring_geometry import Spring
from tests.calculators.asking import ask, errors
from tests.calculators.leveler import BALANCED

SPRING = Spring(
    frame_anchor=(1.0, 0.0),
    platform_anchor=(0.0, -1.0),
    count=1,
    rate=1000.0,
    initial_tension=0.0,
    free_length=1.0,
    half_turn_m=0.001,
)
"""At its free length in every position below: n half turns make it pull n newtons, below 0 none."""
LEVELER = Leveler(
    platform_mass=1.0,
    platform_center=1.0,
    lip_mass=0.0,
    lip_stored=(0.0, 0.0),
    lip_extended=(0.0, 0.0),
    spring=SPRING,
    friction=0.0,
    foot_x=1.0,
)
SEARCH = Band(low=-5, high=5)
NONE = Band(low=1, high=0)


def at(arm: float, weight: float, *, angle_deg: float = 0.0) -> Position:
    """A position with an arm, m, and a moment of weight, N m, downward, whether the lip hangs or is out."""
    return Position(
        angle_deg=angle_deg,
        spring_length=1.0,
        arm=arm,
        gravity_rising=-weight,
        gravity_walking=-weight,
        foot_arm=1.0,
    )


def travel(*positions: Position, half_turns: int = 0) -> Travel:
    """The travel over such positions."""
    return Travel(leveler=LEVELER, half_turns=half_turns, fine=positions, coarse=positions)


@pytest.mark.parametrize(
    ("arm", "weight", "band"),
    [
        (1.0, 2.5, Band(low=3, high=5)),
        (0.5, 1.25, Band(low=3, high=5)),
        (1.0, 0.5, Band(low=1, high=5)),
        (1.0, LEAST_MOMENT, Band(low=1, high=5)),
        (1.0, -LEAST_MOMENT, Band(low=1, high=5)),
        (1.0, -0.5, SEARCH),
        (1.0, 6.5, Band(low=7, high=5)),
        (-1.0, 0.5, NONE),
        (-1.0, -2.5, Band(low=-5, high=2)),
        (0.0, 0.5, NONE),
        (0.0, -LEAST_MOMENT, NONE),
        (0.0, -0.5, SEARCH),
    ],
)
def test_settings_that_lift(arm: float, weight: float, band: Band) -> None:
    """By hand: n newtons on the arm lift more than the weight, however little of it there is to lift."""
    assert rising_band(LEVELER, [at(arm, weight)], SEARCH) == band


@pytest.mark.parametrize(
    ("arm", "weight", "limit_n", "band"),
    [
        (1.0, 0.0, 2.5, Band(low=-5, high=2)),
        (1.0, 1.0, 1.5, Band(low=-5, high=2)),
        (1.0, -1.0, 3.5, Band(low=-5, high=2)),
        (0.5, 0.0, 1.25, Band(low=-5, high=2)),
        (1.0, 0.0, 0.5, Band(low=-5, high=0)),
        (1.0, -2.0, 1.0, NONE),
        (-1.0, 0.0, 0.5, SEARCH),
        (-1.0, -2.5, 0.0, Band(low=3, high=5)),
        (0.0, -LEAST_MOMENT, 0.0, SEARCH),
        (0.0, -0.5, 0.4, NONE),
    ],
)
def test_settings_that_can_be_walked_down(arm: float, weight: float, limit_n: float, band: Band) -> None:
    """By hand: n newtons on the arm are no more than the weight and the person at 1 m bring down."""
    assert walking_band(LEVELER, [at(arm, weight)], SEARCH, limit_n) == band


def test_a_band_of_one_setting_is_one() -> None:
    """From a setting to the same one is a band, from a setting to the one before it none."""
    assert (Band(low=2, high=2).is_empty, Band(low=2, high=1).is_empty) == (False, True)


def test_every_position_counts() -> None:
    """A position where the springs are of no account hides none of those after it."""
    easy, hard = at(-1.0, -0.5), at(1.0, 2.5)
    assert rising_band(LEVELER, [at(0.0, -0.5), hard], SEARCH) == Band(low=3, high=5)
    assert rising_band(LEVELER, [hard, easy], SEARCH) == Band(low=3, high=0)
    assert walking_band(LEVELER, [at(0.0, 0.0), at(1.0, 0.0)], SEARCH, 2.5) == Band(low=-5, high=2)


def test_friction_counts_against_either_motion() -> None:
    """One newton-meter of friction asks for a half turn more on the way up, and one less on the way down."""
    rubbing = dataclasses.replace(LEVELER, friction=1.0)
    assert rising_band(rubbing, [at(1.0, 2.5)], SEARCH) == Band(low=4, high=5)
    assert walking_band(rubbing, [at(1.0, 0.0)], SEARCH, 2.5) == Band(low=-5, high=1)


def test_what_is_left_to_lift_has_to_be_more_than_rounding() -> None:
    """A net moment of just the least that counts does not lift; a little more does."""
    just, more = at(1.0, -LEAST_MOMENT, angle_deg=1.0), at(1.0, -2 * LEAST_MOMENT, angle_deg=1.0)
    assert travel(just).stall_angle() == 1.0
    assert travel(more).stall_angle() is None


def test_what_has_to_be_walked_down_may_be_rounding() -> None:
    """A net moment of just the least that counts needs no weight; twice that needs some."""
    assert travel(at(1.0, -LEAST_MOMENT)).walks_down(0.0)
    assert not travel(at(1.0, -2 * LEAST_MOMENT)).walks_down(0.0)
    assert travel(at(1.0, -0.5)).walks_down(0.5)
    assert not travel(at(1.0, -0.5)).walks_down(0.4)


def test_springs_pull_down_where_their_moment_counts() -> None:
    """On the other side of the hinge they pull down, but not where that is no more than rounding."""
    arms = {1.0: -1.0, 2.0: 0.0, 3.0: -LEAST_MOMENT, 4.0: -2 * LEAST_MOMENT, 5.0: 1.0, 6.0: LEAST_MOMENT / 2}
    positions = [at(arm, 0.0, angle_deg=angle) for angle, arm in arms.items()]
    assert travel(*positions, half_turns=1).pulls_down_angles() == [1.0, 4.0]


def test_a_spring_hangs_loose_where_it_pulls_nothing() -> None:
    """At no half turns the spring is not longer than free; at one it pulls, however little that is."""
    assert travel(at(1.0, 0.0, angle_deg=7.0)).slack_angles() == [7.0]
    assert travel(at(1.0, 0.0, angle_deg=7.0), half_turns=1).slack_angles() == []


@pytest.mark.parametrize(
    ("angle", "code", "reason"),
    [
        (None, "rises", "rises"),
        (-8.0, "stays", "stays"),
        (-7.9, "stalls", "stalls-below-level"),
        (0.0, "stalls", "stalls-below-level"),
        (0.5, "stalls", "stalls-above-level"),
    ],
)
def test_how_far_it_rises_is_said_from_the_angle(angle: float | None, code: str, reason: str) -> None:
    """No angle is a whole rise, the lowest none at all, and only one above level is above it."""
    found = Stall(angle=angle, low_angle=-8.0, platform_length=2.0)
    assert (found.code, found.reason) == (code, reason)


@pytest.mark.parametrize("name", ["platform_centre_m", "walk_down_x_m"])
def test_what_lies_at_the_end_of_the_platform_lies_on_it(name: str) -> None:
    """A center or a person just as far out as the platform is long is no error; farther out is."""
    at_end = BALANCED | {name: BALANCED["platform_length_m"]}
    assert "errors" not in ask("counterbalance", at_end)
    assert set(errors("counterbalance", at_end | {name: 1.801})) == {name}

"""The turn plan on simulated visits: a seeded sample of what `python3 -m build_tools simulate` tries in full.

The simulator is our own and knows no calculator's model; its lip is held here against closed forms.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from build_tools.commands.simulate import outcomes
from build_tools.simulator import damper, hands
from build_tools.simulator.conditions import CONDITIONS
from build_tools.simulator.levelers import INSIDE, WINDOW, drawn_leveler
from build_tools.simulator.lip import Lip
from build_tools.simulator.measures import Row

SEED, VISITS = 12, 60
BARE = Lip(
    weight_moment=1.5,
    end_angle=math.radians(10),
    spring_anchor=(-0.05, -0.5),
    spring_lever=0.08,
    stiffness=0,
    pull=0,
    step=0,
    damper_anchor=(-1e6, 0.0),
    damper_lever=0.1,
    damping=1.0,
    friction_moment=0,
    friction_radius=0,
)
"""A lip without a spring; its damper is so far away that it pulls level, with a lever of 0.1 cos(angle)."""


@cache
def sample(name: str) -> Row:
    """The sample of one condition."""
    return Row(name, CONDITIONS[name].sound, outcomes(name, SEED, 0, VISITS))


def test_a_lip_without_a_spring_has_a_closed_form() -> None:
    """0.01 cos^2(x) / (1.5 sin x) from 10 to 90 degrees integrates to -(ln tan 5 + cos 10) / 150."""
    closed = -(math.log(math.tan(math.radians(5))) + math.cos(math.radians(10))) / 150
    assert BARE.fold_time(0) == pytest.approx(closed, rel=1e-5)


def test_a_spring_stretches_as_fast_as_its_arm_is_long() -> None:
    """The work of a unit pull over the arc is the stretch: virtual work, for real points."""
    stretch = BARE._stretch[0] - BARE._stretch[-1]
    between = -float(np.trapezoid(BARE.spring_arm, BARE._angles))
    assert -stretch == pytest.approx(between, rel=1e-3)


def test_one_newton_more_slows_the_lip_as_said() -> None:
    """The share by which the fold grows for one newton is the difference quotient of the fold time."""
    lip = replace(BARE, weight_moment=100, stiffness=2000, pull=200, step=1e-3, friction_radius=1e-3)
    quotient = (lip.fold_time(1) - lip.fold_time(-1)) / (2e-3 * lip.fold_time(0))
    assert lip.rate_for_one_newton(0) == pytest.approx(quotient, rel=1e-6)


def test_dry_friction_slows_a_lip_and_can_hang_it() -> None:
    """Friction takes from the moment that moves the lip; where it takes all, the lip never arrives."""
    rough = replace(BARE, friction_moment=0.1)
    assert BARE.fold_time(0) < rough.fold_time(0)
    assert replace(BARE, friction_moment=0.3).fold_time(0) == math.inf


def test_a_cold_damper_is_thicker_as_published() -> None:
    """2.5 times the force at -30 degrees C, once that at 20; warming ends at what was said."""
    assert (damper.thickness(-30), damper.thickness(20)) == pytest.approx((2.5, 1))
    assert damper.warmed(-10, 1000, by_c=3, settles_after=8) == pytest.approx(-7)


def test_hands_are_off_by_their_habit_and_scatter_as_published() -> None:
    """Two presses of 0.07 s each scatter readings by 0.099 s about the true time and the habit."""
    chance = np.random.default_rng(1)
    person = hands.drawn_hands("countdown", "sharp", chance, habit_off=0.05)
    readings = np.array([person.reading(19.0, chance) for _ in range(4000)])
    assert readings.mean() == pytest.approx(19 + 0.22 + 0.05, abs=0.006)
    assert readings.std() == pytest.approx(0.099, abs=0.004)


def test_drawn_levelers_are_adjustable() -> None:
    """Each has a setting 0.1 s inside the window, at most eight half turns off, and folds on the way."""
    for number in range(40):
        leveler = drawn_leveler(np.random.default_rng([3, number]))
        inside = [n for n, time in leveler.times.items() if WINDOW[0] + INSIDE <= time <= WINDOW[1] - INSIDE]
        assert inside and leveler.least_turns() <= 8
        assert all(leveler.times[n] < math.inf for n in range(min(0, *inside), max(0, *inside) + 1))


def test_visits_of_one_seed_are_the_same_again() -> None:
    """A visit hangs on its seed and number alone."""
    assert outcomes("sound-0.7", SEED, 3, 6) == outcomes("sound-0.7", SEED, 0, 6)[3:]


@pytest.mark.parametrize(("name", "least"), [("sound-0.4", 0.97), ("sound-0.7", 0.97), ("sound-1.0", 0.96)])
def test_sound_levelers_end_inside(name: str, least: float) -> None:
    """97 % of visits (96 % at 1 %) end inside or within 0.2 s, none of this sample further outside."""
    row = sample(name)
    assert row.good >= least
    assert row.closed_beyond(0.2) == 0
    assert row.ended() <= 0.02 and row.ended("spread") <= 0.01 + 1 / VISITS
    assert row.turns_above_least <= 0.1
    assert row.runs_a_setting[0] <= 4 and row.runs_a_setting[1] <= 10


@pytest.mark.parametrize("name", ["stick-2", "scatter-6"])
def test_a_faulty_lip_is_caught_by_twelve_runs(name: str) -> None:
    """At least 90 % of visits to a lip that sticks by 2 s or scatters by 6 % are stopped by 12 runs."""
    assert sample(name).caught_by(12)[0] >= 0.9


def test_a_dead_spring_is_caught_soon() -> None:
    """A dead spring is found before a fourth half turn away; of this sample one may be found later."""
    row = sample("dead-spring")
    turned = sum(each.turns > 0 for each in row.outcomes)
    assert row.caught_soon >= 0.98 - 1 / turned


def test_slips_are_asked_about_and_stop_nobody() -> None:
    """A point one place off and a half turn made and not entered are put right, and the visit ends inside."""
    for name in ("ten-fold", "forgotten-turn"):
        assert sample(name).good >= 0.95


def test_a_cold_lip_is_not_closed_as_set() -> None:
    """With a damper at -10 degrees C nothing is closed as right: it is due again at the first warm visit."""
    assert {*sample("cold-0.7").ends} == {"left-for-now"}

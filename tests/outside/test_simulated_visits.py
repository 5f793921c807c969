"""Both plans on simulated visits: a seeded sample of what `python3 -m build_tools simulate` tries in full.

The simulator is our own and knows no calculator's model; its lip is held here against closed forms.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy import stats

from build_tools.commands.simulate import cycle_outcomes, outcomes
from build_tools.simulator import damper, hands
from build_tools.simulator.conditions import CONDITIONS
from build_tools.simulator.cycle_measures import CycleRow
from build_tools.simulator.levelers import INSIDE, WINDOW, drawn_leveler
from build_tools.simulator.lip import Lip
from build_tools.simulator.measures import Row
from build_tools.simulator.observer import Observer
from build_tools.simulator.platforms import FARTHEST_OFF, WIDEST, Platform, drawn_platform
from calculators.shared.rate_line import BEND

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


def test_the_rate_bends_as_the_turn_plan_has_it() -> None:
    """1/t has the second derivative -2 V slope^2/rate; V is below BEND for most drawn lips, not for all."""
    below = []
    for number in range(150):
        leveler = drawn_leveler(np.random.default_rng([5, number]))
        lip, at = leveler.lip, min(leveler.times, key=lambda n: abs(leveler.times[n] - 19))
        before, here, after = (1 / lip.fold_time(at + n) for n in (-0.01, 0, 0.01))
        share = (lip.spring_arm + lip.friction_radius) / lip.net_moment(at)
        time = lip._weights * lip._leverage / lip.net_moment(at)
        mean = float(np.average(share, weights=time))
        uneven = float(np.average((share / mean - 1) ** 2, weights=time))
        bend = (after - 2 * here + before) / 0.01**2
        assert bend == pytest.approx(-2 * uneven * ((after - before) / 0.02) ** 2 / here, rel=2e-2, abs=1e-8)
        below.append(uneven < BEND)
    assert 0.8 < np.mean(below) < 0.97


def test_predictions_hold_as_often_as_they_say() -> None:
    """Of the timings one and three half turns ahead of sound samples about 95 % lie in their interval."""
    rows = [sample(name) for name in ("sound-0.4", "sound-0.7", "sound-1.0")]
    for ahead in (1, 3):
        hits = [hit for row in rows for each in row.outcomes for far, hit in each.covered if far == ahead]
        low, high = stats.binom.interval(0.999, len(hits), 0.95)
        assert len(hits) > 80 and low <= sum(hits) <= high


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


BAND = Platform(
    full_from=-0.5,
    lip_from=0.2,
    firm_from=1.5,
    too_hard_from=3.4,
    slams_from=2.6,
    half_turns_min=-2,
    half_turns_max=5,
)
"""Rises fully from 0 on, lip out from 1, firm from 2, slams from 3, too hard from 4."""
EXACT = Observer(slip=0.0, rise_habit=0.0, walk_habit=0.0)


@cache
def watched(name: str) -> CycleRow:
    """The sample of one condition of the mainspring plan."""
    return CycleRow(name, cycle_outcomes(name, SEED, 0, 2 * VISITS))


def test_a_drawn_platform_has_a_band_within_reach() -> None:
    """1 to 4 settings in a row are good, the nearest at most 6 half turns off, with adjustment beyond."""
    for number in range(200):
        band = drawn_platform(np.random.default_rng([7, number])).band
        assert 1 <= len(band) <= WIDEST and band == list(range(band[0], band[-1] + 1))
        assert min(map(abs, band)) <= FARTHEST_OFF


def test_words_follow_the_setting() -> None:
    """An observer without slips or habit says each word from its limit on."""
    chance = np.random.default_rng(1)
    told = [EXACT.words(BAND, n, chance) for n in range(-1, 5)]
    assert [each.rise for each in told] == ["short", *["full-gentle"] * 3, "full-slams", "full-slams"]
    assert [each.lip_extended for each in told] == [False, False, True, True, True, True]
    assert [each.walk_down for each in told] == ["easy"] * 3 + ["firm", "firm", "cannot"]
    assert BAND.band == [1, 2]


def test_a_slip_takes_the_word_beside() -> None:
    """At 10 % a word is the neighboring one in a tenth of cycles; a habit of 1 calls 2 what is said of 3."""
    chance = np.random.default_rng(2)
    said = [replace(EXACT, slip=0.1).words(BAND, -1, chance) for _ in range(4000)]
    low, high = stats.binom.interval(0.999, 4000, 0.1)
    assert low <= sum(each.rise == "full-gentle" for each in said) <= high
    assert not any(each.rise == "full-slams" for each in said)
    assert replace(EXACT, rise_habit=1.0).words(BAND, 2, chance).rise == "full-slams"


def test_the_mainspring_plan_ends_in_the_band() -> None:
    """Seen without slips every visit ends in the band by the fewest half turns; with 5 % nearly every one."""
    exact, slips = watched("watched-0"), watched("watched-5")
    assert (exact.right, exact.turns_above_least, exact.went_past(1)) == (1, 0, 0)
    assert slips.right >= 0.94 and slips.closed_wrong <= 0.01
    assert slips.turns_above_least <= 0.1 and slips.went_past(2) == 0
    assert slips.cycles_a_setting[0] <= 3 and slips.cycles_a_setting[1] <= 6


@pytest.mark.parametrize(("fault", "stop"), [("lip-stays-in", "lip-side"), ("binds", "not-a-setting-fault")])
def test_a_lip_or_a_binding_platform_is_stopped_for(fault: str, stop: str) -> None:
    """With 10 % of slips nearly every such visit is stopped, under its own name, and hardly one is closed."""
    row = watched(f"watched-{fault}-10")
    assert row.closed_wrong <= 0.01
    assert row.ends[stop] >= 0.96 * len(row.outcomes)

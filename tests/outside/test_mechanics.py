"""The counterbalance held against potential energy (mpmath), SciPy's root finder, and whole arrays of angles.

Source: that the moment of conservative forces is minus the slope of their potential energy is textbook
mechanics, from memory. The second model, tests/outside/leveler_by_energy.py, shares no code with ours.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from tests.calculators.asking import ask
from tests.outside.leveler_by_energy import any_leveler, liftable, moment, nets

SEEDS = range(60)


def friction_free(row: dict[str, float], leveler: dict[str, Any], way: str) -> float:
    """Return a row's net moment without friction, N m: what has a potential."""
    sign = {"rising": 1, "walking": -1}[way]
    return row[f"net_{way}_nm"] + sign * leveler["friction_moment_nm"]


@pytest.mark.parametrize("seed", SEEDS)
def test_moment_is_minus_the_slope_of_the_energy(seed: int) -> None:
    """At every angle of a curve, springs and weight together are minus dU/dt, the lip stored and extended."""
    leveler = any_leveler(seed)
    for row in ask("counterbalance", leveler)["curve"][1:-1:5]:
        for way, lip in (("rising", "stored"), ("walking", "extended")):
            expected = moment(leveler, row["angle_deg"], lip)
            assert friction_free(row, leveler, way) == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_drawn_levelers_are_of_every_kind() -> None:
    """The drawn levelers have slack springs, springs that pull down, and some of each answer."""
    answers = [ask("counterbalance", any_leveler(seed)) for seed in SEEDS]
    assert sum(bool(answer["slack"]) for answer in answers) > 3
    assert sum(any(row["spring_moment_nm"] < -1 for row in answer["curve"]) for answer in answers) > 5
    assert {answer["rises_through_travel"] for answer in answers} == {True, False}
    banded = [ask("counterbalance", liftable(seed))["half_turns_low"] for seed in range(40)]
    assert 5 < sum(low is not None for low in banded) < 40


@pytest.mark.parametrize("seed", range(40))
def test_stall_is_a_root(seed: int) -> None:
    """Where the platform stalls part-way, SciPy's brentq finds the net moment's zero at the same angle."""
    leveler = liftable(seed) | {"half_turns": 0, "angle_low_deg": -35, "angle_high_deg": 50}
    stall = ask("counterbalance", leveler)["stall_angle_deg"]
    degrees = np.linspace(-35, 50, 200_001)
    rising = nets(leveler, degrees, 0)[0]
    if rising[0] <= 0 or rising.min() > 0:
        assert stall == (-35 if rising[0] <= 0 else None)
        return
    first = int(np.argmax(rising <= 0))
    root = brentq(lambda at: float(nets(leveler, at, 0)[0]), degrees[first - 1], degrees[first], xtol=1e-12)
    assert stall == pytest.approx(root, abs=1e-7)


@pytest.mark.parametrize("seed", SEEDS)
def test_peak_is_the_greatest_force(seed: int) -> None:
    """No angle takes more weight to walk down than the peak; SciPy's own search agrees to a millionth."""
    leveler = any_leveler(seed) | {"spring_count": 1 + seed % 4}
    peak = ask("counterbalance", leveler)["peak_walk_down_force_n"]
    low, high = leveler["angle_low_deg"], leveler["angle_high_deg"]

    def force(at: Any) -> Any:
        across = leveler["walk_down_x_m"] * np.cos(np.radians(at))
        return np.maximum(0.0, nets(leveler, at, leveler["half_turns"])[1] / across)

    degrees = np.linspace(low, high, 20_001)
    top = int(np.argmax(force(degrees)))
    around = (degrees[max(top - 1, 0)], degrees[min(top + 1, 20_000)])
    found = minimize_scalar(lambda at: -float(force(at)), bounds=around, method="bounded")
    greatest = max(float(force(degrees)[top]), -found.fun)
    assert peak == pytest.approx(greatest, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_band_is_every_setting_that_does_both(seed: int) -> None:
    """Tried one by one over arrays of angles, exactly the settings of the band rise and walk down."""
    leveler = liftable(seed) if seed % 4 else any_leveler(seed)
    answer = ask("counterbalance", leveler)
    degrees = np.linspace(leveler["angle_low_deg"], leveler["angle_high_deg"], 4_001)
    limit = leveler["walk_down_limit_n"] * leveler["walk_down_x_m"] * np.cos(np.radians(degrees))
    free_half_turns = leveler["free_length_m"] / (leveler["thread_pitch_m"] / 2)
    good = [
        half_turns
        for half_turns in range(-100, 101)
        if half_turns < free_half_turns
        and (nets(leveler, degrees, half_turns)[0] > 0).all()
        and (nets(leveler, degrees, half_turns)[1] <= limit).all()
    ]
    band = (answer["half_turns_low"], answer["half_turns_high"])
    assert band == ((good[0], good[-1]) if good else (None, None))
    assert good == list(range(good[0], good[-1] + 1)) if good else True


def test_no_springs_no_lift() -> None:
    """Without springs nothing lifts, weight alone is left, and the platform stays where it is."""
    leveler = any_leveler(7) | {"spring_count": 0}
    answer = ask("counterbalance", leveler)
    assert {row["spring_moment_nm"] for row in answer["curve"]} == {0.0}
    assert answer["stall_angle_deg"] == pytest.approx(leveler["angle_low_deg"], abs=1e-9)
    assert (answer["peak_walk_down_force_n"], answer["slack"]) == (0.0, [])

"""The turn plan's straight line against lips integrated over their arc, and where that line holds.

What was found, in s, with the line fitted to exact times at the first three settings (15 s as found):

    far from hanging (the spring carries at most half the weight): 8 half turns ahead 0 to 0.078 too short
    near hanging (it carries more than 0.95 of it): 8 ahead 3 to 38, 3 ahead 0.12 to 0.29 too short
    stalling part of the way down: 1 ahead 0.03 to 2.7 too short; 3 ahead one gets a time and hangs

The sign is always the same, with dry friction too: the line promises too short a time. Three settings in a
row, timed exactly, show the steps growing, and the plan stops all six stalling lips before the half turn that
hangs them. One setting shows nothing: a lip found half a turn from its stall can be hung by the plan.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from build_tools.made_pages.outside_values import OutsideCheck, read_checks
from calculators.shared.rate_line import RateLine, fit_line
from calculators.turn_plan import calculator as turn_plan
from tests.outside.lip_linkage import EXTENDED, FAR, NEAR, STALLING, STEEP, Linkage

ALL = FAR + NEAR + STALLING + STEEP
FIRST = (0, 1, 2)
SHOWN = [check for check in read_checks() if "lip" in check.how]


def line_of(lip: Linkage) -> RateLine:
    """The line of turn-plan through exact times at the first three settings."""
    times = [lip.fold_time(n) for n in FIRST]
    line = fit_line(FIRST, [1 / t for t in times], [0.1 / t**2 for t in times])
    assert line is not None
    return line


def error_ahead(lip: Linkage, ahead: int) -> float:
    """Promised less true time, s, half turns ahead of the last setting timed; -inf where it hangs."""
    setting = FIRST[-1] + ahead
    return 1 / line_of(lip).rate(setting) - lip.fold_time(setting)


def plan(lip: Linkage, settings: list[int], low: float, high: float) -> dict[str, Any]:
    """What turn-plan says after two exact timings at each setting, with room enough either way."""
    return turn_plan.calculate(
        readings=[{"half_turns": n, "fold_time_s": lip.fold_time(n)} for n in settings for _ in range(2)],
        window_low_s=low,
        window_high_s=high,
        timing_uncertainty_s=0.1,
        confidence=0.95,
        half_turns_min=-40,
        half_turns_max=40,
        least_response_s=0.3,
    )


def test_simulator_gives_the_closed_form_of_a_lip_without_spring() -> None:
    """From 90 to 10 degrees with theta' = -1.5 sin(theta) takes ln[tan(45)/tan(5)]/1.5 = 1.624164036 s."""
    bare = replace(FAR[1], stiffness=0, step_n=0, end_degrees=10, as_found_s=1.0)
    assert bare.weight_moment / bare.damping_at_hinge() / 1.5 == pytest.approx(1.624164036, abs=1e-9)


def test_simulator_gives_the_closed_form_of_a_constant_moment() -> None:
    """A constant moment M against a damper c turns theta in c theta / M: 1 rad in 2.5 s by 2 N m is c = 5."""
    pushed = replace(
        FAR[1],
        stiffness=0,
        step_n=0,
        weight_moment=0,
        friction_moment=-2,
        as_found_s=2.5,
        end_degrees=90 - math.degrees(1),
    )
    assert pushed.damping_at_hinge() == pytest.approx(5, rel=1e-12)


@pytest.mark.parametrize("lip", [FAR[4], FAR[1], NEAR[2], STALLING[0]])
def test_quadrature_agrees_with_an_adaptive_one(lip: Linkage) -> None:
    """The nodes give the ratio of two fold times to 1e-9, as an adaptive rule does, near hanging too."""

    def slowness(angle: float, half_turns: float) -> float:
        at = np.array([angle])
        return float(lip._damper_leverage(at)[0] / lip.net_moment(at, half_turns)[0])

    start = math.radians(lip.end_degrees)
    rule = {"limit": 500, "epsabs": 0, "epsrel": 1e-12}
    integrals = [quad(slowness, start, EXTENDED, args=(n,), **rule)[0] for n in (0, 5)]
    assert lip.fold_time(5) == pytest.approx(15 * integrals[1] / integrals[0], rel=1e-9)


def test_integrator_gives_the_overdamped_closed_form() -> None:
    """With I = 1, c = 5, k = 4 and theta = 1 at rest, theta(t) = (4 e^-t - e^-4t)/3."""
    found = solve_ivp(
        lambda _, y: (y[1], -5 * y[1] - 4 * y[0]),
        (0, 3),
        (1.0, 0.0),
        rtol=1e-10,
        atol=1e-12,
        t_eval=(0.5, 1, 2, 3),
    )
    assert found.y[0] == pytest.approx([0.763595785, 0.484400709, 0.180335223, 0.066380710], abs=1e-8)


def test_inertia_may_be_left_out() -> None:
    """With the inertia of a 60 kg, 0.4 m lip a fold of 15 s changes by less than 0.01 s."""
    lip, inertia = FAR[4], 60 * 0.4**2 / 3
    damping = lip.damping_at_hinge()

    def motion(_: float, y: tuple[float, float]) -> tuple[float, float]:
        return y[1], (-float(lip.net_moment(np.array([y[0]]), 0)[0]) - damping * y[1]) / inertia

    def at_the_end(_: float, y: tuple[float, float]) -> float:
        return y[0] - math.radians(lip.end_degrees)

    at_the_end.terminal = True  # type: ignore[attr-defined]
    fall = solve_ivp(motion, (0, 30), (EXTENDED, 0), method="LSODA", events=at_the_end, rtol=1e-8, atol=1e-10)
    assert fall.t_events[0][0] == pytest.approx(15, abs=0.01)


@pytest.mark.parametrize("check", SHOWN, ids=[check.id for check in SHOWN])
def test_lips_of_the_outside_checks_are_integrated(check: OutsideCheck) -> None:
    """The timings and the time foretold there are those of the lip that they name, to a microsecond."""
    asked = check.how["lip"]
    lip = {"far": FAR, "near": NEAR}[asked["kind"]][asked["number"]]
    for reading in check.how["input"]["readings"]:
        assert reading["fold_time_s"] == pytest.approx(lip.fold_time(reading["half_turns"]), abs=6e-7)
    assert check.expected == pytest.approx(lip.fold_time(asked["half_turns"]), abs=6e-7)


def friction_kinds(lip: Linkage) -> list[Linkage]:
    """The same lip with dry friction at the hinge: a moment of its own, and one that grows with tension."""
    tenth = 0.1 * lip.weight_moment * math.sin(math.radians(lip.end_degrees))
    return [replace(lip, friction_moment=tenth), replace(lip, friction_per_tension=0.002)]


@pytest.mark.parametrize("lip", ALL + tuple(rough for lip in FAR + NEAR for rough in friction_kinds(lip)))
def test_fold_rate_is_concave_in_half_turns(lip: Linkage) -> None:
    """Each half turn lowers 1/t by more than the one before, with dry friction too, until it hangs at 0."""
    rates = [1 / lip.fold_time(n) for n in range(-3, 15)]
    folding = [rate for rate in rates if rate > 0]
    steps = np.diff(folding)
    assert (steps < 0).all() and (np.diff(steps) < 1e-12).all()
    assert rates[len(folding) :] == [0.0] * (len(rates) - len(folding))


def test_far_from_hanging_the_line_holds_eight_half_turns_ahead() -> None:
    """Twelve lips far from hanging: eight half turns ahead 0 to 0.08 s too short, three 0 to 0.01."""
    assert len(FAR) >= 10 and all(lip.carried(10) < 0.5 for lip in FAR)
    eight, three = [error_ahead(lip, 8) for lip in FAR], [error_ahead(lip, 3) for lip in FAR]
    assert -0.08 < min(eight) < -0.07 and max(eight) < 0
    assert -0.01 < min(three) < -0.008 and max(three) < 0


def test_a_straight_line_in_time_misses_by_far_more() -> None:
    """The same three times, straight in t and not in 1/t, miss by up to 1.5 s eight half turns ahead."""
    misses = []
    for lip in FAR:
        straight = np.polyfit(FIRST, [lip.fold_time(n) for n in FIRST], 1)
        misses.append(float(np.polyval(straight, 10)) - lip.fold_time(10))
    assert -1.5 < min(misses) < -1.4 and max(misses) < -0.1


def test_near_hanging_the_line_is_seconds_too_short_far_ahead() -> None:
    """Six lips near hanging: eight half turns ahead 3 to 38 s too short, three ahead 0.12 to 0.29 s."""
    assert all(0.95 < lip.carried(10) < 1 for lip in NEAR)
    eight, three = [error_ahead(lip, 8) for lip in NEAR], [error_ahead(lip, 3) for lip in NEAR]
    assert -39 < min(eight) < -38 and -3.3 < max(eight) < -3.2
    assert -0.30 < min(three) < -0.28 and -0.13 < max(three) < -0.12


def test_a_lip_that_stalls_is_not_seen_coming_by_the_line() -> None:
    """Six lips that stall: one half turn ahead 0.03 to 2.8 s too short; one gets a time where it hangs."""
    one = [error_ahead(lip, 1) for lip in STALLING]
    assert -2.8 < min(one) < -2.7 and -0.04 < max(one) < -0.03
    hanging = [lip for lip in STALLING if math.isinf(lip.fold_time(5))]
    assert [line_of(lip).rate(5) > 0 for lip in hanging] == [True]


@pytest.mark.parametrize("lip", FAR)
def test_dry_friction_keeps_sign_and_size_far_from_hanging(lip: Linkage) -> None:
    """Friction brings a lip nearer to hanging, no more: eight half turns ahead 0 to 0.14 s too short."""
    for rough in friction_kinds(lip):
        assert rough.carried(10) < 0.6
        assert -0.14 < error_ahead(rough, 8) < 0


@pytest.mark.parametrize("lip", FAR + NEAR)
def test_turn_plan_promises_what_its_line_says_and_not_further(lip: Linkage) -> None:
    """Its times are the line's, and end three half turns past those timed, or at 1.5 times the window."""
    answer = plan(lip, list(FIRST), 18, 20)
    line = line_of(lip)
    promised = {row["half_turns"]: row["fold_time_s"] for row in answer["predictions"]}
    wanted = {n: 1 / line.rate(n) for n in range(-3, 6) if 0 < 1 / line.rate(n) <= 30}
    assert promised == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("lip", STEEP)
def test_turn_plan_stops_before_a_steep_lip_hangs(lip: Linkage) -> None:
    """One half turn from hanging, and still too quick, it says that the lip may hang and asks for no turn."""
    assert lip.fold_time(1) < 18 and math.isinf(lip.fold_time(2))
    answer = plan(lip, [0, 1], 18, 20)
    assert (answer["do_now"], answer["stop"]) == (0, "lip-may-hang")
    assert [row["half_turns"] for row in answer["predictions"] if row["half_turns"] > 1] == []


@pytest.mark.parametrize(("low", "high"), [(18, 20), (22, 24), (28, 31)])
@pytest.mark.parametrize("lip", ALL)
def test_following_turn_plan_ends_in_the_window_or_at_a_stop(lip: Linkage, low: float, high: float) -> None:
    """Whoever does only what it says, half a turn at a time, ends these in the window or at a stop."""
    settings = [0]
    for _ in range(30):
        if math.isinf(lip.fold_time(settings[-1])):
            assert lip in STEEP  # two settings timed, and no plan can see that the third hangs
            return
        answer = plan(lip, settings, low, high)
        if not answer["do_now"]:
            break
        settings.append(settings[-1] + answer["do_now"])
    ended = answer["stop"] or answer["headline"]["code"].rpartition(".")[2]
    # After 30 half turns the slowest of the lips are still on their way to the slow windows.
    assert ended in ("leave", "lip-may-hang", "half-turn-too-coarse") or len(settings) == 31
    if ended == "leave":
        assert low - 0.1 <= lip.fold_time(settings[-1]) <= high + 0.1  # the edge, to within one hand timing


@pytest.mark.parametrize("lip", STALLING)
def test_a_lip_timed_on_the_way_to_its_stall_is_stopped_before_it(lip: Linkage) -> None:
    """At the last setting that folds, three or more timed, growing steps stop the plan: it asks for no turn.

    The rule: the settings do not lie on one line, and the next rate, if the growth of the steps goes on,
    r2 + 2 (r2 - r1) - (r1 - r0), is below that of the window's long end.
    """
    last = next(n for n in range(40) if math.isinf(lip.fold_time(n + 1)))
    time = lip.fold_time(last)
    first, before, now = (1 / lip.fold_time(n) for n in range(last - 2, last + 1))
    assert now + 2 * (now - before) - (before - first) < 1 / (time + 4)
    for settings in (range(last + 1), range(last - 2, last + 1)):
        answer = plan(lip, list(settings), time + 1, time + 4)
        assert (answer["do_now"], answer["stop"]) == (0, "lip-may-hang")
        assert [reason["code"] for reason in answer["reasons"]] == ["turn-plan.reason.would-bend"]


@pytest.mark.parametrize("lip", FAR)
def test_a_lip_far_from_hanging_is_not_stopped_for_its_steps(lip: Linkage) -> None:
    """Its steps grow by so little that the plan goes on asking for the half turn toward the window."""
    time = lip.fold_time(5)
    assert plan(lip, list(range(6)), time + 0.6, time + 4)["do_now"] == 1


def test_a_stall_right_after_the_as_found_setting_gives_no_warning() -> None:
    """Timed at one setting only, 24.6 s, the lip hangs half a turn on: the plan asks for it, and says so."""
    lip = STALLING[2]
    assert (lip.fold_time(5), lip.fold_time(6)) == (pytest.approx(24.58, abs=0.01), math.inf)
    answer = plan(lip, [5], 25.5, 29)
    assert (answer["do_now"], answer["stop"]) == (1, None)
    assert "turn-plan.reason.if-it-hangs" in [reason["code"] for reason in answer["reasons"]]

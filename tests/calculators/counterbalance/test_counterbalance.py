"""The counterbalance: every kind of answer, every named error, and what must hold for any leveler."""

from __future__ import annotations

import inspect
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.counterbalance.calculator import INPUTS, OUTPUTS, calculate
from tests.calculators.asking import ask, errors
from tests.calculators.drawn_inputs import UNHURRIED, spoiled, within
from tests.calculators.leveler import BALANCED, FALLING

CODES = {
    "rises-easy",
    "rises-hard",
    "rises-alone",
    "stalls-easy",
    "stalls-hard",
    "stalls-alone",
    "stays-easy",
    "stays-hard",
    "stays-alone",
}


def answer(**changes: Any) -> dict[str, Any]:
    """Ask about the balanced leveler with changes."""
    return ask("counterbalance", BALANCED | changes)


def case(found: dict[str, Any]) -> str:
    """Return the headline's case."""
    return str(found["headline"]["code"]).rpartition(".")[2]


def reasons(found: dict[str, Any]) -> list[str]:
    """Return the reasons' last names."""
    return [str(reason["code"]).rpartition(".")[2] for reason in found["reasons"]]


def test_names_are_those_declared() -> None:
    """calculate takes exactly the declared inputs, and an answer holds exactly the declared outputs."""
    assert list(inspect.signature(calculate).parameters) == [field.name for field in INPUTS]
    assert list(answer()) == [output.name for output in OUTPUTS]
    curve = next(output for output in OUTPUTS if output.name == "curve")
    assert {tuple(row) for row in answer()["curve"]} == {tuple(column.name for column in curve.fields)}


def test_docstring_names_every_input_with_its_range() -> None:
    """The Args of the docstring name each input once, in order, with both ends of its range."""
    told = (inspect.getdoc(calculate) or "").partition("Args:")[2].partition("Returns:")[0]
    lines = [line.strip() for line in told.strip().splitlines()]
    assert [line.partition(":")[0] for line in lines] == [field.name for field in INPUTS]
    ranges = [f"; {field.low:.7g} to {field.high:.7g}".replace("1000000", "1e6") for field in INPUTS]
    assert [span for span, line in zip(ranges, lines, strict=True) if span not in line] == []


def test_curve_stands_on_round_angles() -> None:
    """The curve runs from end to end in round steps, coarser for a long travel, in at most 43 rows."""
    assert [row["angle_deg"] for row in answer()["curve"]] == [half / 2 for half in range(-16, 25)]
    for travel, step in ((10, 0.25), (20, 0.5), (40, 1), (80, 2), (140, 5)):
        angles = [row["angle_deg"] for row in answer(angle_low_deg=-70, angle_high_deg=travel - 70)["curve"]]
        assert {after - before for before, after in pairwise(angles)} == {step}
        assert len(angles) <= 43


def test_curve_keeps_odd_ends_and_dead_center() -> None:
    """Odd ends are in the curve as given, and so is the angle where the springs are shortest."""
    odd = [row["angle_deg"] for row in answer(angle_low_deg=-7.3, angle_high_deg=11.7)["curve"]]
    assert (odd[0], odd[1], odd[-1]) == (-7.3, -7.0, 11.7)
    curve = answer(
        frame_anchor_x_m=1,
        frame_anchor_y_m=0.1,
        platform_anchor_x_m=0.4,
        platform_anchor_y_m=0,
        free_length_m=0.3,
    )["curve"]
    shortest = next(row for row in curve if row["angle_deg"] == pytest.approx(5.710593137))
    assert shortest["spring_moment_nm"] == pytest.approx(0, abs=1e-6)
    assert curve[0]["spring_moment_nm"] > 0 > curve[-1]["spring_moment_nm"]


def test_balanced_leveler() -> None:
    """The balanced leveler rises and walks down, and says in words what it takes."""
    found = answer()
    assert case(found) == "rises-easy"
    assert (found["rises_through_travel"], found["stall_angle_deg"], found["slack"]) == (True, None, [])
    assert (found["half_turns_low"], found["half_turns_high"]) == (-38, 10)
    assert reasons(found) == ["rises", "easy", "band", "half-turn", "no-order"]
    peak = found["peak_walk_down_force_n"]
    assert found["headline"]["text"] == f"It rises through its travel, and {peak:.0f} N walks it down."


def test_reasons_say_the_numbers() -> None:
    """Each number in a reason is the answer's own: least lift, peak, band, and what a half turn does."""
    found = answer()
    texts = [reason["text"] for reason in found["reasons"]]
    least = min(found["curve"], key=lambda row: row["net_rising_nm"])
    hardest = max(found["curve"], key=lambda row: row["walk_down_force_n"])
    assert f"at least {least['net_rising_nm']:.0f} N·m is left to lift; least at " in texts[0]
    assert f"{hardest['walk_down_force_n']:.0f} N, within the limit of 300 N." in texts[1]
    assert texts[2].startswith("From \u221238 to 10 half turns it both rises")
    assert texts[2].endswith("looked for from \u2212100 to 100.")
    # 10 000 N/m x 1.25 mm
    assert texts[3].startswith("One half turn more makes each spring pull 13 N harder")
    assert f"by {found['half_turn_force_change_n']:.1f} N." in texts[3]


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("rises-easy", {}),
        ("rises-hard", {"walk_down_limit_n": 50}),
        ("rises-alone", {"half_turns": -60, "lip_stored_x_m": -2}),
        ("stalls-easy", FALLING),
        ("stalls-hard", FALLING | {"walk_down_limit_n": 50}),
        ("stalls-alone", FALLING | {"half_turns": 10, "lip_extended_x_m": 6}),
        ("stays-easy", {"half_turns": -65, "friction_moment_nm": 200}),
        ("stays-hard", {"half_turns": -65, "friction_moment_nm": 600, "walk_down_limit_n": 50}),
        ("stays-alone", {"half_turns": -60}),
    ],
)
def test_every_headline(code: str, changes: dict[str, Any]) -> None:
    """Each way of rising goes with each way of coming down, and the stall angle says the same."""
    found = answer(**changes)
    assert case(found) == code
    assert found["rises_through_travel"] == code.startswith("rises")
    assert (found["stall_angle_deg"] == -8) == code.startswith("stays")
    assert (found["peak_walk_down_force_n"] == 0) == code.endswith("alone")


def test_stall_says_how_high_the_end_stands() -> None:
    """A stall tells where the platform's far end is, above level or below."""
    above, below = answer(**FALLING, half_turns=50), answer(**FALLING)
    assert (reasons(above)[0], reasons(below)[0]) == ("stalls-above-level", "stalls-below-level")
    assert above["stall_angle_deg"] > 0 > below["stall_angle_deg"] > -8
    # 1.8 m x sin 4.2957 degrees, by hand
    assert below["reasons"][0]["text"] == (
        "From \u22124.3° on, weight and friction outweigh the springs. The platform's far end stands 13 cm "
        "below level there."
    )


def test_stall_is_where_nothing_is_left_to_lift() -> None:
    """At the stall angle the net moment is nothing, and just below it some is left."""
    stall = answer(**FALLING)["stall_angle_deg"]
    there = answer(**FALLING, angle_low_deg=stall - 0.5, angle_high_deg=stall)["curve"]
    assert there[-1]["net_rising_nm"] == pytest.approx(0, abs=1e-6)
    assert there[0]["net_rising_nm"] > 1


def test_slack_springs_are_told() -> None:
    """Where the springs are no longer than free they pull nothing, and the answer says where."""
    found = answer(free_length_m=1.35)
    assert found["slack"] == [9.5, 10, 10.5, 11, 11.5, 12]
    assert {row["spring_moment_nm"] for row in found["curve"] if row["angle_deg"] in found["slack"]} == {0.0}
    assert all(row["spring_moment_nm"] for row in found["curve"] if row["angle_deg"] not in found["slack"])
    told = found["reasons"][reasons(found).index("slack")]
    assert told["values"] == {"first_deg": found["slack"][0], "last_deg": found["slack"][-1]}


def test_springs_on_the_other_side_are_told() -> None:
    """Springs that pass the hinge on the other side pull the platform down, and the answer says where."""
    found = answer(frame_anchor_y_m=0.3, platform_anchor_y_m=0.3)
    assert all(row["spring_moment_nm"] < 0 for row in found["curve"])
    assert "pulls-down" in reasons(found)
    assert (found["half_turns_low"], found["half_turns_high"]) == (None, None)
    assert "never-rises" in reasons(found)


@pytest.mark.parametrize(
    ("reason", "changes"),
    [
        ("never-rises", {"platform_mass_kg": 2000}),
        ("never-walks", {"spring_rate_n_per_m": 60_000, "free_length_m": 0.2, "walk_down_limit_n": 50}),
        ("never-both", {"walk_down_limit_n": 5}),
        ("never-either", {"platform_mass_kg": 1200, "lip_extended_x_m": -6, "lip_mass_kg": 400}),
    ],
)
def test_no_band_has_its_reason(reason: str, changes: dict[str, Any]) -> None:
    """Where no setting does both, both ends are empty and the answer says which half is missing."""
    found = answer(**changes)
    assert (found["half_turns_low"], found["half_turns_high"]) == (None, None)
    assert reason in reasons(found)


def test_band_ends_where_the_answer_changes() -> None:
    """At each end of the band it rises and walks down; one half turn further out it does not."""
    found = answer()
    low, high = found["half_turns_low"], found["half_turns_high"]
    cases = {n: case(answer(half_turns=n)) for n in (low - 1, low, high, high + 1)}
    assert (cases[low], cases[high]) == ("rises-easy", "rises-easy")
    assert cases[low - 1].startswith("st")
    assert cases[high + 1] == "rises-hard"


def test_search_never_uses_up_the_free_length() -> None:
    """The band ends before the free length does, and a setting beyond that is an error, not an answer."""
    short = {
        "free_length_m": 0.05,
        "thread_pitch_m": 0.01,
        "half_turns": 9,
        "spring_rate_n_per_m": 100,
        "initial_tension_n": 100,
        "platform_mass_kg": 10,
        "lip_mass_kg": 0,
    }
    assert answer(**short)["half_turns_high"] == 9
    assert errors("counterbalance", BALANCED | short | {"half_turns": 10}) == {
        "half_turns": "Half turns made: 10 half turns take away more than the whole free length; at most 9 "
        "can be made. Check pitch and free length."
    }


def test_without_springs_a_half_turn_changes_nothing() -> None:
    """No springs: no moment, nothing slack, no band, and no word of what a half turn would do."""
    found = answer(spring_count=0)
    assert (found["half_turn_force_change_n"], found["slack"], case(found)) == (0, [], "stays-alone")
    assert {row["spring_moment_nm"] for row in found["curve"]} == {0}
    assert reasons(found)[-2:] == ["no-springs", "no-order"]


def test_half_turn_change_is_the_next_peak_less_this_one() -> None:
    """The change by one half turn more is the difference of two whole answers."""
    now, then = answer(), answer(half_turns=1)
    difference = then["peak_walk_down_force_n"] - now["peak_walk_down_force_n"]
    assert now["half_turn_force_change_n"] == pytest.approx(difference, rel=1e-9)
    assert difference > 0


def test_it_orders_nothing() -> None:
    """No answer orders a turn or a cycle, so none carries the cautions of one; each says so."""
    for changes in ({}, FALLING, {"half_turns": -60}, {"walk_down_limit_n": 5}):
        found = answer(**changes)
        assert not {"before_turning", "before_cycling", "do_now"} & set(found)
        assert reasons(found)[-1] == "no-order"


@pytest.mark.parametrize(
    ("changes", "field", "message"),
    [
        (
            {"angle_low_deg": 12},
            "angle_high_deg",
            "Highest angle: 12° is not above the lowest angle, 12°. Give the lower one first; below level is "
            "minus.",
        ),
        (
            {"platform_centre_m": 1.9},
            "platform_centre_m",
            "Platform's center of mass: 1.9 m is farther out than the platform is long, 1.8 m. Check both; "
            "they count from the same hinge.",
        ),
        (
            {"walk_down_x_m": 2},
            "walk_down_x_m",
            "Where the person stands: 2 m is farther out than the platform is long, 1.8 m. Check both; they "
            "count from the same hinge.",
        ),
        (
            {"frame_anchor_x_m": 0.0009, "frame_anchor_y_m": 0},
            "frame_anchor_x_m",
            "Anchor on the frame, along: this anchor lies within 1 mm of the hinge, where no pull can turn "
            "the platform. Measure it again from the hinge, along and up.",
        ),
        (
            {"platform_anchor_x_m": 0, "platform_anchor_y_m": 0},
            "platform_anchor_x_m",
            "Anchor on the platform, along: this anchor lies within 1 mm of the hinge, where no pull can "
            "turn the platform. Measure it again from the hinge, along and up.",
        ),
        (
            {"frame_anchor_x_m": -0.2, "frame_anchor_y_m": -0.3},
            "platform_anchor_x_m",
            "Anchor on the platform, along: at 0.0° both anchors come within 1 mm of each other. No spring "
            "fits there. Measure both again, or take that angle out of the travel.",
        ),
        (
            {"half_turns": 101},
            "half_turns",
            "Half turns made: 101 is outside what is allowed, \u2212100 to 100 half turn. Check the decimal "
            "mark and the unit, then give it again.",
        ),
    ],
)
def test_named_errors(changes: dict[str, Any], field: str, message: str) -> None:
    """Each impossible leveler is named by field: what was given, what is allowed, what to do."""
    assert errors("counterbalance", BALANCED | changes) == {field: message}


def test_anchors_that_meet_outside_the_travel_are_no_error() -> None:
    """Anchors on one circle meet at one angle only; a travel that ends before it can be worked out."""
    # Both lie 0.5 m from the hinge, the platform's 36.870 degrees above the frame's: there they meet.
    met = BALANCED | {
        "frame_anchor_x_m": 0.4,
        "frame_anchor_y_m": -0.3,
        "platform_anchor_x_m": 0.5,
        "platform_anchor_y_m": 0,
    }
    assert ask("counterbalance", met | {"angle_low_deg": -36.7})["curve"]
    told = errors("counterbalance", met | {"angle_low_deg": -37})["platform_anchor_x_m"]
    assert told.startswith("Anchor on the platform, along: at \u221236.9° both anchors come within 1 mm")


def test_all_problems_are_told_together() -> None:
    """Several mistakes come back in one answer."""
    wrong = {"angle_low_deg": 13, "walk_down_x_m": 3, "platform_anchor_x_m": 0, "platform_anchor_y_m": 0}
    assert set(errors("counterbalance", BALANCED | wrong)) == {
        "angle_high_deg",
        "walk_down_x_m",
        "platform_anchor_x_m",
    }


@UNHURRIED
@given(within(INPUTS))
def test_any_allowed_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Over the whole declared range there is an answer of finite numbers, or errors that name a field."""
    found = ask("counterbalance", inputs)
    if "errors" in found:
        assert {error["field"] for error in found["errors"]} <= {field.name for field in INPUTS}
        return
    assert case(found) in CODES
    assert found["rises_through_travel"] == (found["stall_angle_deg"] is None)
    angles = [row["angle_deg"] for row in found["curve"]]
    assert angles == sorted(set(angles))
    both = (found["half_turns_low"], found["half_turns_high"])
    assert both == (None, None) or -100 <= both[0] <= both[1] <= 100


@UNHURRIED
@given(spoiled(INPUTS))
def test_any_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Whatever is given, nothing comes back but an answer or named errors."""
    found = ask("counterbalance", inputs)
    assert "headline" in found or all(error["message"] and error["field"] for error in found["errors"])


SETTINGS = st.fixed_dictionaries(
    {
        "half_turns": st.integers(-100, 99),
        "platform_mass_kg": st.floats(50, 900),
        "spring_rate_n_per_m": st.floats(500, 20_000),
        "platform_anchor_x_m": st.floats(-0.2, 0.3),
        "friction_moment_nm": st.floats(0, 300),
    }
)


@UNHURRIED
@given(SETTINGS)
def test_tightening_lifts_more(changes: dict[str, Any]) -> None:
    """One half turn more never lifts less where the springs lift, and never makes walking down easier."""
    looser, tighter = answer(**changes), answer(**changes | {"half_turns": changes["half_turns"] + 1})
    for before, after in zip(looser["curve"], tighter["curve"], strict=True):
        assert after["spring_moment_nm"] >= before["spring_moment_nm"] >= 0
    assert tighter["peak_walk_down_force_n"] >= looser["peak_walk_down_force_n"]
    assert tighter["rises_through_travel"] >= looser["rises_through_travel"]
    assert (tighter["half_turns_low"], tighter["half_turns_high"]) == (
        looser["half_turns_low"],
        looser["half_turns_high"],
    )


@UNHURRIED
@given(SETTINGS, st.floats(1.001, 2))
def test_a_heavier_platform_rises_harder(changes: dict[str, Any], times: float) -> None:
    """More weight leaves less to lift at every angle, stalls no later, and is easier to walk down."""
    heavy = changes | {"platform_mass_kg": changes["platform_mass_kg"] * times}
    light, heavier = answer(**changes), answer(**heavy)
    for before, after in zip(light["curve"], heavier["curve"], strict=True):
        assert after["net_rising_nm"] < before["net_rising_nm"]
    assert heavier["peak_walk_down_force_n"] <= light["peak_walk_down_force_n"]
    if heavier["rises_through_travel"]:
        assert light["rises_through_travel"]
    if light["stall_angle_deg"] is not None:
        assert heavier["stall_angle_deg"] <= light["stall_angle_deg"]


@UNHURRIED
@given(SETTINGS, st.floats(0.1, 200))
def test_friction_helps_neither_way(changes: dict[str, Any], more: float) -> None:
    """More friction leaves less to lift and more to be walked down."""
    rubbing = changes | {"friction_moment_nm": changes["friction_moment_nm"] + more}
    for before, after in zip(answer(**changes)["curve"], answer(**rubbing)["curve"], strict=True):
        assert after["net_rising_nm"] < before["net_rising_nm"]
        assert after["walk_down_force_n"] >= before["walk_down_force_n"]


@UNHURRIED
@given(SETTINGS)
def test_springs_add_up(changes: dict[str, Any]) -> None:
    """Two springs do twice what one does, and one of twice the rate and tension does the same."""
    one = answer(**changes, spring_count=1)
    two = answer(**changes, spring_count=2)
    strong = {"spring_rate_n_per_m": 2 * changes["spring_rate_n_per_m"], "initial_tension_n": 400}
    stronger = answer(**changes | strong, spring_count=1)
    for single, double, same in zip(one["curve"], two["curve"], stronger["curve"], strict=True):
        assert double["spring_moment_nm"] == pytest.approx(2 * single["spring_moment_nm"], rel=1e-11)
        assert same["spring_moment_nm"] == pytest.approx(double["spring_moment_nm"], rel=1e-11)


@UNHURRIED
@given(SETTINGS, st.floats(0.5, 2))
def test_bigger_in_every_length_is_the_same_leveler(changes: dict[str, Any], times: float) -> None:
    """All lengths times k, rates divided by k: every moment times k, every force the same."""
    small = BALANCED | changes
    lengths = [field.name for field in INPUTS if field.unit == "m"]
    assume(all(small[name] * times <= 6 for name in lengths))
    big = small | {name: small[name] * times for name in lengths}
    big |= {
        "spring_rate_n_per_m": small["spring_rate_n_per_m"] / times,
        "friction_moment_nm": small["friction_moment_nm"] * times,
    }
    one, other = ask("counterbalance", small), ask("counterbalance", big)
    for row, scaled in zip(one["curve"], other["curve"], strict=True):
        assert scaled["net_rising_nm"] == pytest.approx(times * row["net_rising_nm"], rel=1e-7, abs=1e-6)
        assert scaled["walk_down_force_n"] == pytest.approx(row["walk_down_force_n"], rel=1e-7, abs=1e-6)


def test_soft_springs_under_tension_do_at_any_setting() -> None:
    """Springs that pull almost the same at any length do everywhere within reach, from end to end."""
    found = answer(initial_tension_n=9000, spring_rate_n_per_m=10, walk_down_limit_n=5000)
    assert (found["half_turns_low"], found["half_turns_high"]) == (-100, 100)


def test_an_anchor_that_cannot_be_is_echoed() -> None:
    """The error names the measure along and shows the value that was given there."""
    hinge = ask("counterbalance", BALANCED | {"frame_anchor_x_m": 0.0004, "frame_anchor_y_m": 0.0005})
    meet = ask("counterbalance", BALANCED | {"frame_anchor_x_m": -0.2, "frame_anchor_y_m": -0.3})
    told = [(error["field"], error["value"]) for found in (hinge, meet) for error in found["errors"]]
    assert told == [("frame_anchor_x_m", 0.0004), ("platform_anchor_x_m", -0.2)]


def test_two_bands_that_do_not_meet_are_both_named() -> None:
    """At each end named, rising and walking down begin or end; in no setting do they meet."""
    limit = {"walk_down_limit_n": 5}
    (band,) = (each["values"] for each in answer(**limit)["reasons"] if each["code"].endswith(".never-both"))
    at = {
        n: case(answer(**limit, half_turns=n)).split("-")
        for n in (band["rise_low"] - 1, band["rise_low"], band["walk_high"], band["walk_high"] + 1)
    }
    assert [up == "rises" for up, _ in at.values()][:2] == [False, True]
    assert [down == "hard" for _, down in at.values()][2:] == [False, True]
    assert (band["walk_low"], band["rise_high"]) == (-100, 100)
    assert band["walk_high"] < band["rise_low"]

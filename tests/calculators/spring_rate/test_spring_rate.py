"""The spring rate: by dimensions, by two points, every half-given group, and how springs scale."""

from __future__ import annotations

import inspect
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.spring_rate.calculator import INPUTS, OUTPUTS, calculate
from tests.calculators.asking import ask, errors
from tests.calculators.drawn_inputs import UNHURRIED, spoiled, within

COIL: dict[str, Any] = {
    "wire_diameter_m": 0.01,
    "outside_diameter_m": 0.07,
    "active_coils": 40,
    "shear_modulus_pa": 80e9,
}
"""D = 60 mm, C = 6, k = 80e9 x 1e-8 / (8 x 2.16e-4 x 40) = 11 574.074 N/m."""
STRETCH = {"initial_tension_n": 250, "extension_m": 0.2}
POINTS = {"points": [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.9, "force_n": 2400}]}
CALLED = {
    "wire_diameter_m": "Wire diameter",
    "outside_diameter_m": "Outside diameter of the coil",
    "active_coils": "Active coils",
    "shear_modulus_pa": "Shear modulus of the wire",
}


def answer(**inputs: Any) -> dict[str, Any]:
    """Ask for a spring rate."""
    return ask("spring-rate", inputs)


def reasons(found: dict[str, Any]) -> list[str]:
    """Return the reasons' last names."""
    return [str(reason["code"]).rpartition(".")[2] for reason in found["reasons"]]


def test_names_are_those_declared() -> None:
    """calculate takes exactly the declared inputs, all optional; an answer holds exactly the outputs."""
    parameters = inspect.signature(calculate).parameters
    assert list(parameters) == [field.name for field in INPUTS]
    assert {parameter.default for parameter in parameters.values()} == {None}
    assert set(answer(**COIL)) == {output.name for output in OUTPUTS}


def test_dimensions_alone_give_the_rate() -> None:
    """Four dimensions give rate, index and Wahl factor; what needs more is empty, not zero."""
    found = answer(**COIL)
    assert found["rate_n_per_m"] == pytest.approx(11_574.0740740741, rel=1e-11)
    assert (found["mean_diameter_m"], found["spring_index"], found["wahl_factor"]) == (0.06, 6, 1.2525)
    empty = ("force_n", "shear_stress_pa", "half_turn_extension_m", "half_turn_force_n")
    assert [found[name] for name in empty] == [None] * 4
    assert reasons(found) == ["dimensions", "measuring", "replacement"]


def test_everything_given() -> None:
    """With stretch and pitch the pull, the stress and the half turn follow."""
    found = answer(**COIL, **STRETCH, thread_pitch_m=0.0025)
    # 250 N + 11 574.074 N/m x 0.2 m; 1.2525 x 8 F D / (pi d^3); 1.25 mm and 11 574.074 x 0.00125
    assert found["force_n"] == pytest.approx(2564.8148148148, rel=1e-11)
    assert found["shear_stress_pa"] == pytest.approx(490_823_234.1658629, rel=1e-11)
    assert found["half_turn_extension_m"] == 0.00125
    assert found["half_turn_force_n"] == pytest.approx(14.4675925926, rel=1e-11)
    assert reasons(found) == ["dimensions", "pull", "stress", "half-turn", "measuring", "replacement"]


def test_reasons_say_the_numbers() -> None:
    """Each number in a reason is the answer's own, in millimeters, newtons and MPa."""
    found = answer(**COIL, **STRETCH, thread_pitch_m=0.0025)
    texts = [reason["text"] for reason in found["reasons"]]
    assert found["headline"]["text"].startswith("The spring's rate is 11.57 N/mm.")
    assert texts[0].startswith("Worked out from its dimensions: mean coil diameter 60.0 mm, 6.0 times")
    assert texts[1] == "Pulled 200.0 mm longer than free, it pulls 2565 N."
    assert texts[2].startswith("The coils then bear a shear stress of 491 MPa.")
    assert texts[3].startswith("One half turn takes up 1.25 mm and changes the pull by 14.5 N.")
    odd = answer(**COIL | {"outside_diameter_m": 0.15})["reasons"][1]["text"]
    assert odd.startswith("Springs are usually coiled 4 to 12 times the wire; this one is 14.0.")


def test_one_point_is_counted() -> None:
    """A single point comes back as a count of one."""
    told = ask("spring-rate", {"points": POINTS["points"][:1]})["errors"]
    assert [(error["field"], error["value"]) for error in told] == [("points", 1)]


def test_two_points_give_the_measured_rate() -> None:
    """The slope between two points is the rate, whichever comes first; there is no coil to speak of."""
    found = answer(**POINTS, **STRETCH, thread_pitch_m=0.0025)
    assert (found["rate_n_per_m"], found["force_n"], found["half_turn_force_n"]) == (10_000, 2250, 12.5)
    coil = ("mean_diameter_m", "spring_index", "wahl_factor", "shear_stress_pa")
    assert [found[name] for name in coil] == [None] * 4
    assert reasons(found) == ["points", "pull", "half-turn", "measuring", "replacement"]
    assert found["reasons"][0]["text"].startswith("Measured: 2000 N more over 200 mm.")
    swapped = answer(points=POINTS["points"][::-1], **STRETCH, thread_pitch_m=0.0025)
    assert swapped == found


def test_empty_points_count_as_none() -> None:
    """A sheet sends an empty list where no point was written; the dimensions then answer."""
    assert answer(**COIL, points=[]) == answer(**COIL) == answer(**COIL, points=None)


def test_it_names_no_replacement() -> None:
    """Every answer says that the replacement is the maker's choice, in its headline and as last reason."""
    for inputs in (COIL, POINTS):
        found = answer(**inputs)
        assert found["headline"]["text"].endswith("is the maker's choice, not this book's.")
        assert found["reasons"][-1]["text"].startswith("A replacement spring is the maker's choice")
        assert not {"before_turning", "before_cycling", "do_now"} & set(found)


@pytest.mark.parametrize(("outside", "told"), [(0.049, True), (0.05, False), (0.13, False), (0.132, True)])
def test_unusual_index_is_told(outside: float, told: bool) -> None:
    """Outside 4 to 12 wires the answer asks to check both diameters; the rate is given all the same."""
    found = answer(**COIL | {"outside_diameter_m": outside})
    assert ("unusual-index" in reasons(found)) == told


def test_nothing_given() -> None:
    """With neither dimensions nor points the answer asks for one of the two."""
    message = "Wire diameter: nothing was given. Give all four dimensions, or two measured points."
    assert errors("spring-rate", {"thread_pitch_m": 0.002}) == {"wire_diameter_m": message}


@pytest.mark.parametrize("given", list(COIL))
def test_half_given_dimensions(given: str) -> None:
    """One dimension alone asks for each of the other three by name, and says which group it is."""
    told = errors("spring-rate", {given: COIL[given]})
    assert told == {
        name: f"{CALLED[name]}: nothing was given, but other dimensions were. The rate takes wire diameter, "
        "outside diameter, active coils and shear modulus. Fill it in, or clear all four and give two "
        "measured points."
        for name in COIL
        if name != given
    }


@pytest.mark.parametrize(
    ("given", "blank", "called"),
    [
        ("initial_tension_n", "extension_m", "Extension"),
        ("extension_m", "initial_tension_n", "Initial tension"),
    ],
)
def test_half_given_stretch(given: str, blank: str, called: str) -> None:
    """Initial tension and extension go together, with dimensions and with points."""
    message = (
        f"{called}: nothing was given, but its partner was. The pull takes initial tension and "
        "extension. Give both, or neither."
    )
    for rate in (COIL, POINTS):
        assert errors("spring-rate", rate | {given: STRETCH[given]}) == {blank: message}


@pytest.mark.parametrize(
    ("inputs", "field", "message"),
    [
        (
            COIL | POINTS,
            "points",
            "Measured points: dimensions were given too. Clear the four dimensions or the points; a spring "
            "has one rate.",
        ),
        (
            {"points": POINTS["points"][:1]},
            "points",
            "Measured points: only one was given. A rate takes two, at two lengths. Add the other, or give "
            "the four dimensions.",
        ),
        (
            {"points": [*POINTS["points"], POINTS["points"][0]]},
            "points",
            "Measured points: 3 given, at most 2 allowed. Keep the 2 that belong to this visit.",
        ),
        (
            {"points": [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.7009, "force_n": 500}]},
            "points[1].length_m",
            "Measured points, number 2, Length: the two lengths are 0.90 mm apart, at least 1 mm is needed. "
            "Measure the second pull at a clearly different length.",
        ),
        (
            {"points": [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.9, "force_n": 400}]},
            "points[1].force_n",
            "Measured points, number 2, Pull: the longer length has no more pull than the shorter. A spring "
            "that is stretched pulls harder. Check which pull belongs to which length; springs that push are "
            "not for this sheet.",
        ),
        (
            {"points": [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.9, "force_n": 0}]},
            "points[1].force_n",
            "Measured points, number 2, Pull: 0 is outside what is allowed, above 0, up to 100000 N. Check "
            "the decimal mark and the unit, then give it again.",
        ),
        (
            COIL | {"outside_diameter_m": 0.0299},
            "outside_diameter_m",
            "Outside diameter of the coil: 29.90 mm is too narrow for a wire of 10.00 mm; below 30.00 mm "
            "none can be coiled. Measure over the coils, and the bare wire.",
        ),
    ],
)
def test_named_errors(inputs: dict[str, Any], field: str, message: str) -> None:
    """Each impossible spring is named by field: what was given, what is allowed, what to do."""
    assert errors("spring-rate", inputs) == {field: message}


def test_an_error_holds_what_was_given() -> None:
    """The value of an error is the input itself, in its own unit, whatever the sentence speaks."""
    (error,) = ask("spring-rate", COIL | {"outside_diameter_m": 0.0299})["errors"]
    assert error["value"] == 0.0299


def test_a_spring_may_be_as_soft_as_half_a_newton_a_meter() -> None:
    """Any pull that rises with the length is a rate."""
    points = [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.9, "force_n": 400.1}]
    assert ask("spring-rate", {"points": points})["rate_n_per_m"] == pytest.approx(0.5)


@pytest.mark.parametrize(("wire", "outside"), [(0.01, 0.03), (0.0011, 0.0033), (0.0022, 0.0066)])
def test_the_narrowest_coil_is_answered(wire: float, outside: float) -> None:
    """A coil of three wires' outside diameter is the last one answered, in binary too."""
    coil = COIL | {"wire_diameter_m": wire, "outside_diameter_m": outside}
    assert answer(**coil)["spring_index"] == pytest.approx(2)


def test_groups_are_told_together() -> None:
    """A half-given stretch and a half-given coil come back in one answer."""
    told = errors("spring-rate", {"wire_diameter_m": 0.01, "active_coils": 5, "extension_m": 0.1})
    assert set(told) == {"outside_diameter_m", "shear_modulus_pa", "initial_tension_n"}


@UNHURRIED
@given(within(INPUTS))
def test_any_allowed_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Over the whole declared range there is an answer of finite numbers, or errors that name a field."""
    found = ask("spring-rate", inputs)
    assert "errors" in found or found["rate_n_per_m"] > 0


@UNHURRIED
@given(spoiled(INPUTS))
def test_any_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Whatever is given, nothing comes back but an answer or named errors."""
    found = ask("spring-rate", inputs)
    assert "headline" in found or all(error["message"] and error["field"] for error in found["errors"])


COILS = st.fixed_dictionaries(
    {
        "wire_diameter_m": st.floats(0.001, 0.02),
        "outside_diameter_m": st.floats(0.06, 0.3),
        "active_coils": st.floats(2, 200),
        "shear_modulus_pa": st.floats(5e10, 1e11),
        "initial_tension_n": st.floats(0, 1000),
        "extension_m": st.floats(0.001, 1),
    }
)


@UNHURRIED
@given(COILS, st.floats(1.01, 2))
def test_rate_scales_as_springs_do(coil: dict[str, Any], times: float) -> None:
    """Half the coils or twice the modulus doubles the rate; all diameters times k multiply it by k."""
    rate = answer(**coil)["rate_n_per_m"]
    stiffer = coil | {"shear_modulus_pa": coil["shear_modulus_pa"] * times}
    fewer = coil | {"active_coils": coil["active_coils"] / times}
    bigger = coil | {name: coil[name] * times for name in ("wire_diameter_m", "outside_diameter_m")}
    for changed in (stiffer, fewer, bigger):
        assert answer(**changed)["rate_n_per_m"] == pytest.approx(rate * times, rel=1e-9)


@UNHURRIED
@given(COILS, st.floats(1.01, 1.5))
def test_thicker_wire_is_stiffer_and_longer_pulls_harder(coil: dict[str, Any], times: float) -> None:
    """Thicker wire in the same outside diameter is stiffer; more extension pulls harder and stresses more."""
    assume(coil["outside_diameter_m"] >= 3 * coil["wire_diameter_m"] * times)
    found = answer(**coil)
    assert (
        answer(**coil | {"wire_diameter_m": coil["wire_diameter_m"] * times})["rate_n_per_m"]
        > (found["rate_n_per_m"])
    )
    longer = answer(**coil | {"extension_m": coil["extension_m"] * times})
    assert longer["force_n"] > found["force_n"]
    assert longer["shear_stress_pa"] > found["shear_stress_pa"]
    assert longer["rate_n_per_m"] == found["rate_n_per_m"]


@UNHURRIED
@given(COILS, st.floats(0.0021, 0.02))
def test_two_points_of_a_spring_give_its_rate_back(coil: dict[str, Any], pitch: float) -> None:
    """A spring worked out by dimensions, then measured at lengths a half turn apart, has the same rate."""
    found = answer(**coil, thread_pitch_m=pitch)
    pull, more = found["force_n"], found["half_turn_force_n"]
    assume(0 < pull <= pull + more <= 100_000 and more > 1e-3)
    points = [{"length_m": 1, "force_n": pull}, {"length_m": 1 + pitch / 2, "force_n": pull + more}]
    assert answer(points=points)["rate_n_per_m"] == pytest.approx(found["rate_n_per_m"], rel=1e-4)


def test_an_impossible_spring_is_echoed() -> None:
    """Two ways at once are named by how many points there are, points by their own values."""
    short = [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.7005, "force_n": 500}]
    weak = [{"length_m": 0.7, "force_n": 400}, {"length_m": 0.9, "force_n": 300}]
    asked = (COIL | POINTS, {"points": short}, {"points": weak})
    told = [error["value"] for inputs in asked for error in ask("spring-rate", inputs)["errors"]]
    assert told == [2, 0.7005, 300]


def test_reasons_name_the_numbers_of_the_answer() -> None:
    """Stress in MPa, half a pitch and the lengths' difference in millimeters, to the last digit."""
    found = answer(**COIL, **STRETCH, thread_pitch_m=0.0025)
    named = {reason["code"].rsplit(".", 1)[1]: reason["values"] for reason in found["reasons"]}
    assert named["stress"]["stress_mpa"] == pytest.approx(found["shear_stress_pa"] / 1e6, rel=1e-11)
    assert named["half-turn"]["half_turn_mm"] == pytest.approx(1.25, rel=1e-11)
    (points,) = (
        reason["values"]
        for reason in answer(**POINTS)["reasons"]
        if reason["code"] == "spring-rate.reason.points"
    )
    lengths = [point["length_m"] for point in POINTS["points"]]
    assert points["length_change_mm"] == pytest.approx(1000 * (max(lengths) - min(lengths)), rel=1e-11)

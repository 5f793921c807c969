"""The dock slope: the four answers, both limits from either side, and how slopes behave."""

from __future__ import annotations

import inspect
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.dock_slope.calculator import INPUTS, OUTPUTS, calculate
from tests.calculators.asking import WORDS, ask, errors
from tests.calculators.drawn_inputs import UNHURRIED, spoiled, within

DOCK: dict[str, Any] = {
    "dock_height_m": 1.2,
    "bed_height_m": 1.3,
    "platform_length_m": 1.6,
    "lip_length_m": 0.4,
    "slope_limit_percent": 12.5,
    "reach_above_m": 0.3,
    "reach_below_m": 0.25,
}


def answer(**changes: Any) -> dict[str, Any]:
    """Ask about the dock with changes."""
    return ask("dock-slope", DOCK | changes)


def codes(found: dict[str, Any]) -> list[str]:
    """Return the last names of the headline and of the reasons."""
    return [str(each["code"]).rpartition(".")[2] for each in (found["headline"], *found["reasons"])]


def test_names_are_those_declared() -> None:
    """calculate takes exactly the declared inputs, and an answer holds exactly the declared outputs."""
    assert list(inspect.signature(calculate).parameters) == [field.name for field in INPUTS]
    assert list(answer()) == [output.name for output in OUTPUTS]


@pytest.mark.parametrize(
    ("bed", "changes", "expected"),
    [
        # 0.1 m over 2 m: asin 0.05 = 2.865984 degrees, tan = 5.006261 %, by hand
        (1.3, {}, ["within-both", "uphill", "within-limit", "within-reach"]),
        (1.1, {}, ["within-both", "downhill", "within-limit", "within-reach"]),
        (1.2, {}, ["within-both", "level", "within-limit", "within-reach"]),
        (1.46, {}, ["too-steep", "uphill", "beyond-limit", "within-reach"]),
        (1.3, {"reach_above_m": 0.09}, ["out-of-reach", "uphill", "within-limit", "beyond-reach"]),
        (1.1, {"reach_below_m": 0.09}, ["out-of-reach", "downhill", "within-limit", "beyond-reach"]),
        (0.9, {}, ["out-of-both", "downhill", "beyond-limit", "beyond-reach"]),
    ],
)
def test_every_answer(bed: float, changes: dict[str, Any], expected: list[str]) -> None:
    """Each of the four answers, uphill, downhill and level; two reasons are in every one."""
    found = answer(bed_height_m=bed, **changes)
    assert codes(found) == [*expected, "changes", "not-decided"]
    assert (found["within_limit"], found["within_reach"]) == (
        "within-limit" in expected,
        "within-reach" in expected,
    )


def test_numbers_by_hand() -> None:
    """0.1 m over a board of 2 m: 2.865984 degrees and 5.006262 %, downhill the same with a minus."""
    up, down = answer(), answer(bed_height_m=1.1)
    assert up["angle_deg"] == pytest.approx(2.8659839825988617, rel=1e-11)
    assert up["slope_percent"] == pytest.approx(5.006261743217588, rel=1e-11)
    assert (down["angle_deg"], down["slope_percent"]) == (-up["angle_deg"], -up["slope_percent"])
    assert up["headline"]["text"] == (
        "The slope is 5.0 %. That is within the limit of 12.5 % and within the leveler's reach."
    )


def test_reasons_say_the_numbers() -> None:
    """Each number in a reason is the answer's own, in centimeters and percent."""
    texts = [reason["text"] for reason in answer()["reasons"]]
    assert texts[:3] == [
        "It goes 10.0 cm uphill to the truck over a board of 200 cm.",
        "5.01 % is no more than the limit of 12.50 %.",
        "The leveler is made to reach 30.0 cm above and 25.0 cm below the dock.",
    ]
    out = answer(bed_height_m=0.9)["headline"]["text"]
    # 0.3 m over 2 m: tan(asin 0.15) = 15.1716 %, by hand
    assert out == (
        "Out of reach and too steep: the truck bed stands 30.0 cm from the dock's height, 15.2 %. "
        "The lip does not go on it."
    )


def test_both_limits_belong_to_what_is_allowed() -> None:
    """Exactly at the slope limit and exactly at either reach is still within; a hair more is not."""
    slope = answer()["slope_percent"]
    assert answer(slope_limit_percent=slope)["within_limit"]
    assert not answer(slope_limit_percent=slope - 1e-9)["within_limit"]
    for bed, reach in ((1.5, "reach_above_m"), (0.95, "reach_below_m")):
        assert answer(bed_height_m=bed)["within_reach"]
        assert not answer(bed_height_m=bed, **{reach: DOCK[reach] - 1e-9})["within_reach"]


def test_a_bed_beyond_the_board_is_named() -> None:
    """A bed farther off than the board is long has no slope: an error by name, not an endless number."""
    assert errors("dock-slope", DOCK | {"dock_height_m": 0, "bed_height_m": 2}) == {
        "bed_height_m": "Height of the truck bed: bed and dock would stand 2000 mm apart, and platform and "
        "lip together are only 2000 mm long. Check both heights, measured from one driveway, "
        "and the unit."
    }
    (error,) = ask("dock-slope", DOCK | {"dock_height_m": 0, "bed_height_m": 2})["errors"]
    assert error["value"] == 2
    assert answer(dock_height_m=0, bed_height_m=1.999)["angle_deg"] > 88


def test_no_answer_says_safe() -> None:
    """No sentence says safe: a figure is held against a figure, and what is left out is said."""
    told = {code: text for code, text in WORDS.items() if code.startswith("dock-slope.")}
    assert len(told) > 12
    assert [code for code, text in told.items() if "safe" in text.lower()] == []
    assert "decide" in answer()["reasons"][-1]["text"]


@UNHURRIED
@given(within(INPUTS))
def test_any_allowed_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Over the whole declared range there is an answer of finite numbers, or the one error that can be."""
    found = ask("dock-slope", inputs)
    if "errors" in found:
        assert [error["field"] for error in found["errors"]] == ["bed_height_m"]
        return
    assert found["within_limit"] == (abs(found["slope_percent"]) <= inputs["slope_limit_percent"])
    assert -90 <= found["angle_deg"] <= 90


@UNHURRIED
@given(spoiled(INPUTS))
def test_any_input_is_answered_or_named(inputs: dict[str, Any]) -> None:
    """Whatever is given, nothing comes back but an answer or named errors."""
    found = ask("dock-slope", inputs)
    assert "headline" in found or all(error["message"] and error["field"] for error in found["errors"])


@UNHURRIED
@given(st.floats(0, 3), st.floats(0, 3), st.floats(0.2, 6), st.floats(0.01, 2))
def test_slope_behaves(dock: float, bed: float, platform: float, more: float) -> None:
    """A longer board is never steeper; a higher bed is steeper uphill; bed and dock swapped turn the sign."""
    assume(abs(bed - dock) < 0.9 * platform)
    here = {"dock_height_m": dock, "bed_height_m": bed, "platform_length_m": platform, "lip_length_m": 0}
    slope = answer(**here)["slope_percent"]
    assert abs(answer(**here | {"lip_length_m": more})["slope_percent"]) <= abs(slope)
    assert answer(**here | {"dock_height_m": bed, "bed_height_m": dock})["slope_percent"] == -slope
    higher = bed + 0.05 * platform
    if higher <= 3:
        assert answer(**here | {"bed_height_m": higher})["slope_percent"] > slope

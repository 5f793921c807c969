"""The mainspring plan's rules that hold for every visit; single answers are in tests/cases."""

from __future__ import annotations

import itertools
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.mainspring_plan import calculator as mainspring_plan
from tests.calculators.asking import PROJECT, WORDS, ask
from tests.calculators.drawn_inputs import unhurried
from tests.calculators.plan_visits import mainspring_visits

SHORT = {"half_turns": 0, "rise": "short", "lip_extended": False, "walk_down": "easy"}


def answer(**given_inputs: object) -> dict[str, Any]:
    """The answer of the single door."""
    return ask("mainspring-plan", given_inputs)


@unhurried(100)
@given(visit=mainspring_visits())
def test_one_cycle_at_the_present_setting_never_orders_a_turn(visit: dict[str, Any]) -> None:
    """With fewer than two cycles where the springs stand, do_now is 0 and nothing is left as good."""
    last = visit["cycles"][-1]
    kept = [row for row in visit["cycles"][:-1] if row["half_turns"] != last["half_turns"]]
    found = answer(**{**visit, "cycles": [*kept, last]})
    assert found["do_now"] == 0
    assert found["headline"]["code"] != "mainspring-plan.headline.leave"


@unhurried(100)
@given(visit=mainspring_visits())
def test_known_band_holds_every_setting_once(visit: dict[str, Any]) -> None:
    """Too low, good and too high together are the settings tried; without a stop, in that order."""
    found = answer(**visit)
    bands = [row["half_turns"] for row in found["known_band"]]
    assert [row["shows"] for row in found["known_band"]] == ["too-low", "good", "too-high"]
    told = [setting for band in bands for setting in band]
    assert sorted(told) == sorted({row["half_turns"] for row in visit["cycles"]})
    if found["stop"] is None:
        assert told == sorted(told)


def test_one_setting_seen_twice_alike() -> None:
    """Every combination of rise, lip and walk-down, seen twice as found, gets what the rules say."""
    wanted = {}
    for rise, lip, walk_down in itertools.product(
        mainspring_plan.RISES, (False, True), mainspring_plan.WALK_DOWNS
    ):
        if rise == "short":
            told: object = "not-a-setting-fault" if walk_down == "cannot" else 1
        elif not lip:
            told = 1 if (rise, walk_down) == ("full-gentle", "easy") else "lip-side"
        else:
            told = -1 if rise == "full-slams" or walk_down == "cannot" else 0
        wanted[rise, lip, walk_down] = told
    found = {}
    for rise, lip, walk_down in wanted:
        row = {"half_turns": 0, "rise": rise, "lip_extended": lip, "walk_down": walk_down}
        told = answer(cycles=[row, row], half_turns_min=-3, half_turns_max=3, spring_count=2)
        found[rise, lip, walk_down] = told["stop"] or told["do_now"]
    assert found == wanted


@pytest.mark.parametrize(
    ("cycle", "field"),
    [
        ({**SHORT, "half_turns": 0.5}, "cycles[1].half_turns"),
        ({**SHORT, "half_turns": 101}, "cycles[1].half_turns"),
        ({**SHORT, "lip_extended": "yes"}, "cycles[1].lip_extended"),
        ({**SHORT, "walk_down": None}, "cycles[1].walk_down"),
        ({**SHORT, "walk_down_effort_n": -1}, "cycles[1].walk_down_effort_n"),
        ({**SHORT, "walk_down_effort_n": 5001}, "cycles[1].walk_down_effort_n"),
        ({"half_turns": 0, "rise": "short", "walk_down": "easy"}, "cycles[1].lip_extended"),
    ],
)
def test_a_cycle_that_cannot_be_used_is_refused(cycle: dict[str, Any], field: str) -> None:
    """Each slip in a row is one named error at its place."""
    found = answer(
        cycles=[SHORT, cycle], half_turns_min=-3, half_turns_max=3, spring_count=2, walk_down_limit_n=250
    )
    assert [error["field"] for error in found["errors"]] == [field]


@unhurried(100)
@given(
    row=st.dictionaries(
        st.sampled_from(["half_turns", "rise", "lip_extended", "walk_down", "note"]),
        st.one_of(st.floats(), st.text(max_size=8), st.none(), st.booleans()),
    )
)
def test_whatever_is_written_gets_an_answer_or_named_errors(row: dict[str, Any]) -> None:
    """NaN, text and nonsense give named errors at their row, never a fault of ours."""
    found = answer(cycles=[row], half_turns_min=-3, half_turns_max=3, spring_count=2)
    assert [error for error in found.get("errors", []) if not error["field"].startswith("cycles")] == []
    assert ("errors" in found) != ("do_now" in found)


def test_every_mainspring_sentence_is_said_by_a_case() -> None:
    """No sentence is left over, and the cases reach every one."""
    cases = json.loads((PROJECT / "tests/cases/mainspring-plan.json").read_text(encoding="utf-8"))
    answers = [ask("mainspring-plan", case["input"]) for case in cases]
    said = {
        sentence["code"]
        for told in answers
        if "errors" not in told
        for sentence in (told["headline"], *told["reasons"])
    }
    wanted = ("mainspring-plan.headline.", "mainspring-plan.reason.")
    assert said == {code for code in WORDS if code.startswith(wanted)}


def test_every_choice_has_a_name_in_words() -> None:
    """Each rise, walk-down, band and stop is named in the words file, and each stop reached by a case."""
    named = {
        "rise": mainspring_plan.RISES,
        "walk_down": mainspring_plan.WALK_DOWNS,
        "shows": ("too-low", "good", "too-high"),
    }
    (stop,) = (output for output in mainspring_plan.OUTPUTS if output.name == "stop")
    codes = [
        f"mainspring-plan.{field}.{choice}"
        for field, choices in {**named, "stop": stop.choices}.items()
        for choice in choices
    ]
    assert [code for code in codes if code not in WORDS] == []
    cases = json.loads((PROJECT / "tests/cases/mainspring-plan.json").read_text(encoding="utf-8"))
    assert {case["expect"].get("stop") for case in cases} - {None} == set(stop.choices)


def seen(*cycles: tuple[int, str, bool]) -> list[dict[str, Any]]:
    """Cycles from half turns, rise, and whether the lip came out; all walked down easily."""
    return [
        {"half_turns": n, "rise": rise, "lip_extended": lip, "walk_down": "easy"} for n, rise, lip in cycles
    ]


@pytest.mark.parametrize(("first", "last", "stop"), [(-1, 1, "lip-side"), (1, 3, "lip-side"), (-1, 0, None)])
def test_two_half_turns_that_change_nothing_are_counted_from_where_they_began(
    first: int, last: int, stop: str | None
) -> None:
    """The lip held back at the first and the last setting: two half turns apart is the lip's own fault."""
    found = answer(
        cycles=seen(*[(first, "full-gentle", False)] * 2, *[(last, "full-gentle", False)] * 2),
        walk_down_limit_n=250,
        spring_count=2,
        half_turns_min=-5,
        half_turns_max=5,
    )
    assert found["stop"] == stop
    if stop:
        assert [each["values"] for each in found["reasons"]] == [{"count": 2}]


def test_sentences_count_cycles_and_springs() -> None:
    """Six cycles that do not agree are told as six; three springs are all told to get the half turn."""
    level = {"walk_down_limit_n": 250, "spring_count": 3, "half_turns_min": -5, "half_turns_max": 5}
    mixed = [(0, "short", True), (0, "full-gentle", True)] * 3
    found = answer(cycles=seen(*mixed), **level)
    assert (found["stop"], found["reasons"][0]["values"]) == ("not-repeatable", {"count": 6})
    found = answer(cycles=seen(*[(0, "short", True)] * 2), **level)
    said = found["reasons"][1]
    assert (said["code"], said["values"]) == ("mainspring-plan.reason.all-alike", {"count": 3})

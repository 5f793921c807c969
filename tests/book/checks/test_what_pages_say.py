"""What pages say in words about their worked examples is what the calculators give for them."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

from build_tools.registers.registers import Registers
from calculators.answering import run


def _asked(registers: Registers, name: str, **changes: Any) -> dict[str, Any]:
    """The answer to a calculator's worked example, with changes."""
    inputs = {**registers.examples[name]["inputs"], **changes}
    answer: dict[str, Any] = json.loads(run(name, json.dumps(inputs), registers.words))
    assert "errors" not in answer, answer
    return answer


def test_more_tension_rises_easier_and_walks_down_harder(registers: Registers) -> None:
    """From one half turn to the next it stalls higher, or not at all, and takes more weight to walk down."""
    answers = [_asked(registers, "counterbalance", half_turns=count) for count in range(-5, 9)]
    stalls = [90 if answer["rises_through_travel"] else answer["stall_angle_deg"] for answer in answers]
    weights = [answer["peak_walk_down_force_n"] for answer in answers]
    assert stalls == sorted(stalls)
    assert stalls[0] < stalls[1] < stalls[2] < 90 == stalls[-1]
    assert all(loose < tight for loose, tight in pairwise(weights))


def test_the_band_is_a_few_half_turns_wide_and_ends_at_the_walk_down_limit(registers: Registers) -> None:
    """As found it stalls; a few half turns on it does both; past the band the limit is what fails."""
    found = _asked(registers, "counterbalance")
    low, high = found["half_turns_low"], found["half_turns_high"]
    assert not found["rises_through_travel"]
    assert 0 < low < high < low + 5
    past = _asked(registers, "counterbalance", half_turns=high + 1)
    assert past["rises_through_travel"]
    assert past["headline"]["code"] == "counterbalance.headline.rises-hard"


def test_friction_narrows_the_band_from_both_ends(registers: Registers) -> None:
    """Half the friction moves both ends apart; a quarter more leaves no setting that does both."""
    found = _asked(registers, "counterbalance")
    friction = registers.examples["counterbalance"]["inputs"]["friction_moment_nm"]
    clean = _asked(registers, "counterbalance", friction_moment_nm=friction / 2)
    dirty = _asked(registers, "counterbalance", friction_moment_nm=friction * 1.25)
    assert clean["half_turns_low"] < found["half_turns_low"]
    assert clean["half_turns_high"] > found["half_turns_high"]
    assert dirty["half_turns_low"] is None
    assert "counterbalance.reason.never-both" in [reason["code"] for reason in dirty["reasons"]]


def test_a_heavier_lip_takes_more_than_the_whole_band(registers: Registers) -> None:
    """A tenth more lip asks for more tension than the tightest setting of the old band."""
    found = _asked(registers, "counterbalance")
    lip = registers.examples["counterbalance"]["inputs"]["lip_mass_kg"]
    heavier = _asked(registers, "counterbalance", lip_mass_kg=lip * 1.1)
    assert heavier["half_turns_low"] > found["half_turns_high"]


def test_without_springs_the_whole_curve_lies_below_zero(registers: Registers) -> None:
    """Nothing lifts at any angle."""
    bare = _asked(registers, "counterbalance", spring_count=0)
    assert all(row["net_rising_nm"] < 0 for row in bare["curve"])


def test_the_spring_of_the_example_is_that_of_the_leveler(registers: Registers) -> None:
    """Measured dimensions give the manual's rate to within a tenth, as the page says they may."""
    measured = _asked(registers, "spring-rate")["rate_n_per_m"]
    stated = registers.examples["counterbalance"]["inputs"]["spring_rate_n_per_m"]
    assert 0.9 < measured / stated < 1.1
    assert measured != stated


def test_at_the_end_of_its_reach_the_leveler_is_too_steep(registers: Registers) -> None:
    """Within reach is not within the slope limit: the sheet asks both, and the table has such a truck."""
    rows = registers.examples["dock-slope"]["table"]["rows"]
    answers = [_asked(registers, "dock-slope", **row) for row in rows]
    cases = {(answer["within_reach"], answer["within_limit"]) for answer in answers}
    assert cases == {(True, True), (True, False), (False, False)}


def test_the_trend_asks_for_a_check_before_the_quarter_is_over(registers: Registers) -> None:
    """The example drifts, and its next check is earlier than three months after the last visit."""
    answer = _asked(registers, "fold-trend")
    last = registers.examples["fold-trend"]["inputs"]["visits"][-1]["date"]
    steady = _asked(registers, "fold-trend", window_high_s=24)
    assert answer["state"] == "drifting"
    assert last < answer["next_check_by"] < steady["next_check_by"]


def test_a_job_on_a_closed_day_is_done_before_it(registers: Registers) -> None:
    """In the example some jobs fall on closed days, and each of them is planned earlier, none later."""
    due = _asked(registers, "service-plan")["due"]
    moved = [job for job in due if job["date"] != job["latest"]]
    closed = registers.examples["service-plan"]["inputs"]["closed_days"]
    assert len(moved) >= 3
    assert all(job["date"] < job["latest"] for job in moved)
    assert not {job["date"] for job in due} & set(closed)

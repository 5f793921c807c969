"""The turn plan's rules that hold for every visit, and its limits; single answers are in tests/cases."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering import run
from calculators.fold_time.measured import Limits
from calculators.shared.half_turns import FARTHEST
from calculators.shared.rate_line import fit_line
from calculators.shared.timing import read_run, read_timing
from calculators.turn_plan import calculator as turn_plan
from calculators.turn_plan.predictions import predict
from tests.calculators.asking import PROJECT, WORDS, ask
from tests.calculators.drawn_inputs import unhurried
from tests.calculators.plan_visits import turn_visits

TIMED = ((0, 16.0), (0, 16.0), (1, 17.0), (1, 17.0))
VISIT = {
    "readings": [{"half_turns": n, "fold_time_s": t} for n, t in TIMED],
    "window_low_s": 18.0,
    "window_high_s": 20.0,
    "timing_uncertainty_s": 0.1,
    "confidence": 0.95,
    "half_turns_min": -4,
    "half_turns_max": 6,
    "least_response_s": 0.5,
}
PLAN_SENTENCES = ("turn-plan.headline.", "turn-plan.reason.")


def answer(**changed: object) -> dict[str, Any]:
    """The answer of the single door to VISIT with some inputs changed."""
    return ask("turn-plan", {**VISIT, **changed})


def rows(*timings: tuple[int, float]) -> list[dict[str, float]]:
    """Readings from pairs of half turns and seconds."""
    return [{"half_turns": n, "fold_time_s": t} for n, t in timings]


def is_way_back(found: dict[str, Any], present: int) -> bool:
    """Whether the half turn asked for leads back to as found, and says so."""
    codes = [each["code"] for each in found["reasons"]]
    return "turn-plan.reason.way-back" in codes and found["do_now"] * present < 0


@unhurried(100)
@given(visit=turn_visits())
def test_one_timing_at_the_present_setting_never_orders_a_turn(visit: dict[str, Any]) -> None:
    """With fewer than two timings where the nut stands, do_now is 0, but on the way back to as found."""
    present = visit["readings"][-1]["half_turns"]
    kept = [row for row in visit["readings"][:-1] if row["half_turns"] != present] + visit["readings"][-1:]
    found = answer(**{**visit, "readings": kept})
    assert found["do_now"] == 0 or is_way_back(found, present)


@unhurried(100)
@given(visit=turn_visits())
def test_a_turn_goes_toward_the_window(visit: dict[str, Any]) -> None:
    """Only a mean below the middle is tightened, only one above it is loosened, but on the way back."""
    found, present = answer(**visit), visit["readings"][-1]["half_turns"]
    here = [row["fold_time_s"] for row in visit["readings"] if row["half_turns"] == present]
    middle = (visit["window_low_s"] + visit["window_high_s"]) / 2
    assert found["do_now"] * (middle - math.fsum(here) / len(here)) >= 0 or is_way_back(found, present)


@unhurried(100)
@given(visit=turn_visits())
def test_half_turns_to_go_never_contradict_the_turn(visit: dict[str, Any]) -> None:
    """Where a turn is asked for, what is likely to go lies the same way or is not told."""
    found = answer(**visit)
    if found["do_now"] and found["half_turns_to_go"] is not None:
        assert found["half_turns_to_go"] * found["do_now"] > 0


@unhurried(100)
@given(visit=turn_visits())
def test_predictions_stay_where_the_line_can_promise(visit: dict[str, Any]) -> None:
    """In order, within the limits, three half turns past those timed at most, up to 1.5 times the window."""
    found = answer(**visit)
    settings_given = [row["half_turns"] for row in found["predictions"]]
    timed = [row["half_turns"] for row in visit["readings"]]
    assert settings_given == sorted(set(settings_given))
    if settings_given:
        assert max(visit["half_turns_min"], min(timed) - 3) <= settings_given[0]
        assert settings_given[-1] <= min(visit["half_turns_max"], max(timed) + 3)
    for row in found["predictions"]:
        assert 0 < row["low_s"] <= row["fold_time_s"] <= 1.5 * visit["window_high_s"] * (1 + 1e-9)
        assert row["high_s"] is None or row["fold_time_s"] <= row["high_s"]
        assert 0 <= row["probability_in_window"] <= 1


@unhurried(50)
@given(visit=turn_visits())
def test_another_unit_of_time_changes_nothing(visit: dict[str, Any]) -> None:
    """Twice every time, in half seconds, gives the same half turn and stop."""
    doubled = {**visit}
    doubled["readings"] = [{**row, "fold_time_s": 2 * row["fold_time_s"]} for row in visit["readings"]]
    for name in ("window_low_s", "window_high_s", "timing_uncertainty_s", "least_response_s"):
        doubled[name] = 2 * visit[name]
    for name in turn_plan.PRIORS:
        doubled[name] = None if visit[name] is None else visit[name] / 2
    told = [turn_plan.calculate(**each) for each in (visit, doubled)]
    assert [told[1][name] for name in ("do_now", "stop")] == [told[0][name] for name in ("do_now", "stop")]


@unhurried(100)
@given(
    given_readings=st.lists(
        st.fixed_dictionaries(
            {
                "half_turns": st.one_of(st.integers(-200, 200), st.floats(), st.text(max_size=3), st.none()),
                "fold_time_s": st.one_of(
                    st.floats(), st.integers(-5, 700), st.text(max_size=3), st.booleans()
                ),
            }
        ),
        max_size=4,
    )
)
def test_whatever_is_written_gets_an_answer_or_named_errors(given_readings: list[dict[str, Any]]) -> None:
    """NaN, infinity, text and nonsense give named errors, never a fault of ours and never NaN."""
    found = answer(readings=given_readings)
    faults = [error for error in found.get("errors", []) if not error["field"].startswith("readings")]
    assert faults == []
    assert ("errors" in found) != ("do_now" in found)


@pytest.mark.parametrize("written", ["NaN", "Infinity", "-Infinity"])
def test_a_time_that_is_no_number_is_refused(written: str) -> None:
    """NaN and infinity are named errors at their row."""
    text = json.dumps({**VISIT, "readings": rows((0, 16.0), (0, 1.25))}).replace("1.25", written)
    (error,) = json.loads(run("turn-plan", text, WORDS))["errors"]
    assert (error["field"], error["value"]) == ("readings[1].fold_time_s", written)


@pytest.mark.parametrize("time", [0, -1, 0.19, 600.1])
def test_a_time_outside_the_range_is_refused(time: float) -> None:
    """Zero, negative, quicker than any lip and longer than ten minutes are named errors."""
    found = answer(readings=rows((0, 16.0), (0, time)))
    assert [error["field"] for error in found["errors"]] == ["readings[1].fold_time_s"]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("confidence", 0.499),
        ("confidence", 1),
        ("timing_uncertainty_s", 0),
        ("least_response_s", 0),
        ("half_turns_max", FARTHEST + 1),
        ("prior_slope_per_s_per_half_turn", 0.001),
    ],
)
def test_other_inputs_outside_their_range_are_refused(name: str, value: float) -> None:
    """One named error each; a history in which tightening speeds the fold is none for this calculator."""
    changed = {name: value, **({turn_plan.PRIORS[1]: 0.001} if name == turn_plan.PRIORS[0] else {})}
    assert [error["field"] for error in answer(**changed)["errors"]] == [name]


def test_a_window_of_one_time_is_none() -> None:
    """Limits that are equal leave nothing between them, and are refused."""
    (error,) = answer(window_low_s=18, window_high_s=18)["errors"]
    assert (error["field"], error["value"]) == ("window_high_s", 18)


def test_all_cross_errors_are_told_at_once() -> None:
    """Window, limit and history are checked together."""
    found = answer(window_low_s=20, window_high_s=18, half_turns_max=0, **{turn_plan.PRIORS[0]: -0.004})
    fields = ["readings[2].half_turns", "readings[3].half_turns", "window_high_s", turn_plan.PRIORS[1]]
    assert [error["field"] for error in found["errors"]] == fields


def test_extremes_of_every_range_have_an_answer() -> None:
    """The narrowest and widest inputs together stay finite and whole."""
    for low_end in (True, False):
        changed = {
            "readings": rows((-100, 0.2), (100, 600)) if low_end else rows((100, 0.2), (-100, 600)),
            "timing_uncertainty_s": 0.005 if low_end else 5,
            "confidence": 0.999 if low_end else 0.5,
            "half_turns_min": -100,
            "half_turns_max": 100,
            turn_plan.PRIORS[0]: -1 if low_end else 0,
            turn_plan.PRIORS[1]: 1e-6 if low_end else 1,
        }
        assert list(answer(**changed)) == [output.name for output in turn_plan.OUTPUTS]


def test_a_slope_of_exactly_zero_is_a_response_not_yet_seen() -> None:
    """Equal times half a turn apart ask for one half turn more, with no count; two apart for the way back."""
    one = answer(readings=rows((0, 16.0), (0, 16.0), (1, 16.0), (1, 16.0)))
    assert (one["rate_slope"], one["do_now"], one["half_turns_to_go"], one["stop"]) == (0, 1, None, None)
    two = answer(readings=rows((0, 16.0), (0, 16.0), (2, 16.0), (2, 16.0)))
    assert (two["do_now"], two["stop"]) == (-1, None)
    assert values(two, "doubt-no-response")["moved_s"] == 0


def test_ties_go_to_the_fewest_half_turns() -> None:
    """Where several settings are in the window for certain, the nearest one counts."""
    found = answer(timing_uncertainty_s=0.005, window_low_s=17.5, window_high_s=30.0)
    certain = [row["half_turns"] for row in found["predictions"] if row["probability_in_window"] == 1]
    assert (certain, found["half_turns_to_go"]) == ([2, 3], 1)


def test_ties_go_to_the_fewest_half_turns_from_where_the_nut_stands() -> None:
    """Loosening from 3, the nearest certain setting is 2, though others lie nearer to as found."""
    found = answer(
        readings=rows((2, 17.0), (2, 17.0), (3, 18.0), (3, 18.0)),
        timing_uncertainty_s=0.005,
        window_low_s=12.0,
        window_high_s=17.5,
    )
    assert len([row for row in found["predictions"] if row["probability_in_window"] == 1]) > 1
    assert (found["do_now"], found["half_turns_to_go"]) == (-1, -1)


def test_two_timings_leave_no_scatter() -> None:
    """Two settings timed once each: no spare reading, so no scatter, and the slope as uncertain as stated."""
    found = answer(readings=rows((0, 16.0), (1, 17.0)))
    assert found["residual_sd"] is None
    assert found["slope_sd"] == pytest.approx(math.hypot(0.1 / 256, 0.1 / 289), rel=1e-11)


def values(found: dict[str, Any], code: str) -> dict[str, Any]:
    """What the reason of a code names."""
    (said,) = (each["values"] for each in found["reasons"] if each["code"] == f"turn-plan.reason.{code}")
    return dict(said)


def test_no_response_says_how_far_the_slope_might_reach() -> None:
    """0.1 s moved over two half turns, and 2.228 x sqrt(0.8) x 0.1 s more at the far end of the interval.

    The two means lie 0.1 s apart, each good to 0.1 s / sqrt 2; Student t for 10 degrees is 2.228, and the
    8 degrees behind the 0.1 s with 2 spare ones and hardly a misfit make 0.8. To the first order in 0.1 / 16.
    """
    found = answer(readings=rows((0, 16.0), (0, 16.0), (2, 16.1), (2, 16.1)))
    said = values(found, "doubt-no-response")
    assert (found["do_now"], found["stop"]) == (-1, None)
    assert (said["span"], said["moved_s"]) == (2, pytest.approx(0.1, rel=0.01))
    assert said["reach_s"] == pytest.approx(0.1 + 2.228 * math.sqrt(0.8) * 0.1, rel=0.01)


def test_the_span_runs_from_the_loosest_to_the_tightest_setting() -> None:
    """One half turn either way of as found is a span of two, enough to tell that nothing responds."""
    found = answer(readings=rows((-1, 16.0), (-1, 16.0), (1, 16.0), (1, 16.0)))
    assert (found["do_now"], values(found, "doubt-no-response")["span"]) == (-1, 2)


def test_a_window_too_narrow_for_the_hand_says_half_its_width() -> None:
    """Timing good to 0.6 s cannot tell a window of 2 s, plus or minus 1 s."""
    found = answer(timing_uncertainty_s=0.6)
    said = values(found, "timing-too-coarse")
    assert (said["half_window_s"], said["common_s"]) == (1, 0.6)


def test_a_lip_that_would_be_slow_says_how_slow() -> None:
    """1/14 and 1/20 in a line make 1/35 next: 35 s, above one and a half times 21 s."""
    found = answer(
        readings=rows((0, 14.0), (0, 14.0), (1, 20.0), (1, 20.0)), window_low_s=20.5, window_high_s=21.0
    )
    said = values(found, "would-be-slow")
    assert found["stop"] == "lip-may-hang"
    assert (said["fold_time_s"], said["ceiling_s"]) == (pytest.approx(35, rel=1e-11), 31.5)


@pytest.mark.parametrize("beyond", [[21.5], [20.05, 20.05]])
def test_a_setting_already_timed_beyond_the_window_is_not_tried_again(beyond: list[float]) -> None:
    """Too quick here, too slow half a turn on, by one clear timing or on the edge: too coarse a step."""
    found = answer(readings=rows(*((1, time) for time in beyond), (0, 17.0), (0, 17.0)))
    assert found["stop"] == "half-turn-too-coarse"
    assert values(found, "jumped") == {"here_s": 17, "beyond_s": beyond[0]}


def test_a_jump_foreseen_names_the_times_on_either_side() -> None:
    """1/14 and 1/16.9 in a line make 21.315 s next: 16.9 and 21.315 s lie about the window, none in it."""
    found = answer(readings=rows((-1, 14.0), (-1, 14.0), (0, 16.9), (0, 16.9)), half_turns_min=-1)
    said = values(found, "would-jump")
    assert found["stop"] == "half-turn-too-coarse"
    assert (said["here_s"], said["fold_time_s"]) == (
        pytest.approx(16.9, rel=1e-11),
        pytest.approx(1 / (2 / 16.9 - 1 / 14), rel=1e-11),
    )


def test_a_window_out_of_sight_says_how_far_was_looked() -> None:
    """10 and 10.5 s do not come to 18 s within three half turns more."""
    found = answer(readings=rows((0, 10.0), (0, 10.0), (1, 10.5), (1, 10.5)))
    assert (found["do_now"], values(found, "not-reached")["count"]) == (1, 3)


def test_ten_timings_at_one_setting_are_the_most() -> None:
    """Ten are taken; eleven are one error that counts them and names the setting."""
    assert "errors" not in answer(readings=rows(*[(1, 16.0)] * 10))
    (error,) = answer(readings=rows(*[(1, 16.0)] * 11))["errors"]
    assert (error["field"], error["value"]) == ("readings", 11)


def test_a_window_of_no_width_is_refused() -> None:
    """Equal limits hold no time."""
    (error,) = answer(window_low_s=19, window_high_s=19)["errors"]
    assert error["field"] == "window_high_s"


def test_a_setting_without_a_time_does_not_end_the_list() -> None:
    """On a line that rises, the loose settings get no time and the tighter ones still do."""
    line = fit_line([0, 1], [0.03, 0.05], [0.001, 0.001])
    told = predict(
        line,
        range(-2, 3),
        limits=Limits(window=(18, 20), confidence=0.95),
        timing=read_timing({"timing_uncertainty_s": 0.1}),
        runs=[read_run(20.0)],
    )
    assert [row["half_turns"] for row in told] == [1, 2]


def test_every_turn_plan_sentence_is_said_by_a_case() -> None:
    """No sentence is left over, and the cases reach every one."""
    cases = json.loads((PROJECT / "tests/cases/turn-plan.json").read_text(encoding="utf-8"))
    answers = [json.loads(run("turn-plan", json.dumps(case["input"]), WORDS)) for case in cases]
    said = {
        sentence["code"]
        for told in answers
        if "errors" not in told
        for sentence in (told["headline"], *told["reasons"])
    }
    asked = {code for code in said if code.startswith("question.")}
    assert asked == {f"question.{code}" for code in ("odd-run-or-turn", "turn", "sign", "ten-fold")}
    assert said - asked == {code for code in WORDS if code.startswith(PLAN_SENTENCES)}


def test_every_stop_has_a_name_in_words_and_a_case() -> None:
    """Each stop of the declaration is named in the words file and reached by a case."""
    (stop,) = (output for output in turn_plan.OUTPUTS if output.name == "stop")
    assert [code for code in stop.choices if f"turn-plan.stop.{code}" not in WORDS] == []
    cases = json.loads((PROJECT / "tests/cases/turn-plan.json").read_text(encoding="utf-8"))
    assert {case["expect"].get("stop") for case in cases} - {None} == set(stop.choices)

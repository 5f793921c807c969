"""fold-time keeps its rules for every input, not only for the cases of tests/cases."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.fold_time.calculator import ACTIONS, VERDICTS, calculate
from calculators.shared.fields import BadInput

RUNS = st.lists(st.floats(10, 30), min_size=1, max_size=10)
ALIKE = st.builds(
    lambda start, steps: [start + step / 20 for step in steps],
    st.floats(16, 22),
    st.lists(st.integers(0, 8), min_size=1, max_size=10),
)
HAND = st.floats(0.005, 5)
CONFIDENCE = st.floats(0.5, 0.999)
TURNS = {"add-half-turn": "remove-half-turn", "remove-half-turn": "add-half-turn"}
MIRRORED = TURNS | {"too-quick": "too-slow", "too-slow": "too-quick"}


def judge(
    runs_s: list[float], *, low: float = 18, high: float = 20, hand: float = 0.1, confidence: float = 0.95
) -> dict[str, Any]:
    """Judge runs with the usual window of these tests."""
    return calculate(
        runs_s=runs_s, window_low_s=low, window_high_s=high, timing_uncertainty_s=hand, confidence=confidence
    )


@given(RUNS | ALIKE, HAND, CONFIDENCE)
def test_every_input_has_a_whole_answer(runs: list[float], hand: float, confidence: float) -> None:
    """Numbers are finite, the interval holds the mean, probabilities lie from 0 to 1, and words are known."""
    answer = judge(runs, hand=hand, confidence=confidence)
    numbers = [value for value in answer.values() if isinstance(value, float)]
    assert all(math.isfinite(number) for number in numbers)
    assert answer["low_s"] <= answer["mean_s"] <= answer["high_s"]
    assert 0 <= answer["probability_in_window"] <= 1
    assert answer["verdict"] in VERDICTS
    assert answer["next_action"] in ACTIONS
    assert (answer["sd_s"] is None) == (len(runs) == 1)


@given(RUNS | ALIKE, HAND, CONFIDENCE)
def test_gates_follow_the_action(runs: list[float], hand: float, confidence: float) -> None:
    """A turn has both gates, any other cycle the second, and inspect none: nobody is sent to the leveler."""
    answer = judge(runs, hand=hand, confidence=confidence)
    turning, cycling = answer["before_turning"], answer["before_cycling"]
    assert turning == (("unsupported-leveler", "spring-energy") if answer["next_action"] in TURNS else ())
    nobody = answer["next_action"] in ("inspect", "answer-question")
    assert cycling == (() if nobody else ("people-clear", "lip-path"))


@given(st.floats(0.2, 600), HAND, CONFIDENCE)
def test_one_run_never_leads_to_a_turn(run: float, hand: float, confidence: float) -> None:
    """One run is timed again, whatever its verdict, or asked about where it looks like a slip."""
    assert judge([run], hand=hand, confidence=confidence)["next_action"] in ("time-again", "answer-question")


@given(RUNS | ALIKE, HAND, st.randoms())
def test_order_of_runs_does_not_matter(runs: list[float], hand: float, chance: Any) -> None:
    """The same runs in another order give the same answer, to the last digit."""
    shuffled = list(runs)
    chance.shuffle(shuffled)
    assert judge(shuffled, hand=hand) == judge(runs, hand=hand)


@given(ALIKE, st.integers(-100, 400))
def test_a_shift_of_everything_shifts_the_times(runs: list[float], shift: int) -> None:
    """Runs and window shifted alike keep uncertainty and probability, and shift the interval."""
    here, there = (
        judge(runs),
        judge([run + shift / 8 for run in runs], low=18 + shift / 8, high=20 + shift / 8),
    )
    same = ("standard_uncertainty_s", "coverage_factor")
    assert [there[name] for name in same] == pytest.approx([here[name] for name in same], rel=1e-9, abs=1e-12)
    moved = [here["low_s"] + shift / 8, here["high_s"] + shift / 8]
    assert [there["low_s"], there["high_s"]] == pytest.approx(moved, rel=1e-9)
    assert there["probability_in_window"] == pytest.approx(here["probability_in_window"], abs=1e-9)


@given(ALIKE, st.sampled_from([0.25, 0.5, 2.0, 8.0]))
def test_another_unit_of_time_changes_no_decision(runs: list[float], unit: float) -> None:
    """All times in another unit (powers of 2, exact in doubles) give the same verdict and action."""
    here = judge(runs)
    there = judge([run * unit for run in runs], low=18 * unit, high=20 * unit, hand=0.1 * unit)
    names = ("verdict", "next_action", "coverage_factor", "probability_in_window")
    assert [there[name] for name in names] == [here[name] for name in names]
    assert there["high_s"] == (here["high_s"] and pytest.approx(here["high_s"] * unit, rel=1e-11))


@given(st.lists(st.integers(-40, 40), min_size=1, max_size=10), st.sampled_from([0.05, 0.1, 0.4, 1.2]))
def test_a_mirrored_visit_turns_the_other_way(steps: list[int], hand: float) -> None:
    """Runs mirrored about the middle of the window swap too quick with too slow, and tighten with loosen."""
    here = judge([19 + step / 16 for step in steps], hand=hand)
    there = judge([19 - step / 16 for step in steps], hand=hand)
    for name in ("verdict", "next_action"):
        assert there[name] == MIRRORED.get(here[name], here[name])


@given(ALIKE, HAND, CONFIDENCE)
def test_a_turn_goes_toward_the_window(runs: list[float], hand: float, confidence: float) -> None:
    """Tighten only where the mean is below the middle of the window, loosen only above it."""
    answer = judge(runs, hand=hand, confidence=confidence)
    if answer["next_action"] in TURNS:
        assert (answer["mean_s"] < 19) == (answer["next_action"] == "add-half-turn")


@given(ALIKE, HAND)
def test_more_confidence_decides_less(runs: list[float], hand: float) -> None:
    """What is undecided stays undecided when more confidence is asked for."""
    verdicts = [judge(runs, hand=hand, confidence=confidence)["verdict"] for confidence in (0.6, 0.9, 0.99)]
    assert verdicts == sorted(verdicts, key=lambda verdict: verdict == "undecided")
    assert len({*verdicts} - {"undecided"}) <= 1


@pytest.mark.parametrize(("low", "high"), [(20, 18), (18, 18), (600, 0.2)])
def test_a_window_upside_down_is_refused(low: float, high: float) -> None:
    """The limits the wrong way round, or no width between them, are an error at the high limit."""
    with pytest.raises(BadInput) as caught:
        judge([19], low=low, high=high)
    (problem,) = caught.value.problems
    assert (problem.field, problem.value, problem.code) == ("window_high_s", high, "window-upside-down")


def test_every_sentence_can_name_all_that_was_given_and_found() -> None:
    """Headline and reasons carry the same numbers: what was given, and the answer's own in percent."""
    answer = judge([18.9, 19.0, 19.1], hand=0.2, confidence=0.9)
    given_or_found = {
        "mean_s": 19,
        "sd_s": pytest.approx(0.1),
        "low_s": answer["low_s"],
        "high_s": answer["high_s"],
        "common_s": 0.2,
        "scatter_s": pytest.approx(0.1),
        "allowed_s": 0.2,
        "all_runs": 3,
        "runs": 3,
        "window_low_s": 18,
        "window_high_s": 20,
        "timing_uncertainty_s": 0.2,
        "confidence_percent": 90,
        "probability_percent": pytest.approx(100 * answer["probability_in_window"]),
    }
    for sentence in (answer["headline"], *answer["reasons"]):
        assert sentence == {"code": sentence["code"], "values": given_or_found}


def test_a_window_just_as_wide_as_the_hand_is_unsure_is_too_narrow() -> None:
    """The hand takes plus or minus 1.959963984540 x 0.1 s at 95 %: no room is left at exactly that."""
    half = 0.1959963984540
    assert judge([18.2, 18.2], low=18, high=18 + 2 * half)["next_action"] == "inspect"
    assert judge([18.2, 18.2], low=18, high=18.001 + 2 * half)["next_action"] != "inspect"

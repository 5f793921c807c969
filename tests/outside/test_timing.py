"""Timing by hand: what is published about a thumb on a stopwatch, and what fold-time makes of it.

Source: "Manual timing in physics experiments: Error and uncertainty", American Journal of Physics 87(2), 110
(2019), abstract, read: reaction to one expected event N(0.11 s, 0.07^2 s^2) from 4304 readings; from start to
stop N(0, 0.10^2 s^2).
"""

from __future__ import annotations

import math
import random

import pytest
import yaml

from build_tools.places import PROJECT
from calculators.fold_time.calculator import calculate
from calculators.shared.statistics import normal_cdf

REACTION_MEAN_S, REACTION_SD_S = 0.11, 0.07
TRUE_S = 19.0


def judged(runs_s: list[float], timing_uncertainty_s: float, confidence: float = 0.95) -> dict[str, float]:
    """Judge runs against the usual window of these tests."""
    return calculate(
        runs_s=runs_s,
        window_low_s=18,
        window_high_s=20,
        timing_uncertainty_s=timing_uncertainty_s,
        confidence=confidence,
    )


def test_start_to_stop() -> None:
    """Two reactions of 0.07 s make 0.098995 s from start to stop, printed as 0.10, and 0.20 s at k = 2."""
    of_one_run = math.hypot(REACTION_SD_S, REACTION_SD_S)
    answer = judged([TRUE_S], of_one_run, confidence=2 * normal_cdf(2) - 1)
    reach = (answer["high_s"] - answer["low_s"]) / 2
    assert (round(answer["standard_uncertainty_s"], 6), f"{of_one_run:.2f}", f"{reach:.2f}") == (
        0.098995,
        "0.10",
        "0.20",
    )


def test_register_figure() -> None:
    """The register's published hand timing uncertainty is the published one."""
    rows = yaml.safe_load((PROJECT / "content/registers/figures.yml").read_text(encoding="utf-8"))
    figure = next(row for row in rows if row["id"] == "hand-timing-uncertainty")
    assert (figure["value"], figure["unit"], figure["basis"]) == (0.10, "s", "published")


def test_repeating_does_not_shrink_hand_timing() -> None:
    """Five independent errors of 0.1 s average to 0.0447 s; a habit does not, so fold-time keeps 0.1 s."""
    assert 0.1 / math.sqrt(5) == pytest.approx(0.044721, abs=5e-7)
    assert [judged([TRUE_S] * runs, 0.1)["standard_uncertainty_s"] for runs in (1, 2, 5, 10)] == [0.1] * 4


def coverage(runs: int, habit_sd_s: float, run_sd_s: float, seed: int) -> float:
    """The share of 2000 simulated visits whose 95 % interval holds the true fold time."""
    chance = random.Random(seed)
    held = 0
    for _ in range(2000):
        habit = chance.gauss(0, habit_sd_s)
        answer = judged([TRUE_S + habit + chance.gauss(0, run_sd_s) for _ in range(runs)], 0.1)
        held += answer["low_s"] <= TRUE_S <= answer["high_s"]
    return held / 2000


def test_one_run_of_the_published_thumb_is_covered() -> None:
    """The interval of one run covers simulated presses of the published thumb 95 times in 100."""
    chance = random.Random(1)
    reaction = (REACTION_MEAN_S, REACTION_SD_S)
    runs = [TRUE_S + chance.gauss(*reaction) - chance.gauss(*reaction) for _ in range(4000)]
    spread = math.hypot(REACTION_SD_S, REACTION_SD_S)
    held = sum(abs(run - TRUE_S) <= judged([run], spread)["high_s"] - run for run in runs)
    assert held / 4000 == pytest.approx(0.95, abs=0.01)


@pytest.mark.parametrize(("runs", "run_sd_s"), [(2, 0.02), (2, 0.1), (3, 0.1), (5, 0.15)])
def test_a_habit_shared_by_all_runs_is_covered(runs: int, run_sd_s: float) -> None:
    """Where all runs share one habit of 0.1 s, the 95 % interval holds the truth 95 times in 100."""
    assert coverage(runs, 0.1, run_sd_s, seed=runs) == pytest.approx(0.95, abs=0.015)


def test_independent_errors_are_covered_more_than_stated() -> None:
    """Where errors do average out, the interval is wider than it need be: cautious, never short."""
    assert coverage(3, 0.0, 0.1, seed=9) > 0.98

"""Uncertainty and decisions of fold-time against GTC and SciPy as independent code.

GTC is of the Measurement Standards Laboratory of New Zealand and follows the GUM. The guides' own examples
stand with the other outside checks, in build_tools/made_pages/outside_checks.
"""

from __future__ import annotations

import math
import statistics

import GTC
import pytest
from scipy import stats

from build_tools.made_pages.outside_values import OutsideCheck, read_checks
from calculators.fold_time.calculator import calculate

VISITS = [
    [16.3, 16.5],
    [16.0, 16.4653],
    [21.9, 22.1, 22.0],
    [17.6, 18.0, 17.8],
    [19.0, 19.1, 18.9, 19.0],
    [17.55, 17.65, 17.85, 17.95, 17.9],
    [18.8, 18.9, 19.0, 19.1, 19.2, 18.8, 18.9, 19.0, 19.1, 19.2],
]

FROM_GTC = [check for check in read_checks() if check.source.startswith("GTC")]


def fold_by_gtc(runs_s: list[float], confidence: float) -> dict[str, float]:
    """What GTC makes of runs and a hand timing of 0.1 s, named as fold-time names it."""
    count = len(runs_s)
    sample = GTC.ureal(statistics.fmean(runs_s), statistics.stdev(runs_s) / math.sqrt(count), count - 1)
    fold = sample + GTC.ureal(0, 0.1)
    reach = stats.t.ppf((1 + confidence) / 2, GTC.dof(fold)) * GTC.uncertainty(fold)
    return {
        "mean_s": GTC.value(fold),
        "standard_uncertainty_s": GTC.uncertainty(fold),
        "degrees_of_freedom": GTC.dof(fold),
        "low_s": GTC.value(fold) - reach,
        "high_s": GTC.value(fold) + reach,
    }


@pytest.mark.parametrize("check", FROM_GTC, ids=[check.id for check in FROM_GTC])
def test_gtc_gives_what_the_outside_check_says_of_it(check: OutsideCheck) -> None:
    """A value that stands there as GTC's is GTC's, to all the digits that are written."""
    asked = check.how["input"]
    found = fold_by_gtc(asked["runs_s"], asked["confidence"])[check.how["result"]]
    assert asked["timing_uncertainty_s"] == 0.1
    assert found == pytest.approx(check.expected, abs=6e-10, rel=0)


@pytest.mark.parametrize("runs_s", VISITS, ids=str)
@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.999])
def test_fold_time_against_gtc(runs_s: list[float], confidence: float) -> None:
    """fold-time's uncertainty, degrees of freedom and interval are those of GTC, which follows the GUM."""
    theirs = fold_by_gtc(runs_s, confidence)
    answer = calculate(
        runs_s=runs_s, window_low_s=18, window_high_s=20, timing_uncertainty_s=0.1, confidence=confidence
    )
    assert {name: answer[name] for name in theirs} == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("runs_s", VISITS, ids=str)
def test_fold_time_probability_against_scipy(runs_s: list[float]) -> None:
    """The probability of the window is Student's, about the mean, to 1e-9 of itself however small."""
    answer = calculate(
        runs_s=runs_s, window_low_s=18, window_high_s=20, timing_uncertainty_s=0.1, confidence=0.95
    )
    law = stats.t(answer["degrees_of_freedom"], answer["mean_s"], answer["standard_uncertainty_s"])
    upper_tail = answer["mean_s"] < 18
    expected = law.sf(18) - law.sf(20) if upper_tail else law.cdf(20) - law.cdf(18)
    assert answer["probability_in_window"] == pytest.approx(expected, rel=1e-9)

"""Uncertainty and decisions against worked examples of the guides, and GTC as independent code.

Sources: JCGM 100:2008 (GUM), H.1, inputs read in the GTC documentation (MSLNZ/GTC, GUM_H1.rst), printed
results from memory; JCGM 106:2012, 7.3.3, examples 1 and 2, from memory, recomputed; ILAC-G8:09/2019, 4.2,
read in secondary copies. GTC (Measurement Standards Laboratory of New Zealand) as independent code.
"""

from __future__ import annotations

import math
import statistics

import GTC
import pytest
from scipy import stats

from calculators._statistics import normal_cdf, normal_quantile, student_quantile
from calculators.fold_time import calculate

VISITS = [
    [16.3, 16.5],
    [16.0, 16.4653],
    [21.9, 22.1, 22.0],
    [17.6, 18.0, 17.8],
    [19.0, 19.1, 18.9, 19.0],
    [17.55, 17.65, 17.85, 17.95, 17.9],
    [18.8, 18.9, 19.0, 19.1, 19.2, 18.8, 18.9, 19.0, 19.1, 19.2],
]


def test_gum_h1_expanded_uncertainty() -> None:
    """GUM H.1, gauge block: u 31.66 nm, 16 degrees of freedom, t 2.92, expands to 92.48 nm at 99 %."""
    u = math.sqrt(math.fsum(part**2 for part in (25, 16.599, 6.7, 5.8, 3.9, 2.88679)))
    t = student_quantile(0.995, 16)
    assert (round(u, 2), round(t, 2), round(t * u, 2)) == (31.66, 2.92, 92.48)


def test_jcgm_106_conformance() -> None:
    """JCGM 106, 7.3.3: -5.47 V under -5.40 V conforms with 0.92, 509.7 kPa over 490 kPa with 0.99."""
    diode = normal_cdf((-5.40 - -5.47) / 0.05)
    pressure = 1 - normal_cdf((490 - 509.7) / 8.6)
    assert (round(diode, 6), round(pressure, 6)) == (0.919243, 0.989010)
    assert (f"{diode:.2f}", f"{pressure:.2f}") == ("0.92", "0.99")


def test_ilac_g8_risk_of_false_acceptance() -> None:
    """ILAC-G8: 50 % at the limit, under 2.5 % with a guard band of U (k = 2), 5 % with one of 0.8224 U."""
    risks = [round(1 - normal_cdf(2 * band), 6) for band in (0, 1, 0.5)]
    assert (*risks, round(normal_quantile(0.95) / 2, 6)) == (0.5, 0.022750, 0.158655, 0.822427)


@pytest.mark.parametrize("runs_s", VISITS, ids=str)
@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.999])
def test_fold_time_against_gtc(runs_s: list[float], confidence: float) -> None:
    """fold-time's uncertainty, degrees of freedom and interval are those of GTC, which follows the GUM."""
    count, hand = len(runs_s), 0.1
    sample = GTC.ureal(statistics.fmean(runs_s), statistics.stdev(runs_s) / math.sqrt(count), count - 1)
    fold = sample + GTC.ureal(0, hand)
    reach = stats.t.ppf((1 + confidence) / 2, GTC.dof(fold)) * GTC.uncertainty(fold)
    answer = calculate(
        runs_s=runs_s, window_low_s=18, window_high_s=20, timing_uncertainty_s=hand, confidence=confidence
    )
    names = ("mean_s", "standard_uncertainty_s", "degrees_of_freedom", "low_s", "high_s")
    theirs = (
        GTC.value(fold),
        GTC.uncertainty(fold),
        GTC.dof(fold),
        GTC.value(fold) - reach,
        GTC.value(fold) + reach,
    )
    assert [answer[name] for name in names] == pytest.approx(theirs, rel=1e-9)


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

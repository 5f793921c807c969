"""The distributions against SciPy and mpmath, over all the degrees and confidences that calculators ask for.

Printed tables stand with the other outside checks, in build_tools/made_pages/outside_checks/statistics.yml.
"""

from __future__ import annotations

from collections.abc import Callable

import mpmath
import numpy
import pytest
from scipy import stats

from calculators.shared.statistics import (
    chi_square_cdf,
    chi_square_quantile,
    normal_cdf,
    normal_quantile,
    student_cdf,
    student_quantile,
)

DEGREES = [*range(1, 31), *numpy.linspace(1.003, 200, 97), 49.99, 50.0, 50.01, 99.9, 100.0, 100.1, 200.0]
CONFIDENCES = numpy.array([0.5, 0.6, 0.68, 0.8, 0.9, 0.95, 0.975, 0.99, 0.995, 0.998, 0.999])
SIDES = numpy.concatenate([(1 - CONFIDENCES) / 2, 1 - CONFIDENCES, CONFIDENCES, (1 + CONFIDENCES) / 2])
Pair = Callable[[float, float], float]


def worst(ours: Pair, theirs: numpy.ndarray, points: numpy.ndarray) -> float:
    """The greatest relative difference over DEGREES and points; the two may only both be 0."""
    found = numpy.array([[ours(float(point), float(nu)) for point in points] for nu in DEGREES])
    size = numpy.where(theirs == 0, 1, numpy.abs(theirs))
    return float(numpy.max(numpy.abs(found - theirs) / size))


def test_student_quantile_sweep() -> None:
    """Student quantiles agree with SciPy to 1e-9, 1 to 200 degrees of freedom, confidence 0.5 to 0.999."""
    points = SIDES[SIDES != 0.5]
    theirs = stats.t.ppf(points, numpy.array(DEGREES)[:, None])
    assert worst(student_quantile, theirs, points) < 1e-9
    assert [student_quantile(0.5, nu) for nu in DEGREES] == [0.0] * len(DEGREES)


def test_student_cdf_sweep() -> None:
    """Student probabilities agree with SciPy to 1e-9, far into either tail."""
    points = numpy.array([0.05, 0.3, 0.9, 1.0, 1.4, 1.5, 1.6, 2.0, 3.0, 5.0, 10.0, 40.0, 200.0])
    points = numpy.concatenate([-points, points, [0.0]])
    assert worst(student_cdf, stats.t.cdf(points, numpy.array(DEGREES)[:, None]), points) < 1e-9


def test_chi_square_sweep() -> None:
    """Chi-square quantiles and probabilities agree with SciPy to 1e-9, both ways."""
    theirs = stats.chi2.ppf(SIDES, numpy.array(DEGREES)[:, None])
    assert worst(chi_square_quantile, theirs, SIDES) < 1e-9
    points = numpy.array([0.001, 0.1, 0.9, 2.0, 7.0, 30.0, 99.0, 101.0, 250.0, 600.0])
    assert worst(chi_square_cdf, stats.chi2.cdf(points, numpy.array(DEGREES)[:, None]), points) < 1e-9


def test_normal_against_scipy() -> None:
    """Normal quantiles and probabilities agree with SciPy to 1e-12, far into either tail."""
    points = numpy.concatenate([SIDES, [1e-90, 1e-30, 1e-12, 1e-6]])
    found = [normal_quantile(float(p)) for p in points]
    assert found == pytest.approx(list(stats.norm.ppf(points)), rel=1e-12)
    z = numpy.linspace(-37, 8, 91)
    assert [normal_cdf(float(each)) for each in z] == pytest.approx(list(stats.norm.cdf(z)), rel=1e-12)


@pytest.mark.parametrize("nu", [1.0, 1.4034, 2.5, 8.0, 49.9, 50.1, 200.0, 3000.0, 1e6, 1e12])
@pytest.mark.parametrize("t", [1e-6, 0.01, 0.7, 1.4999, 1.5, 2.4, 6.0, 25.0])
def test_student_tails_against_mpmath(t: float, nu: float) -> None:
    """The lower tail keeps 1e-10 and the middle 1e-9 against mpmath, at any degrees of freedom."""
    with mpmath.workdps(40):
        x = mpmath.mpf(nu) / (nu + mpmath.mpf(t) ** 2)
        lower = mpmath.betainc(mpmath.mpf(nu) / 2, 0.5, 0, x, regularized=True) / 2
        assert student_cdf(-t, nu) == pytest.approx(float(lower), rel=1e-10)
        assert student_cdf(t, nu) - 0.5 == pytest.approx(float(0.5 - lower), rel=1e-9)


def test_student_becomes_normal() -> None:
    """With infinite degrees of freedom Student's t is the normal distribution."""
    infinite = float("inf")
    assert student_quantile(0.975, infinite) == pytest.approx(1.959963984540054, rel=1e-15)
    assert student_cdf(-1.0, infinite) == pytest.approx(0.15865525393145707, rel=1e-15)
    assert student_quantile(0.975, 1e15) == pytest.approx(1.959963984540054, rel=1e-14)

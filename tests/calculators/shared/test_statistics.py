"""The distributions keep the rules that hold for every distribution; values are held in tests/outside."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from calculators.shared.statistics import (
    chi_square_cdf,
    chi_square_quantile,
    mean_and_sd,
    normal_cdf,
    normal_quantile,
    student_cdf,
    student_quantile,
)

DEGREES = st.floats(1, 200)
PROBABILITIES = st.floats(1e-12, 1 - 1e-12)
READINGS = st.lists(st.floats(0.2, 600), min_size=2, max_size=10)


@given(PROBABILITIES, DEGREES)
def test_quantile_and_cdf_undo_each_other(p: float, nu: float) -> None:
    """The probability at a quantile is the probability asked for."""
    assert student_cdf(student_quantile(p, nu), nu) == pytest.approx(p, rel=1e-10)
    assert chi_square_cdf(chi_square_quantile(p, nu), nu) == pytest.approx(p, rel=1e-10)
    assert normal_cdf(normal_quantile(p)) == pytest.approx(p, rel=1e-10)


@given(st.floats(0, 1e4), DEGREES)
def test_student_is_symmetric(t: float, nu: float) -> None:
    """As much is below -t as above t."""
    assert student_cdf(-t, nu) == pytest.approx(1 - student_cdf(t, nu), abs=1e-14)
    assert student_quantile(0.25, nu) == -student_quantile(0.75, nu)


@given(st.floats(-50, 50), st.floats(1e-6, 10), DEGREES)
@example(5e-324, 1.0, 1.0)  # half of it is 0
def test_probabilities_rise(t: float, step: float, nu: float) -> None:
    """A greater value is never less probable to stay under."""
    assert student_cdf(t, nu) <= student_cdf(t + step, nu) * (1 + 1e-14)
    assert chi_square_cdf(t, nu) <= chi_square_cdf(t + step, nu) * (1 + 1e-14)


@pytest.mark.parametrize("nu", [1, 1.7, 4, 33.3, 200, 1e9])
def test_the_two_methods_meet(nu: float) -> None:
    """Just below and just above t = 1.5 the series and the continued fraction agree."""
    below, above = student_cdf(-1.5, nu), student_cdf(-math.nextafter(1.5, 0), nu)
    assert below == pytest.approx(above, rel=1e-13)


def test_far_ends() -> None:
    """Nothing is left beyond the far ends, and nothing is below zero."""
    assert (student_cdf(-1e200, 1), student_cdf(1e200, 1), student_cdf(0, 3)) == (0, 1, 0.5)
    assert student_cdf(-1e140, 1) == pytest.approx(1e-140 / math.pi, rel=1e-12)
    assert (chi_square_cdf(0, 2), chi_square_cdf(-1, 2), chi_square_cdf(2000, 2)) == (0, 0, 1)


@pytest.mark.parametrize("p", [0.5001, 0.55, 0.6, 0.999])
def test_two_degrees_of_freedom_have_a_closed_form(p: float) -> None:
    """Chi-square with two degrees of freedom is exponential, its middle and its upper tail too."""
    assert chi_square_quantile(p, 2) == pytest.approx(-2 * math.log1p(-p), rel=1e-12)
    assert chi_square_cdf(p, 2) == pytest.approx(-math.expm1(-p / 2), rel=1e-12)


def test_the_smallest_probability_taken() -> None:
    """1e-100 itself is still answered: about 21.27 standard deviations out."""
    assert normal_cdf(normal_quantile(1e-100)) == pytest.approx(1e-100, rel=1e-9)


@pytest.mark.parametrize("p", [0, 1, -0.1, 1.1, math.nan, 1e-101])
def test_a_probability_outside_the_range_is_refused(p: float) -> None:
    """No quantile is given for a probability of 0, 1 or beyond."""
    for refused in (
        lambda: student_quantile(p, 3),
        lambda: chi_square_quantile(p, 3),
        lambda: normal_quantile(p),
    ):
        with pytest.raises(ValueError, match=r"^a probability here lies from 1e-100 to below 1: "):
            refused()


@pytest.mark.parametrize("nu", [0, 0.99, -3, math.nan])
def test_degrees_of_freedom_below_1_are_refused(nu: float) -> None:
    """No probability is given for degrees of freedom that no spread of readings has."""
    for refused in (
        lambda: student_cdf(1, nu),
        lambda: student_quantile(0.9, nu),
        lambda: chi_square_cdf(1, nu),
        lambda: chi_square_quantile(0.9, nu),
    ):
        with pytest.raises(ValueError, match=r"^degrees of freedom here are 1 or more: "):
            refused()


@given(READINGS, st.randoms())
def test_order_of_readings_does_not_matter(readings: list[float], chance: object) -> None:
    """Mean and spread are the same to the last bit in any order."""
    shuffled = list(readings)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert mean_and_sd(shuffled) == mean_and_sd(readings)


@given(st.floats(0.2, 600), st.integers(2, 10))
def test_equal_readings_have_no_spread(reading: float, count: int) -> None:
    """Equal readings have a spread of exactly 0, whatever their last bit."""
    assert mean_and_sd([reading] * count)[1] == 0


def test_one_reading_has_no_spread_at_all() -> None:
    """The spread of a single reading is not 0 but unknown."""
    assert mean_and_sd([16.4]) == (16.4, None)

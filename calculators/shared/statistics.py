"""Mean, spread, and the normal, Student t and chi-square distributions, with the math module alone.

The calculators run on a phone, which has only the standard library. The relative error is below 1e-9 in
either tail, for degrees of freedom from 1 to 200, whole or not (tests/outside holds it to that).

Source, all from memory: NIST Digital Library of Mathematical Functions (DLMF) and M. Abramowitz and
I. A. Stegun, Handbook of Mathematical Functions, 1964 (A&S), by the equation numbers below; A. R. DiDonato
and A. H. Morris, "Algorithm 708: significant digit computation of the incomplete beta function ratios", ACM
Trans. Math. Softw. 18(3), 1992, for the continued fraction of Student's t.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

_NEAR = 1.5
"""Below this t the series converges faster, above it the continued fraction."""
_SMALLEST = 1e-300
"""Takes the place of 0 in a denominator or a logarithm."""
_MOST_TERMS = 20_000


def mean_and_sd(readings: Sequence[float]) -> tuple[float, float | None]:
    """Return the mean and the sample standard deviation, in the readings' unit; None for a single reading's.

    The divisor is n - 1. Deviations are taken from the smallest reading first, so that equal readings have a
    spread of exactly 0 and their order never matters.

    Raises:
        ValueError: there is no reading.

    Source: JCGM 100:2008, equations (3) and (4), from memory.
    """
    count, start = len(readings), min(readings)
    mean = math.fsum(readings) / count
    if count == 1:
        return mean, None
    shifts = [reading - start for reading in readings]
    middle = math.fsum(shifts) / count
    apart = [shift - middle for shift in shifts]
    squares = math.fsum(each * each for each in apart) - math.fsum(apart) ** 2 / count
    return mean, math.sqrt(max(0.0, squares) / (count - 1))


def median(readings: Sequence[float]) -> float:
    """Return the middle reading, or the mean of the two in the middle."""
    ordered, half = sorted(readings), len(readings) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def normal_cdf(z: float) -> float:
    """Return the probability that a standard normal quantity is at most z (A&S 26.2.29, with erfc)."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_quantile(p: float) -> float:
    """Return the z with normal_cdf(z) = p.

    Raises:
        ValueError: p is not from 1e-100 to below 1.
    """
    return student_quantile(p, math.inf)


def student_cdf(t: float, nu: float) -> float:
    """Return the probability that Student's t with nu degrees of freedom is at most t (A&S 26.7.1).

    With nu infinite it is the normal distribution.

    Raises:
        ValueError: nu is below 1.
    """
    _check_nu(nu)
    if t <= 0:
        return _upper_tail(-t, nu)
    return 0.5 + _central(t, nu) if t < _NEAR else 1 - _upper_tail(t, nu)


@lru_cache(maxsize=512)  # one plan asks for the same few again and again
def student_quantile(p: float, nu: float) -> float:
    """Return the t with student_cdf(t, nu) = p.

    Raises:
        ValueError: p is not from 1e-100 to below 1, or nu is below 1.
    """
    _check_p(p)
    _check_nu(nu)
    if p == 0.5:
        return 0.0
    tail = min(p, 1 - p)
    t = _invert_central(0.5 - tail, nu) if tail > 0.2 else _invert_upper_tail(tail, nu)
    return t if p > 0.5 else -t


def chi_square_cdf(x: float, nu: float) -> float:
    """Return the probability that chi-square with nu degrees of freedom, finite, is at most x (A&S 26.4.19).

    Raises:
        ValueError: nu is below 1.
    """
    _check_nu(nu)
    return _gamma_parts(nu / 2, x / 2)[0] if x / 2 > 0 else 0.0


@lru_cache(maxsize=64)
def chi_square_quantile(p: float, nu: float) -> float:
    """Return the x with chi_square_cdf(x, nu) = p.

    Raises:
        ValueError: p is not from 1e-100 to below 1, or nu is below 1.
    """
    _check_p(p)
    _check_nu(nu)
    half, upper = nu / 2, p > 0.5
    aim = math.log(1 - p if upper else p)

    def miss(s: float) -> tuple[float, float]:
        x = math.exp(s)
        part = max(_gamma_parts(half, x)[upper], _SMALLEST)
        slope = math.exp(half * s - x - math.lgamma(half)) / part
        return (aim - math.log(part) if upper else math.log(part) - aim), slope

    return 2 * math.exp(_root(miss, math.log(half)))


def _check_p(p: float) -> None:
    if not 1e-100 <= p < 1:
        raise ValueError(f"a probability here lies from 1e-100 to below 1: {p}")


def _check_nu(nu: float) -> None:
    if not nu >= 1:
        raise ValueError(f"degrees of freedom here are 1 or more: {nu}")


def _density(t: float, nu: float) -> float:
    """Return Student's density at t."""
    if math.isinf(nu):
        return math.exp(-t * t / 2) / math.sqrt(2 * math.pi)
    return _gamma_ratio(nu / 2) / math.sqrt(nu * math.pi) * math.exp(-(nu + 1) / 2 * math.log1p(t / nu * t))


def _gamma_ratio(a: float) -> float:
    """Return Gamma(a + 1/2) / Gamma(a), by its asymptotic series where the two logarithms would cancel.

    DLMF 5.11.13 is the expansion of the ratio; the exponent here is that of its logarithm, DLMF 5.11.8 with
    h = 1/2 less the same with h = 0, whose terms in 1/a, 1/a^3 and 1/a^5 were worked out again.
    """
    if a < 50:
        return math.exp(math.lgamma(a + 0.5) - math.lgamma(a))
    i = 1 / a
    return math.sqrt(a) * math.exp(-i / 8 + i**3 / 192 - i**5 / 640)


def _upper_tail(t: float, nu: float) -> float:
    """Return the probability above t, for t >= 0; 0 beyond 1e150.

    It is half of I_x(nu/2, 1/2) at x = nu / (nu + t^2), A&S 26.7.1 with 26.5.27.
    """
    if math.isinf(nu):
        return 0.5 * math.erfc(t / math.sqrt(2))
    if t < _NEAR:
        return 0.5 - _central(t, nu)
    return 0.0 if t > 1e150 else 0.5 * t * _density(t, nu) / _beta_fraction(nu / 2, t, nu)


def _central(t: float, nu: float) -> float:
    """Return the probability from 0 to t, for t >= 0.

    It is half of I_y(1/2, nu/2) at y = t^2 / (nu + t^2), by the hypergeometric series DLMF 8.17.8.
    """
    if math.isinf(nu):
        return 0.5 * math.erf(t / math.sqrt(2))
    if t >= _NEAR:
        return 0.5 - _upper_tail(t, nu)
    y = t * t / (nu + t * t)
    term = total = 1.0
    for k in range(_MOST_TERMS):
        term *= ((nu + 1) / 2 + k) / (1.5 + k) * y
        total += term
        if term < 1e-17 * total:
            return t * _density(t, nu) * total
    raise ArithmeticError(f"the series of Student's t does not end: t {t}, nu {nu}")


def _beta_fraction(a: float, t: float, nu: float) -> float:
    """Return the continued fraction by which x^a y^b / B(a, b) is divided to give I_x(a, b), for b = 1/2.

    DiDonato and Morris, function BFRAC.
    """
    b = 0.5
    x, y = nu / (nu + t * t), t * t / (nu + t * t)

    def terms(m: int) -> tuple[float, float]:
        d = a + 2 * m - 1 if m else 1.0
        above = (a + m - 1) / d * ((a + b + m - 1) / d) * m * (b - m) * x * x
        below = m + m * (b - m) * x / d + (a + m) / (a + 2 * m + 1) * (a * y - b * x + 1 + m * (1 + y))
        return above, below

    return _fraction(terms)


def _gamma_parts(a: float, x: float) -> tuple[float, float]:
    """Return the incomplete gamma ratios P(a, x) and Q(a, x), for x > 0; one is the complement of the other.

    P is the series DLMF 8.11.4, Q the even part of the continued fraction DLMF 8.9.2 (A&S 6.5.31).
    """
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x > a + 1:
        upper = front / _fraction(lambda m: (m * (a - m), x + 1 - a + 2 * m))
        return 1 - upper, upper
    term = total = 1 / a
    k = a
    while term > 1e-17 * total:
        k += 1
        term *= x / k
        total += term
    return front * total, 1 - front * total


def _fraction(terms: Callable[[int], tuple[float, float]]) -> float:
    """Return the continued fraction b0 + a1/(b1 + a2/(b2 + ...)), where terms(m) returns (a_m, b_m).

    By Lentz's method (W. J. Lentz, Applied Optics 15(3), 1976) as modified by Thompson and Barnett, 1986.
    """
    value = upper = terms(0)[1] or _SMALLEST
    lower = 0.0
    for m in range(1, _MOST_TERMS):
        above, below = terms(m)
        lower = 1 / ((below + above * lower) or _SMALLEST)
        upper = (below + above / upper) or _SMALLEST
        change = upper * lower
        value *= change
        if abs(change - 1) < 1e-15:
            return value
    raise ArithmeticError("a continued fraction does not settle")


def _invert_central(part: float, nu: float) -> float:
    def miss(s: float) -> tuple[float, float]:
        t = math.exp(s)
        part_here = _central(t, nu)
        return math.log(part_here) - math.log(part), t * _density(t, nu) / part_here

    return math.exp(_root(miss, math.log(part / _density(0, nu))))


def _invert_upper_tail(tail: float, nu: float) -> float:
    def miss(s: float) -> tuple[float, float]:
        t = math.exp(s)
        part_here = max(_upper_tail(t, nu), _SMALLEST)
        return math.log(tail) - math.log(part_here), t * _density(t, nu) / part_here

    square = -2 * math.log(2 * tail)  # roughly z^2 of a normal quantity; t has a heavier tail, see below
    stretched = square if math.isinf(nu) else nu * math.expm1(min(square / nu, 500.0))
    return math.exp(_root(miss, math.log(stretched) / 2))


def _root(miss: Callable[[float], tuple[float, float]], guess: float) -> float:
    """Return where an increasing function is 0, by Newton's method held inside the bracket known so far.

    miss(s) returns the function's value and its slope. All functions here are logarithms, and s is the
    logarithm of the unknown, so after a change of 1e-9 the error is of its square, and no change needs to be
    larger than 1.
    """
    low, high, s = -math.inf, math.inf, guess
    for _ in range(200):
        value, slope = miss(s)
        low, high = (s, high) if value < 0 else (low, s)
        change = min(1.0, max(-1.0, -value / slope)) if slope > 0 else -math.copysign(1.0, value)
        if abs(change) < 1e-9:
            return s + change
        s = s + change if low < s + change < high else (low + high) / 2
    raise ArithmeticError("a quantile was not found")

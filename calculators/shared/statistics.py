"""Mean, spread, and the normal, Student t and chi-square distributions, with nothing but the math module.

Made because the calculators run on a phone, where only the standard library is at hand. Right to 1e-9
relative in either tail, for degrees of freedom from 1 to 200, whole or not (held in tests/outside).

Source: A. R. DiDonato and A. H. Morris, "Algorithm 708: significant digit computation of the incomplete
beta function ratios", ACM Trans. Math. Softw. 18(3), 1992, for the continued fraction of Student's t; the
series and the continued fraction of the incomplete gamma function are textbook. All from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

_NEAR = 1.5
"""Below this t the series is quicker, above it the continued fraction."""
_SMALLEST = 1e-300
_MOST_TERMS = 20_000


def mean_and_sd(readings: Sequence[float]) -> tuple[float, float | None]:
    """Return the mean and the sample standard deviation (divisor n - 1; None for a single reading).

    Worked from the smallest reading: equal ones have a spread of exactly 0, and their order never matters.
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


def normal_cdf(z: float) -> float:
    """Return the probability that a standard normal quantity is at most z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_quantile(p: float) -> float:
    """Return the z with normal_cdf(z) = p; p from 1e-100 to below 1 (else ValueError)."""
    return student_quantile(p, math.inf)


def student_cdf(t: float, nu: float) -> float:
    """Return the probability that Student's t is at most t; nu from 1, infinite is normal."""
    _check_nu(nu)
    if t <= 0:
        return _upper_tail(-t, nu)
    return 0.5 + _central(t, nu) if t < _NEAR else 1 - _upper_tail(t, nu)


def student_quantile(p: float, nu: float) -> float:
    """Return the t with student_cdf(t, nu) = p; p from 1e-100 to below 1, nu from 1 (else ValueError)."""
    _check_p(p)
    _check_nu(nu)
    if p == 0.5:
        return 0.0
    tail = min(p, 1 - p)
    t = _invert_central(0.5 - tail, nu) if tail > 0.2 else _invert_upper_tail(tail, nu)
    return t if p > 0.5 else -t


def chi_square_cdf(x: float, nu: float) -> float:
    """Return the probability that chi-square is at most x; nu from 1, finite."""
    _check_nu(nu)
    return _gamma_parts(nu / 2, x / 2)[0] if x > 0 else 0.0


def chi_square_quantile(p: float, nu: float) -> float:
    """Return the x with chi_square_cdf(x, nu) = p; p from 1e-100 to below 1, nu from 1 (else ValueError)."""
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
    """Student's density at t."""
    if math.isinf(nu):
        return math.exp(-t * t / 2) / math.sqrt(2 * math.pi)
    return _gamma_step(nu / 2) / math.sqrt(nu * math.pi) * math.exp(-(nu + 1) / 2 * math.log1p(t / nu * t))


def _gamma_step(a: float) -> float:
    """Gamma(a + 1/2) / Gamma(a). By its asymptotic series where the two logarithms would cancel."""
    if a < 50:
        return math.exp(math.lgamma(a + 0.5) - math.lgamma(a))
    i = 1 / a
    return math.sqrt(a) * math.exp(-i / 8 + i**3 / 192 - i**5 / 640)


def _upper_tail(t: float, nu: float) -> float:
    """Probability above t, for t >= 0: half of I_x(nu/2, 1/2), x = nu / (nu + t^2). 0 beyond 1e150."""
    if math.isinf(nu):
        return 0.5 * math.erfc(t / math.sqrt(2))
    if t < _NEAR:
        return 0.5 - _central(t, nu)
    return 0.0 if t > 1e150 else 0.5 * t * _density(t, nu) / _beta_fraction(nu / 2, t, nu)


def _central(t: float, nu: float) -> float:
    """Probability from 0 to t, for t >= 0: half of I_y(1/2, nu/2) at y = t^2 / (nu + t^2), as a series."""
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
    """The continued fraction that divides x^a y^b / B(a, b) to give I_x(a, b), for b = 1/2."""
    b = 0.5
    x, y = nu / (nu + t * t), t * t / (nu + t * t)

    def step(m: int) -> tuple[float, float]:
        d = a + 2 * m - 1 if m else 1.0
        above = (a + m - 1) / d * ((a + b + m - 1) / d) * m * (b - m) * x * x
        below = m + m * (b - m) * x / d + (a + m) / (a + 2 * m + 1) * (a * y - b * x + 1 + m * (1 + y))
        return above, below

    return _fraction(step)


def _gamma_parts(a: float, x: float) -> tuple[float, float]:
    """The incomplete gamma ratios P(a, x) and Q(a, x), x > 0: one computed, the other its complement."""
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


def _fraction(step: Callable[[int], tuple[float, float]]) -> float:
    """The continued fraction b0 + a1/(b1 + a2/(b2 + ...)) by Lentz's method; step(m) gives (a_m, b_m)."""
    value = upper = step(0)[1] or _SMALLEST
    lower = 0.0
    for m in range(1, _MOST_TERMS):
        above, below = step(m)
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
        found = _central(t, nu)
        return math.log(found) - math.log(part), t * _density(t, nu) / found

    return math.exp(_root(miss, math.log(part / _density(0, nu))))


def _invert_upper_tail(tail: float, nu: float) -> float:
    def miss(s: float) -> tuple[float, float]:
        t = math.exp(s)
        found = max(_upper_tail(t, nu), _SMALLEST)
        return math.log(tail) - math.log(found), t * _density(t, nu) / found

    square = -2 * math.log(2 * tail)  # of a normal quantity, roughly; stretched below for the heavier tail
    stretched = square if math.isinf(nu) else nu * math.expm1(min(square / nu, 500.0))
    return math.exp(_root(miss, math.log(stretched) / 2))


def _root(miss: Callable[[float], tuple[float, float]], guess: float) -> float:
    """Find where an increasing function is 0, by Newton's method held inside the bracket known so far.

    miss(s) gives the function and its slope. All functions here are logarithms in the logarithm of the
    unknown, so a step of 1e-9 leaves an error of its square, and no step need be longer than 1.
    """
    low, high, s = -math.inf, math.inf, guess
    for _ in range(200):
        value, slope = miss(s)
        low, high = (s, high) if value < 0 else (low, s)
        step = min(1.0, max(-1.0, -value / slope)) if slope > 0 else -math.copysign(1.0, value)
        if abs(step) < 1e-9:
            return s + step
        s = s + step if low < s + step < high else (low + high) / 2
    raise ArithmeticError("a quantile was not found")

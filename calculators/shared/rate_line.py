"""The straight line through fold rates: how fast a lip folds against half turns of its spring.

The line is r = a + b n, with r = 1/t in 1/s and n in half turns. It is kept by its centre (the weighted mean
setting), where level and slope are independent: nothing cancels, and a prior on the slope alone fits in.

Source: weighted least squares and the conjugate normal update as in any textbook of linear regression (from
memory); the line is held against the NIST StRD data set Norris and a matrix computation in tests/outside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.shared import statistics

KNOWN_DEGREES = 8.0
"""Degrees of freedom behind the stated timing uncertainty: known about as well as from nine timings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopePrior:
    """What this leveler's history says of the slope: mean and standard deviation, 1/s per half turn."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """One new timing at a setting, as a rate: middle and standard deviation in 1/s, for Student t."""

    rate: float
    sd: float
    degrees: float

    def interval(self, confidence: float) -> tuple[float, float]:
        """Return the lower and upper end of the rate in 1/s; the lower end may be zero or negative."""
        reach = self.sd * statistics.student_quantile((1 + confidence) / 2, self.degrees)
        return self.rate - reach, self.rate + reach

    def probability_between(self, low: float, high: float) -> float:
        """Return the probability that the new timing's rate lies from low to high, both in 1/s."""
        below, above = (low - self.rate) / self.sd, (high - self.rate) / self.sd
        if below > 0:  # mirrored into the lower tail, where a difference of small numbers keeps its digits
            below, above = -above, -below
        upper = statistics.student_cdf(above, self.degrees)
        return max(0.0, upper - statistics.student_cdf(below, self.degrees))


@dataclass(frozen=True, slots=True, kw_only=True)
class RateLine:
    """A fitted line; its variances, before scaling, are 1/weight at the centre and 1/slope_precision."""

    centre: float
    rate_at_centre: float
    slope: float
    weight: float
    slope_precision: float
    chi_square: float
    spare_degrees: int

    @property
    def intercept(self) -> float:
        """Rate at half turn 0, 1/s."""
        return self.rate_at_centre - self.slope * self.centre

    @property
    def degrees(self) -> float:
        """Degrees of freedom of every interval taken from the line."""
        return KNOWN_DEGREES + self.spare_degrees

    @property
    def variance_factor(self) -> float:
        """What the stated variances are multiplied by, from the misfit and the eight degrees behind them."""
        return (KNOWN_DEGREES + self.chi_square) / self.degrees

    @property
    def scatter(self) -> float | None:
        """Scatter about the line over what was stated, 1; None without spare readings."""
        return math.sqrt(self.chi_square / self.spare_degrees) if self.spare_degrees else None

    @property
    def slope_sd(self) -> float:
        """Standard deviation of the slope, 1/s per half turn."""
        return math.sqrt(self.variance_factor / self.slope_precision)

    def rate(self, half_turns: float) -> float:
        """Return the line's rate at a setting, 1/s; it may be zero or negative, which no lip can follow."""
        return self.rate_at_centre + self.slope * (half_turns - self.centre)

    def slope_interval(self, confidence: float) -> tuple[float, float]:
        """Return the lower and upper end of the slope, 1/s per half turn."""
        reach = self.slope_sd * statistics.student_quantile((1 + confidence) / 2, self.degrees)
        return self.slope - reach, self.slope + reach

    def predict(self, half_turns: float, timing_uncertainty: float) -> Prediction:
        """Return what one new timing at a setting will show; timing_uncertainty in s, of one timing."""
        rate = self.rate(half_turns)
        distance = half_turns - self.centre
        of_line = 1 / self.weight + distance**2 / self.slope_precision
        variance = of_line + (timing_uncertainty * rate**2) ** 2
        return Prediction(rate=rate, sd=math.sqrt(self.variance_factor * variance), degrees=self.degrees)


def fit_line(
    xs: Sequence[float], ys: Sequence[float], sds: Sequence[float], prior: SlopePrior | None = None
) -> RateLine | None:
    """Fit a weighted straight line, with or without a prior on its slope.

    Args:
        xs: settings, half turns.
        ys: fold rates, 1/s, one for each setting.
        sds: their standard deviations, 1/s, above 0.
        prior: the slope's mean and standard deviation, or None. The level has no prior.

    Returns:
        The line, or None where no slope can be told: one setting only, and no prior.
    """
    if prior is None and len(set(xs)) < 2:
        return None
    weights = [1 / sd**2 for sd in sds]
    weight = math.fsum(weights)
    centre = _weighted_mean(weights, xs, weight)
    level = _weighted_mean(weights, ys, weight)
    spread = math.fsum(w * (x - centre) ** 2 for w, x in zip(weights, xs, strict=True))
    moment = math.fsum(w * (x - centre) * (y - level) for w, x, y in zip(weights, xs, ys, strict=True))
    precision, pull = (1 / prior.sd**2, prior.mean / prior.sd**2) if prior else (0.0, 0.0)
    slope = (moment + pull) / (spread + precision)
    misfit = [w * (y - level - slope * (x - centre)) ** 2 for w, x, y in zip(weights, xs, ys, strict=True)]
    if prior:  # the history counts as one more reading, of the slope itself
        misfit.append(precision * (slope - prior.mean) ** 2)
    return RateLine(
        centre=centre,
        rate_at_centre=level,
        slope=slope,
        weight=weight,
        slope_precision=spread + precision,
        chi_square=round(math.fsum(misfit), 12),  # what is smaller is rounding, not misfit
        spare_degrees=max(0, len(misfit) - 2),
    )


def _weighted_mean(weights: Sequence[float], values: Sequence[float], total: float) -> float:
    return math.fsum(w * value for w, value in zip(weights, values, strict=True)) / total

"""The straight line through fold rates: how fast a lip folds against half turns of its spring.

The line is r = a + b n, with r = 1/t in 1/s and n in half turns. It is kept by its center (the weighted mean
setting), where level and slope are independent: nothing cancels, and a prior on the slope alone fits in.
How far runs scatter is told by runs at one setting, about their own mean; how far the line misses those means
is another matter, and is kept apart. 1/t of a real lip bends, always to the slow side of the line carried on;
how far is not seen in a few settings, so a prediction allows for it.

Source, from memory: weighted least squares as in W. H. Press et al., Numerical Recipes, section 15.2; a prior
on the slope counts as one more reading of it, as in A. Gelman et al., Bayesian Data Analysis, 3rd edition,
section 14.8. tests/outside holds the line against the NIST StRD data set Norris and a matrix computation.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.shared import statistics

BEND = 0.2
"""How much 1/t may bend, as a standard uncertainty, 1.

Its second derivative is -2 V slope^2/rate. V is the square of how unevenly half a turn holds the lip: of the
relative scatter, over the time of a fold, of what it adds to the spring's moment as a share of what is left.
Of 100 simulated lips V is below this for 90, and 0.05 in the middle. Own reasoning; no leveler was measured.
"""
MISFIT_CONFIDENCE = 0.999
"""Means further from the line than this leaves to chance do not lie on one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopePrior:
    """The slope by this leveler's history: mean and standard deviation, 1/s per half turn."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """One new timing at a setting, as a fold rate: Student's t about `rate`, wider to the slow side."""

    rate: float
    """1/s."""
    sd: float
    """On the quick side, 1/s."""
    slow_sd: float
    """On the slow side, 1/s: the line's bend makes folds slower than it says, never quicker."""
    degrees: float

    def interval(self, confidence: float) -> tuple[float, float]:
        """Return the lower and upper end of the rate, 1/s; the lower end may be zero or negative."""
        factor = statistics.student_quantile((1 + confidence) / 2, self.degrees)
        return self.rate - factor * self.slow_sd, self.rate + factor * self.sd

    def probability_between(self, low: float, high: float) -> float:
        """Return the probability that the new timing's rate is from low to high, both in 1/s."""
        below, above = self._apart(low), self._apart(high)
        if below > 0:  # mirrored into the lower tail, where a difference of small numbers keeps its digits
            below, above = -above, -below
        upper = statistics.student_cdf(above, self.degrees)
        return max(0.0, upper - statistics.student_cdf(below, self.degrees))

    def _apart(self, rate: float) -> float:
        """Return how far a rate lies from the expected one, in standard deviations of its side."""
        apart = rate - self.rate
        return apart / (self.slow_sd if apart < 0 else self.sd)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateLine:
    """A fitted line. Before scaling, the variances of level and slope are 1/weight and 1/slope_precision."""

    center: float
    """The weighted mean setting, half turns."""
    rate_at_center: float
    """The level: the rate at the center, 1/s."""
    slope: float
    """1/s per half turn."""
    weight: float
    slope_precision: float
    timed: tuple[float, float]
    """The loosest and the tightest setting timed, half turns."""
    chi_square: float
    """Of runs about the mean of their own setting, in units of the registered scatter."""
    spare_degrees: int
    """Runs less settings."""
    about_line: float
    """Chi-square of the runs about the line."""
    misfit_degrees: int
    known_degrees: float
    """Degrees of freedom behind the registered scatter."""

    @property
    def intercept(self) -> float:
        """The rate at half turn 0, 1/s."""
        return self.rate_at_center - self.slope * self.center

    @property
    def degrees(self) -> float:
        """Degrees of freedom of every interval taken from the line."""
        return self.known_degrees + self.spare_degrees

    @property
    def variance_factor(self) -> float:
        """What the stated variances are multiplied by: what runs show of scatter, and what is registered."""
        return (self.known_degrees + self.chi_square) / self.degrees

    @property
    def scatter(self) -> float | None:
        """Scatter of runs at one setting over what was stated, 1; None where none was timed twice."""
        return math.sqrt(self.chi_square / self.spare_degrees) if self.spare_degrees else None

    @property
    def scatter_about_line(self) -> float:
        """Scatter of the runs about the line over what was stated, 1; needs more than two runs."""
        return math.sqrt(self.about_line / (self.spare_degrees + self.misfit_degrees))

    @property
    def misses(self) -> bool:
        """True where the settings timed do not lie on one line, as far as scatter can tell."""
        if self.misfit_degrees < 1:
            return False
        most = statistics.chi_square_quantile(MISFIT_CONFIDENCE, self.misfit_degrees)
        return self.about_line - self.chi_square > most * self.variance_factor

    @property
    def slope_sd(self) -> float:
        """The standard deviation of the slope, 1/s per half turn."""
        return math.sqrt(self.variance_factor / self.slope_precision)

    def rate(self, half_turns: float) -> float:
        """Return the line's rate at a setting, 1/s; it may be zero or negative, where no lip folds."""
        return self.rate_at_center + self.slope * (half_turns - self.center)

    def slope_interval(self, confidence: float) -> tuple[float, float]:
        """Return the lower and upper end of the slope, 1/s per half turn."""
        reach = self.slope_sd * statistics.student_quantile((1 + confidence) / 2, self.degrees)
        return self.slope - reach, self.slope + reach

    def bend(self, half_turns: float) -> float:
        """Return what the bend adds to the uncertainty of the rate there, 1/s; 0 between the settings timed.

        A curve leaves its chord by half its second derivative times the distances from both its ends.
        """
        loosest, tightest = self.timed
        beyond = max(0.0, (half_turns - loosest) * (half_turns - tightest))
        return BEND * self.slope**2 / abs(self.rate(half_turns)) * beyond

    def predict(self, half_turns: float, scatter_s: float, common_s: float = 0.0) -> Prediction:
        """Return what one new timing will show: scatter_s of one run, s; common_s of all runs, added once."""
        rate = self.rate(half_turns)
        distance = half_turns - self.center
        of_line = 1 / self.weight + distance**2 / self.slope_precision
        variance = self.variance_factor * (of_line + (scatter_s * rate**2) ** 2) + (common_s * rate**2) ** 2
        slow = math.sqrt(variance + self.bend(half_turns) ** 2)
        return Prediction(rate=rate, sd=math.sqrt(variance), slow_sd=slow, degrees=self.degrees)


def fit_line(
    xs: Sequence[float],
    ys: Sequence[float],
    sds: Sequence[float],
    prior: SlopePrior | None = None,
    *,
    known_degrees: float = 8.0,
) -> RateLine | None:
    """Return the weighted straight line through fold rates, with or without a prior on its slope.

    Args:
        xs: settings, half turns.
        ys: fold rates, 1/s, one for each run.
        sds: their standard deviations, 1/s, above 0.
        prior: the slope's mean and standard deviation, or None. The level has no prior.
        known_degrees: degrees of freedom behind sds.

    Returns:
        The line, or None where the slope is unknown: one setting alone, and no prior.
    """
    if prior is None and len(set(xs)) < 2:
        return None
    weights = [1 / sd**2 for sd in sds]
    weight = math.fsum(weights)
    center = _weighted_mean(weights, xs, weight)
    level = _weighted_mean(weights, ys, weight)
    spread = math.fsum(w * (x - center) ** 2 for w, x in zip(weights, xs, strict=True))
    moment = math.fsum(w * (x - center) * (y - level) for w, x, y in zip(weights, xs, ys, strict=True))
    precision, pull = (1 / prior.sd**2, prior.mean / prior.sd**2) if prior else (0.0, 0.0)
    slope = (moment + pull) / (spread + precision)
    about_line = math.fsum(
        w * (y - level - slope * (x - center)) ** 2 for w, x, y in zip(weights, xs, ys, strict=True)
    )
    within, settings = _within(xs, ys, weights), len(set(xs))
    return RateLine(
        center=center,
        rate_at_center=level,
        slope=slope,
        weight=weight,
        slope_precision=spread + precision,
        timed=(min(xs), max(xs)),
        chi_square=round(within, 12),  # what is smaller is rounding, not scatter
        spare_degrees=len(xs) - settings,
        about_line=round(about_line, 12),
        misfit_degrees=settings - 2,
        known_degrees=known_degrees,
    )


def _within(xs: Sequence[float], ys: Sequence[float], weights: Sequence[float]) -> float:
    """Return chi-square of the rates about the weighted mean of their own setting."""
    at: dict[float, list[tuple[float, float]]] = {}
    for x, y, w in zip(xs, ys, weights, strict=True):
        at.setdefault(x, []).append((y, w))
    parts: list[float] = []
    for pairs in at.values():
        mean = math.fsum(w * y for y, w in pairs) / math.fsum(w for _, w in pairs)
        parts.extend(w * (y - mean) ** 2 for y, w in pairs)
    return math.fsum(parts)


def _weighted_mean(weights: Sequence[float], values: Sequence[float], total: float) -> float:
    return math.fsum(w * value for w, value in zip(weights, values, strict=True)) / total

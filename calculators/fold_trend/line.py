"""The straight line through fold times against days, its intervals, and when it reaches a limit.

With n points, center x0, mean y0, slope b, residual standard deviation s (n - 2 degrees of freedom) and
Sxx = sum (x - x0)^2, an interval at x reaches

    k sqrt(1/m + 1/n + (x - x0)^2 / Sxx)        k = Student t quantile times s

on either side of y0 + b (x - x0): for the mean of m new readings, or for the line itself where m is infinite.
k is never less than the normal quantile times the least standard deviation that a reading can have. Turned
around (Fieller), the days at which a limit y may be reached are those whose interval holds y.

Source, from memory: the intervals as in N. R. Draper and H. Smith, Applied Regression Analysis, sections 1.4
(mean of new readings) and 3.2 (inverse estimation, Fieller), where the equations are not known by number.
tests/outside holds them against NIST StRD Norris and printed prediction intervals.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.shared.fields import rounded
from calculators.shared.rate_line import fit_line
from calculators.shared.statistics import normal_quantile, student_quantile


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendLine:
    """A fitted line; days count from any one day, times are in s."""

    count: int
    center: float
    level: float
    """The fold time of the line at the center, s."""
    slope: float
    """s per day."""
    spread: float
    """Sxx, days squared."""
    residual_sd: float
    """Scatter about the line, s, with count - 2 degrees of freedom."""
    sd: float
    """The scatter behind the intervals, s: the residual one, or more where that is too small to believe."""
    factor: float
    """The Student t quantile for the confidence; k is factor times sd."""

    @property
    def slope_sd(self) -> float:
        """The standard deviation of the slope, s per day."""
        return self.sd / math.sqrt(self.spread)

    @property
    def drifts(self) -> bool:
        """Whether the slope's interval does not contain 0."""
        return rounded(abs(self.slope)) > rounded(self.factor * self.slope_sd)

    def at(self, day: float) -> float:
        """Return the line's fold time on a day, s."""
        return self.level + self.slope * (day - self.center)

    def day_reaching(self, limit: float) -> float:
        """Return the day on which the line reaches a limit, s.

        Raises:
            ZeroDivisionError: the line is level.
        """
        return self.center + (limit - self.level) / self.slope

    def interval(self, day: float, *, readings: float) -> tuple[float, float]:
        """Return the ends, s, of the interval on a day.

        It is for the mean of so many new `readings`, or with math.inf for the line itself.
        """
        distance = day - self.center
        half = self.factor * self.sd * math.sqrt(self._own_share(readings) + distance**2 / self.spread)
        return self.at(day) - half, self.at(day) + half

    def days_reaching(self, limit: float, *, readings: float) -> tuple[float, ...]:
        """Return the 0 to 2 days, ascending, on which an end of the interval crosses the limit, s."""
        above = limit - self.level
        a = self.slope**2 - (self.factor * self.slope_sd) ** 2
        half_b = -self.slope * above
        c = above**2 - (self.factor * self.sd) ** 2 * self._own_share(readings)
        return tuple(self.center + root for root in _roots(a, half_b, c))

    def _own_share(self, readings: float) -> float:
        return 1 / readings + 1 / self.count


def fit_trend(
    days: Sequence[float], times: Sequence[float], *, least_sd: float, confidence: float
) -> TrendLine:
    """Return the least-squares line with its intervals.

    Args:
        days: at least 3, not all the same.
        times: fold times, s, one for each day.
        least_sd: the least scatter that is believed of one reading, s; 0 or more.
        confidence: that of every interval, above 0 and below 1.
    """
    fit = fit_line(days, times, [1.0] * len(days))
    if fit is None or len(days) < 3:
        raise ValueError("a line with its scatter needs three days, not all the same")
    p = (1 + confidence) / 2
    factor = student_quantile(p, len(days) - 2)
    residual_sd = fit.scatter_about_line
    return TrendLine(
        count=len(days),
        center=fit.center,
        level=fit.rate_at_center,
        slope=fit.slope,
        spread=fit.slope_precision,
        residual_sd=residual_sd,
        sd=max(residual_sd, normal_quantile(p) / factor * least_sd),
        factor=factor,
    )


def _roots(a: float, half_b: float, c: float) -> tuple[float, ...]:
    """Return the real roots of a x^2 + 2 half_b x + c = 0, ascending, without loss of digits."""
    if a == 0:
        return () if half_b == 0 else (-c / (2 * half_b),)
    inner = half_b**2 - a * c
    if inner < 0:
        return ()
    q = -(half_b + math.copysign(math.sqrt(inner), half_b))
    return tuple(sorted((q / a, c / q))) if q else (0.0,)

"""Mean, scatter, uncertainty and interval of the runs at one setting, in two parts: common and scattering."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from calculators.fold_time.answers import Answers, struck
from calculators.shared.fields import rounded
from calculators.shared.statistics import mean_and_sd, normal_quantile, student_cdf, student_quantile
from calculators.shared.timing import Run, Timing


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the runs are held against. Times in s, shares as 1; None where nothing is registered."""

    window: tuple[float, float]
    confidence: float
    inspect_limit: float | None = None
    stick_s: float | None = None
    free_drop_share: float | None = None
    cold: bool = False
    hot: bool = False

    @property
    def free_drop_s(self) -> float:
        """Below this the lip drops freely, s."""
        return (self.free_drop_share or 0.0) * self.window[0]

    @property
    def middle_s(self) -> float:
        """The middle of the window, s."""
        return rounded((self.window[0] + self.window[1]) / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """The runs at one setting, in order, and where each stands on the sheet."""

    runs: Sequence[Run]
    places: Sequence[str]
    timing: Timing
    answers: Answers = field(default_factory=Answers)
    may_be_turned: bool = False
    """True where a half turn can have been made and not entered."""

    @property
    def times(self) -> list[float]:
        """Each run with its habits taken off, s."""
        return [self.timing.corrected(run) for run in self.runs]

    @property
    def shown(self) -> list[float]:
        """What the watch showed for each run, s."""
        return [run.shown_s for run in self.runs]

    def counting(self) -> list[int]:
        """Return the numbers of the runs in the mean: those no answer takes out, or all if none was left."""
        out = struck(self.answers, self.places)
        everyone = list(range(len(self.runs)))
        return [i for i in everyone if i not in out] or everyone


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What counted runs show, s: rounded, so that what is shown is what is held against the limits."""

    count: int
    mean_s: float
    sd_s: float | None
    common_s: float
    scatter_s: float
    """Of one run: the runs' own and what is registered, together."""
    scatter_degrees: float
    standard_uncertainty_s: float
    degrees_of_freedom: float | None
    coverage_factor: float
    low_s: float
    high_s: float
    probability_in_window: float
    least_reach_s: float
    """Half the width of the interval if the runs did not scatter at all."""

    def outputs(self) -> dict[str, Any]:
        """Return what leaves under the same name."""
        names = (
            "mean_s",
            "sd_s",
            "standard_uncertainty_s",
            "degrees_of_freedom",
            "coverage_factor",
            "low_s",
            "high_s",
            "probability_in_window",
        )
        return {name: getattr(self, name) for name in names}


def measure(runs: Sequence[Run], timing: Timing, limits: Limits) -> Measured:
    """Measure the runs that count, one or more."""
    times = [timing.corrected(run) for run in runs]
    mean, sd = mean_and_sd(times)
    common = timing.common(runs)
    scatter, degrees = pooled(sd, len(runs) - 1, timing, timing.scatter(runs, mean))
    of_mean = scatter**2 / len(runs)
    uncertainty = math.sqrt(of_mean + common**2)
    nu = _degrees_of_freedom(of_mean / uncertainty**2 if uncertainty else 0.0, degrees)
    factor = student_quantile((1 + limits.confidence) / 2, nu)
    low, high = ((limit - mean) / uncertainty for limit in limits.window)
    return Measured(
        count=len(runs),
        mean_s=rounded(mean),
        sd_s=None if sd is None else rounded(sd),
        common_s=rounded(common),
        scatter_s=rounded(scatter),
        scatter_degrees=degrees,
        standard_uncertainty_s=rounded(uncertainty),
        degrees_of_freedom=None if math.isinf(nu) else rounded(nu),
        coverage_factor=rounded(factor),
        low_s=rounded(mean - factor * uncertainty),
        high_s=rounded(mean + factor * uncertainty),
        probability_in_window=rounded(_probability(low, high, nu)),
        least_reach_s=rounded(normal_quantile((1 + limits.confidence) / 2) * common),
    )


def pooled(sd: float | None, spare: int, timing: Timing, registered: float) -> tuple[float, float]:
    """Return the scatter of one run, s, and its degrees of freedom: what is registered and the runs' own."""
    weight = timing.weight if timing.is_split else 0.0
    degrees = weight + spare
    if not degrees:
        return 0.0, 0.0
    return math.sqrt((weight * registered**2 + spare * (sd or 0.0) ** 2) / degrees), degrees


def _degrees_of_freedom(share: float, degrees: float) -> float:
    """Welch-Satterthwaite from the scatter's share of the variance; the common part is taken as known.

    A share below 1e-12 is the rounding of readings that are equal.
    """
    return degrees / share**2 if share > 1e-12 else math.inf


def _probability(low: float, high: float, nu: float) -> float:
    """Probability of t from low to high, taken in the lower tail, so that a small one keeps its digits."""
    if low > 0:
        low, high = -high, -low
    return student_cdf(high, nu) - student_cdf(low, nu)

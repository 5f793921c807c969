"""How runs were timed: each way of starting and stopping is off by a habit, and every run scatters.

What is common to all runs (a habit, less what is registered of it) does not shrink with their number; only
scatter does. The scatter of one run is that of the hand and of the leveler together; what is registered of it
counts for at most eight degrees of freedom, so that a handful of runs can speak against it.

Where only timing_uncertainty_s is given nobody knows how it splits: it stands as the part common to all runs.

Source: JCGM 100:2008, 4.3 and F.2.4.5, for taking known effects off; eight degrees at most: our own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem

STARTS = ("countdown", "helper", "by-hand")
STOPS = ("sharp", "no-longer-moves")
DELAY = "output-delay"
"""The row for a tone that comes late out of the phone; it holds for runs started by the countdown."""
TYPED = "by-hand"
"""How a run was started of which nothing is said: the usual stopwatch."""
MOST_DEGREES = 8.0

STARTED = Field(
    name="started",
    kind="choice",
    choices=STARTS,
    optional=True,
    given="started",
    label="Started",
    help="By the countdown's tone, at a helper's call, or by hand.",
)
SECONDS = Field(
    name="fold_time_s",
    kind="number",
    unit="s",
    low=0.2,
    high=600,
    label="Fold time",
    help="As the stopwatch showed it.",
)
TIMING = Field(
    name="timing",
    kind="rows",
    least=1,
    most=6,
    optional=True,
    given="timing",
    label="Ways of timing",
    help="What is registered of each way of starting and stopping.",
    fields=(
        Field(
            name="way",
            kind="choice",
            choices=(*STARTS, *STOPS, DELAY),
            label="Way",
            help="Of starting, of stopping, or the delay of the tone.",
        ),
        Field(
            name="bias_s",
            kind="number",
            unit="s",
            low=-5,
            high=5,
            label="Bias",
            help="How much longer it makes a run read; below 0 where it reads short.",
        ),
        Field(
            name="bias_uncertainty_s",
            kind="number",
            unit="s",
            low=0.001,
            high=5,
            label="Its standard uncertainty",
            help="The same for all runs of a visit.",
        ),
        Field(
            name="scatter_s",
            kind="number",
            unit="s",
            low=0.001,
            high=5,
            label="Scatter",
            help="From run to run, as one standard deviation.",
        ),
    ),
)
STOPPED = Field(
    name="stopped",
    kind="choice",
    choices=STOPS,
    optional=True,
    given="stopped",
    label="Stopped",
    help="At a sharp end, or when the lip no longer moves.",
)
INPUTS = (
    TIMING,
    STOPPED,
    Field(
        name="repeatability",
        kind="number",
        unit="1",
        low=0,
        high=0.2,
        optional=True,
        given="repeatability",
        label="Repeatability of the leveler",
        help="How far a sound lip's folds scatter, as a share of the fold time.",
    ),
    Field(
        name="repeatability_df",
        kind="number",
        unit="1",
        low=1,
        high=MOST_DEGREES,
        optional=True,
        given="repeatability-degrees",
        label="Degrees of freedom behind it",
        help="How far that share is known; 8 at most.",
    ),
)


@dataclass(frozen=True, slots=True)
class Run:
    """One run: what the stopwatch showed, s, and how it was started."""

    shown_s: float
    started: str


@dataclass(frozen=True, slots=True)
class Way:
    """What is registered of one way of starting or stopping, s."""

    bias_s: float
    bias_uncertainty_s: float
    scatter_s: float


NOTHING = Way(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """How all runs of a visit were timed."""

    ways: Mapping[str, Way]
    """Empty where only timing_uncertainty_s is given."""
    stopped: str
    timing_uncertainty_s: float
    repeatability: float | None
    weight: float
    """Degrees of freedom behind what is registered of the scatter."""

    @property
    def is_split(self) -> bool:
        """True where something is registered of the scatter; else only the runs tell of it."""
        return bool(self.ways) or self.repeatability is not None

    def corrected(self, run: Run) -> float:
        """Return a run's time, s, with the registered habits taken off."""
        return run.shown_s - math.fsum(way.bias_s for way in self.used(run.started))

    def common(self, runs: Sequence[Run]) -> float:
        """Return the standard uncertainty, s, that all runs share; of mixed ways the larger."""
        if not self.ways:
            return self.timing_uncertainty_s
        return max(together(way.bias_uncertainty_s for way in self.used(start)) for start in starts_of(runs))

    def hand(self, runs: Sequence[Run]) -> float:
        """Return the scatter of the hand in one run, s; of mixed ways the larger."""
        if not self.ways:
            return self.timing_uncertainty_s
        return max(together(way.scatter_s for way in self.used(start)) for start in starts_of(runs))

    def scatter(self, runs: Sequence[Run], time_s: float) -> float:
        """Return the registered scatter of one run of about time_s, s: hand and leveler together."""
        return math.hypot(self.hand(runs), (self.repeatability or 0.0) * time_s)

    def used(self, started: str) -> tuple[Way, ...]:
        """Return what is registered of a run's start, of its stop, and of a tone that comes late."""
        if not self.ways:
            return ()
        late = self.ways.get(DELAY, NOTHING) if started == "countdown" else NOTHING
        return self.ways[started], self.ways[self.stopped], late


def read_timing(given: Mapping[str, Any]) -> Timing:
    """Return how the runs were timed, from the inputs by name.

    Raises:
        BadInput: a way stands twice, or none of stopping is given with the others.
    """
    rows = given.get("timing") or ()
    ways = {row["way"]: Way(row["bias_s"], row["bias_uncertainty_s"], row["scatter_s"]) for row in rows}
    if len(ways) < len(rows):
        raise BadInput(InputProblem("timing", None, "way-twice"))
    stopped = given.get("stopped")
    if ways and stopped is None:
        raise BadInput(InputProblem("stopped", None, "missing"))
    return Timing(
        ways=ways,
        stopped=stopped or "",
        timing_uncertainty_s=given["timing_uncertainty_s"],
        repeatability=given.get("repeatability"),
        weight=min(MOST_DEGREES, given.get("repeatability_df") or MOST_DEGREES),
    )


def read_run(given: float | Mapping[str, Any]) -> Run:
    """Return a run as it was written: a number is one started by hand."""
    if isinstance(given, Mapping):
        return Run(given["fold_time_s"], given.get("started") or TYPED)
    return Run(given, TYPED)


def timing_problems(timing: Timing, runs: Sequence[Run], places: Sequence[str]) -> list[InputProblem]:
    """Return what is wrong between runs and ways: a way without a row, a time shorter than its bias."""
    if not timing.ways:
        return []
    needed = [timing.stopped, *(run.started for run in runs)]
    lacking = [way for way in dict.fromkeys(needed) if way not in timing.ways]
    if lacking:
        return [InputProblem("timing", None, "way-missing", {"way": way}) for way in lacking]
    return [
        InputProblem(place, run.shown_s, "shorter-than-bias")
        for run, place in zip(runs, places, strict=True)
        if timing.corrected(run) <= 0
    ]


def starts_of(runs: Sequence[Run]) -> set[str]:
    """Return the ways in which runs were started."""
    return {run.started for run in runs}


def together(parts: Iterable[float]) -> float:
    """Return the root of the sum of squares."""
    return math.sqrt(math.fsum(part * part for part in parts))

"""Visits as they are compared: the habit of each way of timing taken off, and how far temperatures differ."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from calculators.fold_trend.runs import Run, split_runs
from calculators.shared.fields import InputProblem, rounded
from calculators.shared.timing import TYPED, Timing, Way, timing_problems
from calculators.shared.timing import Run as Timed


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One visit as it was written down: a mean of runs, s, and how it was timed."""

    date: date
    shown_s: float
    adjusted_half_turns: int
    started: str
    timing: Timing
    """With the visit's own way of stopping."""
    temperature_c: float | None

    @property
    def way(self) -> tuple[str, str]:
        """How it was started and stopped."""
        return self.started, self.timing.stopped

    @property
    def habits(self) -> tuple[Way, ...]:
        """What is registered of those ways; empty where nothing is."""
        return self.timing.used(self.started)

    @property
    def time_s(self) -> float:
        """The fold time that is compared, s: what is registered of its way is taken off."""
        return self.timing.corrected(self.timed)

    @property
    def timed(self) -> Timed:
        """The visit as one run."""
        return Timed(self.shown_s, self.started)


def read_visits(rows: Sequence[Mapping[str, Any]], timing: Timing) -> tuple[Visit, ...]:
    """Return the visits of the inputs; one that says nothing of its stop was stopped as all are."""
    return tuple(
        Visit(
            date=row["date"],
            shown_s=float(row["fold_time_s"]),
            adjusted_half_turns=row["adjusted_half_turns"],
            started=row.get("started") or TYPED,
            timing=replace(timing, stopped=row.get("stopped") or timing.stopped),
            temperature_c=row.get("temperature_c"),
        )
        for row in rows
    )


def visit_problems(visits: Sequence[Visit]) -> list[InputProblem]:
    """Return what is wrong between visits and ways; a way without a row is named once."""
    found = [
        problem
        for i, visit in enumerate(visits)
        for problem in timing_problems(visit.timing, [visit.timed], [f"visits[{i}].fold_time_s"])
    ]
    return list({(problem.field, str(problem.values)): problem for problem in found}.values())


def in_runs(visits: Sequence[Visit], timing_uncertainty_s: float) -> tuple[Run, ...]:
    """Return the visits split into runs; timing_uncertainty_s is that of one hand-timed run."""
    return split_runs(
        [(visit.date - visits[0].date).days for visit in visits],
        [visit.time_s for visit in visits],
        [visit.adjusted_half_turns for visit in visits],
        timing_uncertainty=timing_uncertainty_s,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures:
    """How far the temperatures of the visits that are compared differ, degrees C."""

    known_c: tuple[float, ...]
    lacking: int
    """Visits without one."""
    distance_c: float | None
    """Up to this difference timings are compared; None where nothing is registered."""

    @property
    def apart_c(self) -> float:
        """The greatest difference between two that are known."""
        return rounded(max(self.known_c) - min(self.known_c)) if self.known_c else 0.0

    @property
    def case(self) -> str:
        """alike, apart, or unknown where a visit lacks one or nothing is registered."""
        if self.lacking or self.distance_c is None:
            return "unknown"
        return "alike" if self.apart_c <= self.distance_c else "apart"


def compared(visits: Sequence[Visit], runs: Sequence[Run], *, after_jump: bool) -> Sequence[Visit]:
    """Return the visits that are compared: the last run, or after a jump those before it and its first."""
    if after_jump:
        return visits[runs[-2].start : runs[-1].start + 1]
    return visits[runs[-1].start : runs[-1].stop]


def temperatures(visits: Sequence[Visit], distance_c: float | None) -> Temperatures:
    """Return how far the temperatures of these visits differ."""
    known = tuple(visit.temperature_c for visit in visits if visit.temperature_c is not None)
    return Temperatures(known_c=known, lacking=len(visits) - len(known), distance_c=distance_c)

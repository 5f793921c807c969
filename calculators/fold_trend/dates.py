"""When a line through fold times leaves the window, and the days at which a plot of it is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calculators.fold_trend.line import TrendLine
from calculators.fold_trend.runs import Run
from calculators.shared.fields import rounded

FARTHEST_DAYS = 1826
"""Five years, the longest time for which a straight drift is believed."""
STEPS_AHEAD = 6
"""The number of days after the last visit at which a plot is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """The days, from the first visit, on which the window is left; None where they are unknown."""

    expected: int | None = None
    earliest: int | None = None
    latest: int | None = None


def departure(line: TrendLine, window: tuple[float, float], last_day: int) -> Departure:
    """Return when the line leaves the window.

    Args:
        line: through the visits of the last run.
        window: lowest and highest fold time allowed, s.
        last_day: the day of the last visit.

    Returns:
        The day on which the line reaches the limit ahead, for a line that drifts; the earliest and the latest
        between which its interval holds that limit. For a level line the earliest alone, of either limit.
        Nothing for a line that is outside already.
    """
    if not window[0] <= line.at(last_day) <= window[1]:
        return Departure()
    earliest = _earliest(line, window, last_day)
    if not line.drifts:
        return Departure(earliest=earliest)
    ahead = window[1] if line.slope > 0 else window[0]
    return Departure(
        expected=_foreseen(math.floor(rounded(line.day_reaching(ahead))), last_day),
        earliest=earliest,
        latest=_foreseen(_ceil(max(line.days_reaching(ahead, readings=math.inf))), last_day),
    )


def first_day_outside(
    line: TrendLine, window: tuple[float, float], last_day: int, *, readings: float
) -> int | None:
    """Return the first day, from the last visit on, whose interval for new readings leaves the window."""
    low, high = line.interval(last_day, readings=readings)
    if low < window[0] or high > window[1]:
        return last_day
    crossings = [day for limit in window for day in line.days_reaching(limit, readings=readings)]
    ahead = [day for day in crossings if last_day <= day <= last_day + FARTHEST_DAYS]
    return math.floor(rounded(min(ahead))) if ahead else None


def _earliest(line: TrendLine, window: tuple[float, float], last_day: int) -> int | None:
    return first_day_outside(line, window, last_day, readings=math.inf)


def _ceil(day: float) -> float:
    return math.ceil(rounded(day)) if math.isfinite(day) else day


def _foreseen(day: float, last_day: int) -> int | None:
    return int(day) if day <= last_day + FARTHEST_DAYS else None


def series(
    dates: Sequence[date],
    days: Sequence[int],
    times: Sequence[float],
    runs: Sequence[Run],
    line: TrendLine | None,
    plot_ends: int,
) -> tuple[dict[str, Any], ...]:
    """Return the rows of the answer's series: each visit with its run and line, then days to plot_ends."""
    rows = [
        _row(dates[0], days[i], number, times[i], line if run is runs[-1] else None)
        for number, run in enumerate(runs, start=1)
        for i in range(run.start, run.stop)
    ]
    if line:
        rows += [_row(dates[0], day, len(runs), None, line) for day in _days_ahead(days[-1], plot_ends)]
    return tuple(rows)


def _days_ahead(last_day: int, plot_ends: int) -> Iterator[int]:
    ahead = plot_ends - last_day
    yield from sorted({last_day + round(ahead * i / STEPS_AHEAD) for i in range(1, STEPS_AHEAD + 1)})


def _row(first: date, day: int, run: int, time: float | None, line: TrendLine | None) -> dict[str, Any]:
    low, high = line.interval(day, readings=1) if line else (0.0, None)
    return {
        "date": (first + timedelta(days=day)).isoformat(),
        "run": run,
        "fold_time_s": time,
        "line_s": _above_zero(line.at(day)) if line else None,
        "low_s": _above_zero(low),
        "high_s": high,
    }


def _above_zero(time: float) -> float | None:
    """Return a fold time above 0, else None: a straight line may reach 0, but no lip folds in no time."""
    return time if time > 0 else None

"""The working of fold-trend: the line through the visits since the last adjustment or jump."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from calculators.fold_trend.calculator import SHARE_OF_TIMING
from calculators.fold_trend.line import TrendLine, fit_trend
from calculators.fold_trend.runs import ENOUGH_VISITS
from calculators.fold_trend.visits import Visit, compared, in_runs, read_visits, temperatures
from calculators.shared.fields import rounded
from calculators.shared.statistics import normal_quantile
from calculators.shared.timing import read_timing
from calculators.shared.working_lines import Line, line, shown

MOST_SHOWN = 6
"""How many visits are written out; the others are treated alike."""

Row = Mapping[str, Any]


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for inputs as on the wire and their answer."""
    visits = read_visits(inputs["visits"], read_timing(inputs))
    series = answer["series"]
    if answer["slope_s_per_30_days"] is None:
        state = line(f"fold-trend.state.{answer['state']}")
        return [
            _step("no-line", least=ENOUGH_VISITS, state=state),
            *_temperatures(visits, inputs, answer["state"]),
        ]
    rows = [row for row in series if row["fold_time_s"] is not None and row["run"] == series[-1]["run"]]
    first = visits[0].date
    days = [(date.fromisoformat(row["date"]) - first).days for row in rows]
    times = [row["fold_time_s"] for row in rows]
    fitted = fit_trend(
        days,
        times,
        least_sd=SHARE_OF_TIMING * inputs["timing_uncertainty_s"],
        confidence=inputs["confidence"],
    )
    values = _values(inputs, answer, fitted, (days, times))
    codes = [
        "middle-day",
        "middle-time",
        "slope",
        "slope-30",
        "scatter",
        "least-scatter",
        "taken-scatter",
        "slope-sd",
        "reach",
        "drifts" if fitted.drifts else "steady",
    ]
    codes += ["leaves"] if answer["leaves_window_on"] else []
    return [
        *_visits(visits[-len(days) :], days, first),
        *(_step(code, **values) for code in codes),
        *_temperatures(visits, inputs, answer["state"]),
    ]


def _step(code: str, **values: object) -> Line:
    return line(f"fold-trend.working.{code}", **values)


def _visits(visits: Sequence[Visit], days: Sequence[int], first: date) -> list[Line]:
    found = [_step("visits", count=len(visits), first=first.isoformat())]
    found += [_visit(visit, day) for visit, day in zip(visits[:MOST_SHOWN], days, strict=False)]
    more = len(visits) - MOST_SHOWN
    return [*found, _step("more", count=more)] if more > 0 else found


def _visit(visit: Visit, day: int) -> Line:
    """Return a visit's time, and what of its way of timing was taken off."""
    values = {"day": day, "fold_time_s": rounded(visit.time_s)}
    bias = [shown(way.bias_s) for way in visit.habits if way.bias_s]
    return (
        _step("corrected", **values, shown_s=visit.shown_s, bias=bias) if bias else _step("visit", **values)
    )


def _temperatures(visits: Sequence[Visit], inputs: Mapping[str, Any], state: str) -> list[Line]:
    """Hold the temperatures of the visits that a jump or a drift speaks of against each other."""
    if state not in ("jump", "drifting"):
        return []
    runs = in_runs(visits, inputs["timing_uncertainty_s"])
    found = temperatures(compared(visits, runs, after_jump=state == "jump"), None)
    if found.lacking:
        return [_step("temperatures-lacking", lacking=found.lacking)]
    return [_step("temperatures", temperatures=found.known_c, apart=shown(found.apart_c))]


def _values(
    inputs: Mapping[str, Any],
    answer: Mapping[str, Any],
    fitted: TrendLine,
    points: tuple[Sequence[int], Sequence[float]],
) -> dict[str, object]:
    days, times = points
    normal = normal_quantile((1 + inputs["confidence"]) / 2)
    limit = inputs["window_high_s" if fitted.slope > 0 else "window_low_s"]
    return {
        "count": len(days),
        "sum_days": sum(days),
        "sum_times": shown(math.fsum(times), 8),
        "middle_day": shown(fitted.center),
        "middle_time": shown(fitted.level, 8),
        "moment": shown(
            math.fsum((x - fitted.center) * (t - fitted.level) for x, t in zip(days, times, strict=True))
        ),
        "spread": shown(fitted.spread),
        "slope": shown(fitted.slope),
        "squares": shown(fitted.residual_sd**2 * (len(days) - 2)),
        "normal": shown(normal),
        "student": shown(fitted.factor),
        "share": SHARE_OF_TIMING,
        "timing_uncertainty_s": inputs["timing_uncertainty_s"],
        "least": shown(normal / fitted.factor * SHARE_OF_TIMING * inputs["timing_uncertainty_s"]),
        "taken": shown(fitted.sd),
        "percent": shown(100 * inputs["confidence"]),
        "degrees": len(days) - 2,
        "reach": shown(fitted.factor * 30 * fitted.slope_sd),
        "limit_s": limit,
        **{name: shown(answer[name]) for name in ("slope_s_per_30_days", "slope_sd", "residual_sd")},
        "day": shown(fitted.day_reaching(limit), 6) if answer["leaves_window_on"] else 0,
        "leaves_window_on": answer["leaves_window_on"] or "",
        "first": inputs["visits"][0]["date"].isoformat(),
    }

"""What follows from a trend: the next check, the headline, and the reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calculators.fold_trend.dates import Departure, first_day_outside
from calculators.fold_trend.line import TrendLine
from calculators.fold_trend.runs import ENOUGH_VISITS, Run
from calculators.fold_trend.visits import Temperatures, Visit
from calculators.shared.fields import rounded
from calculators.shared.half_turns import sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """Everything that is known of the visits; days count from the first one."""

    state: str
    run: Run
    line: TrendLine | None
    leaves: Departure
    window: tuple[float, float]
    visits: Sequence[Visit]
    compared: Sequence[Visit]
    """Those that the state speaks of."""
    temperatures: Temperatures
    """Of the visits that are compared."""
    interval_ends: int
    """The day on which the longest time between checks ends."""
    confidence: float

    @property
    def dates(self) -> list[date]:
        """The day of each visit."""
        return [visit.date for visit in self.visits]

    @property
    def times(self) -> list[float]:
        """The fold time of each visit as it is compared, s."""
        return [visit.time_s for visit in self.visits]

    @property
    def asks_first(self) -> bool:
        """Whether a jump or a drift may be that of temperature, height mark or timer."""
        return self.state in ("jump", "drifting") and self.temperatures.case != "alike"

    @property
    def last_day(self) -> int:
        """The day of the last visit."""
        return (self.dates[-1] - self.dates[0]).days

    @property
    def last_is_outside(self) -> bool:
        """Whether the last fold time is outside the window and nothing was adjusted after it."""
        return self.run.count > 0 and not self.window[0] <= self.times[-1] <= self.window[1]

    @property
    def line_is_outside(self) -> bool:
        """Whether the line is outside the window on the day of the last visit."""
        return self.line is not None and not self.window[0] <= self.line.at(self.last_day) <= self.window[1]

    @property
    def may_be_outside(self) -> bool:
        """Whether the line's interval is partly outside the window on the day of the last visit."""
        return self.leaves.earliest == self.last_day

    @property
    def judge_now(self) -> bool:
        """Whether there is no later day to wait for."""
        outside = self.last_is_outside or self.line_is_outside or self.may_be_outside
        return outside or self.state == "jump"

    @property
    def next_check(self) -> int:
        """The day by which the lip is to be timed again."""
        if self.judge_now:
            return self.last_day
        earliest = self.leaves.earliest
        return self.interval_ends if earliest is None else min(self.interval_ends, earliest)

    @property
    def plot_ends(self) -> int:
        """The last day worth drawing."""
        leaves = self.leaves
        return max(self.interval_ends, leaves.expected or leaves.earliest or 0)

    def on(self, day: int | None) -> str | None:
        """Return a day as text, YYYY-MM-DD; None stays None."""
        return None if day is None else (self.dates[0] + timedelta(days=day)).isoformat()


def headline(trend: Trend) -> dict[str, Any]:
    """Return the headline, which names what is most urgent."""
    return sentence(f"fold-trend.headline.{_case(trend)}", **_values(trend))


def _case(trend: Trend) -> str:
    if trend.state == "jump":
        return "jump-ask" if trend.asks_first else "jump"
    if trend.last_is_outside or trend.line_is_outside:
        return "outside"
    if trend.may_be_outside:
        return "may-be-outside"
    if trend.asks_first:
        return "drifting-ask"
    if trend.state == "drifting":
        return "drifting" if trend.leaves.expected is not None else "drifting-far"
    return trend.state


def reasons(trend: Trend) -> tuple[dict[str, Any], ...]:
    """Return the reasons: the visits, the drift, the dates, the next check."""
    codes = [
        f"visits-{trend.run.began}",
        _drift(trend),
        *_timed(trend),
        *_outside(trend),
        *_no_dates(trend),
        *_dates(trend),
        _check(trend),
        *_temperatures(trend),
        _then(trend),
    ]
    values = _values(trend)
    return tuple(sentence(f"fold-trend.reason.{code}", **values) for code in codes)


def _drift(trend: Trend) -> str:
    if trend.line is None:
        return "too-few"
    if not trend.line.drifts:
        return "steady"
    return "slower" if trend.line.slope > 0 else "quicker"


def _timed(trend: Trend) -> list[str]:
    """Say what was taken off, and whether the visits compared were timed in one way."""
    taken = ["bias-off"] if trend.visits[-1].habits else []
    return [*taken, "ways-mixed"] if taken and len({visit.way for visit in trend.compared}) > 1 else taken


def _temperatures(trend: Trend) -> list[str]:
    return [f"temperatures-{trend.temperatures.case}"] if trend.state in ("jump", "drifting") else []


def _then(trend: Trend) -> str:
    if trend.state != "jump":
        return "then-judge"
    return "then-compare" if trend.asks_first else "then-inspect"


def _outside(trend: Trend) -> list[str]:
    if trend.line_is_outside:
        return ["line-outside"]
    return ["last-outside"] if trend.last_is_outside else []


def _no_dates(trend: Trend) -> list[str]:
    """Return the codes of the reasons why there is no date."""
    leaves = trend.leaves
    if trend.line is None or trend.line_is_outside:
        return ["no-dates"]
    if trend.state == "steady":
        return ["no-date-steady"]
    if leaves.expected is None:
        return ["no-date-far"]
    return ["no-latest"] if leaves.latest is None else []


def _dates(trend: Trend) -> list[str]:
    if trend.line is None or trend.leaves.earliest is None:
        return []
    both = trend.leaves.expected is not None and trend.leaves.latest is not None
    found = ["earliest-now"] if trend.may_be_outside else [] if both else ["earliest"]
    found += ["between"] if both else []
    single = _single_outside(trend)
    return [*found, "single-timing"] if single is not None and single < trend.next_check else found


def _single_outside(trend: Trend) -> int | None:
    """Return the first day on which a single timing may be outside the window."""
    if trend.line is None:
        return None
    return first_day_outside(trend.line, trend.window, trend.last_day, readings=1)


def _check(trend: Trend) -> str:
    if trend.judge_now:
        return "check-now"
    return "check-interval" if trend.next_check == trend.interval_ends else "check-earlier"


def _values(trend: Trend) -> dict[str, object]:
    """Return the values that the sentences may name."""
    run, line, leaves = trend.run, trend.line, trend.leaves
    values: dict[str, object] = {
        "count": run.count,
        "least": ENOUGH_VISITS,
        "began": trend.dates[min(run.start, len(trend.dates) - 1)].isoformat(),
        "before": trend.dates[max(run.start - 1, 0)].isoformat(),
        "last": trend.dates[-1].isoformat(),
        "last_s": trend.times[-1],
        "shown_s": trend.visits[-1].shown_s,
        "apart_c": trend.temperatures.apart_c,
        "distance_c": trend.temperatures.distance_c,
        "before_s": trend.times[max(run.start - 1, 0)],
        "jumped_s": trend.times[min(run.start, len(trend.dates) - 1)],
        "window_low_s": trend.window[0],
        "window_high_s": trend.window[1],
        "confidence_percent": rounded(100 * trend.confidence),
        "next_check": trend.on(trend.next_check),
        "expected": trend.on(leaves.expected),
        "earliest": trend.on(leaves.earliest),
        "latest": trend.on(leaves.latest),
        "single": trend.on(_single_outside(trend)),
    }
    return {**values, **_line_values(line, trend.last_day)} if line else values


def _line_values(line: TrendLine, last_day: int) -> dict[str, object]:
    reach = line.factor * line.slope_sd
    return {
        "line_s": line.at(last_day),
        "drift_s": 30 * abs(line.slope),
        "low_s": 30 * (line.slope - reach),
        "high_s": 30 * (line.slope + reach),
        "least_s": 30 * (abs(line.slope) - reach),
        "most_s": 30 * (abs(line.slope) + reach),
    }

"""The stops of turn-plan: what ends the adjusting, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calculators.shared.half_turns import Decision, sentence
from calculators.turn_plan.case import WAYS, Case, how_it_stands

STOPS = ("wrong-way", "no-response", "no-adjustment-left", "lip-may-hang", "half-turn-too-coarse", "spread")
OUTSIDE = {"too-quick": 1, "too-slow": -1}
"""Which way a lip outside the window has to go."""
BACK = 1.5
"""On the way back to as found a spring may have answered by this many times the least response before the
doubt is dropped, whether or not it answered at all: else chance drops it half of the time."""
SPAN = 2
"""Over fewer half turns nobody can say that a spring does not answer."""


def halt(stop: str, *reasons: dict[str, Any], headline: str = "") -> Decision:
    """Return the decision to stop."""
    return Decision(headline=sentence(f"turn-plan.headline.{headline or stop}"), stop=stop, reasons=reasons)


def stop_on_spread(case: Case) -> Decision | None:
    """Stop where fold-time says inspect at any setting; its own reason says why."""
    setting = next((n for n in sorted(case.folds) if case.folds[n]["next_action"] == "inspect"), None)
    if setting is None:
        return None
    fold = case.folds[setting]
    why = str(fold["headline"]["code"]).rpartition(".")[2]
    values = {
        **fold["headline"]["values"],
        "half_turns": setting,
        "half_window_s": (case.window_high_s - case.window_low_s) / 2,
    }
    if why == "timing-too-wide":
        return halt(
            "spread", sentence("turn-plan.reason.timing-too-coarse", **values), headline="timing-too-coarse"
        )
    return halt(
        "spread", sentence(f"turn-plan.reason.{why}", **values), headline="spread" if why == "spread" else why
    )


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A spring that seems to act the wrong way or not at all; believed only after a return to as found."""

    stop: str
    values: dict[str, Any]

    def decision(self) -> Decision:
        """Return the stop itself."""
        return halt(self.stop, sentence(f"turn-plan.reason.{self.stop}", **self.values))


def suspicion(case: Case) -> Suspicion | None:
    """Return what the readings say against the spring, by today's alone or with the history."""
    span = max(case.folds) - min(case.folds)
    least_s = case.least_response_s * (BACK if case.is_coming_back else 1)
    for line in (case.today, case.line):
        if line is None:
            continue
        low, high = line.slope_interval(case.limits.confidence)
        # dt = t^2 dr; far above the window the same slope is many seconds, and so is chance: there as in it.
        seconds = span * min(1 / line.rate_at_center, case.limits.middle_s) ** 2
        values: dict[str, Any] = {"span": span, "moved_s": abs(line.slope) * seconds}
        if low > 0:
            return Suspicion("wrong-way", values)
        reach_s = -low * seconds  # only this way does a spring answer
        if span >= SPAN and (high >= 0 or case.is_coming_back) and reach_s < least_s:
            more = {"reach_s": reach_s, "least_response_s": case.least_response_s}
            return Suspicion("no-response", {**values, **more})
    return None


def stop_at_limit(case: Case, way: int) -> Decision | None:
    """Stop where the half turn asked for would leave the adjustment that is left."""
    if case.present != (case.half_turns_max if way > 0 else case.half_turns_min):
        return None
    word = "tighten" if way > 0 else "loosen"
    return halt(
        "no-adjustment-left", sentence(f"turn-plan.reason.no-adjustment-left-{word}", **how_it_stands(case))
    )


def stop_on_hanging(case: Case, way: int) -> Decision | None:
    """Stop where a line sees the next half turn slow the lip past what it can promise, or hang it."""
    lines = [line for line in (case.today, case.line) if line is not None]
    if way < 0 or not lines:
        return None
    rate = min(line.rate(case.present + 1) for line in lines)
    if rate <= 0:
        return halt("lip-may-hang", sentence("turn-plan.reason.would-hang", ceiling_s=case.ceiling_s))
    bent = _bent_rate(case)
    if bent is not None and bent * case.window_high_s < 1:
        return halt("lip-may-hang", sentence("turn-plan.reason.would-bend", **how_it_stands(case)))
    if 1 / rate <= case.ceiling_s:
        return None
    return halt(
        "lip-may-hang",
        sentence("turn-plan.reason.would-be-slow", fold_time_s=1 / rate, ceiling_s=case.ceiling_s),
    )


def _bent_rate(case: Case) -> float | None:
    """Return the rate one half turn on if each step goes on growing as the last two did, 1/s.

    Only where the settings do not lie on one line: near hanging each half turn takes more than the one
    before, and a line through all of them promises most.
    """
    folds = [case.folds.get(case.present - back) for back in range(3)]
    if case.line is None or not case.line.misses or None in folds:
        return None
    now, before, first = (1 / float(fold["mean_s"]) for fold in folds if fold)
    return now + 2 * (now - before) - (before - first)


def stop_on_coarse(case: Case, way: int) -> Decision | None:
    """Stop where one half turn jumps over the window: seen at the next setting, or all of its interval."""
    beyond = case.folds.get(case.present + way)
    if beyond:
        if -way not in (OUTSIDE.get(beyond["verdict"]), WAYS.get(beyond["next_action"])):
            return None
        return halt(
            "half-turn-too-coarse",
            sentence("turn-plan.reason.jumped", here_s=case.here["mean_s"], beyond_s=beyond["mean_s"]),
        )
    row = case.predicted(case.present + way)
    if row is None or not _is_all_beyond(case, row, way):
        return None
    return halt(
        "half-turn-too-coarse",
        sentence(
            "turn-plan.reason.would-jump",
            here_s=case.here["mean_s"],
            **row,
            window_low_s=case.window_low_s,
            window_high_s=case.window_high_s,
        ),
    )


def _is_all_beyond(case: Case, row: Any, way: int) -> bool:
    """True where a prediction lies beyond the window with its whole interval."""
    if way > 0:
        return bool(row["low_s"] > case.window_high_s)
    return bool(row["high_s"] is not None and row["high_s"] < case.window_low_s)

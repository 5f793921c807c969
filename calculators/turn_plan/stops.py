"""The stops of turn-plan: what ends the adjusting, and why."""

from __future__ import annotations

from typing import Any

from calculators.shared.half_turns import Decision, sentence
from calculators.turn_plan.case import Case, how_it_stands

STOPS = ("wrong-way", "no-response", "no-adjustment-left", "lip-may-hang", "half-turn-too-coarse", "spread")
WAYS = {"add-half-turn": 1, "remove-half-turn": -1}
"""What fold-time asks for, as half turns."""
OUTSIDE = {"too-quick": 1, "too-slow": -1}
"""Which way a lip outside the window has to go."""


def _halt(stop: str, *reasons: dict[str, Any], headline: str = "") -> Decision:
    return Decision(headline=sentence(f"turn-plan.headline.{headline or stop}"), stop=stop, reasons=reasons)


def stop_on_spread(case: Case) -> Decision | None:
    """Stop where fold-time says inspect at any setting."""
    setting = next((n for n in sorted(case.folds) if case.folds[n]["next_action"] == "inspect"), None)
    if setting is None:
        return None
    fold, half_window = case.folds[setting], (case.window_high_s - case.window_low_s) / 2
    if fold["headline"]["code"] == "fold-time.headline.spread":
        return _halt(
            "spread",
            sentence(
                "turn-plan.reason.spread",
                half_turns=setting,
                sd_s=fold["sd_s"],
                timing_uncertainty_s=case.timing_uncertainty_s,
            ),
        )
    return _halt(
        "spread",
        sentence(
            "turn-plan.reason.timing-too-coarse",
            half_window_s=half_window,
            timing_uncertainty_s=case.timing_uncertainty_s,
        ),
        headline="timing-too-coarse",
    )


def stop_on_response(case: Case) -> Decision | None:
    """Stop where the spring acts the wrong way or not at all, by today's readings or with the history."""
    span = max(case.folds) - min(case.folds)
    for line in (case.today, case.line):
        if line is None:
            continue
        low, high = line.slope_interval(case.confidence)
        seconds = span / line.rate_at_center**2  # by dt = t^2 dr, what a slope moves the time over the span
        values: dict[str, object] = {"span": span, "moved_s": abs(line.slope) * seconds}
        if low > 0:
            return _halt("wrong-way", sentence("turn-plan.reason.wrong-way", **values))
        reach_s = max(-low, high) * seconds
        if span >= 2 and high >= 0 and reach_s < case.least_response_s:
            return _halt(
                "no-response",
                sentence(
                    "turn-plan.reason.no-response",
                    **values,
                    reach_s=reach_s,
                    least_response_s=case.least_response_s,
                ),
            )
    return None


def stop_at_limit(case: Case, way: int) -> Decision | None:
    """Stop where the half turn asked for would leave the adjustment that is left."""
    if case.present != (case.half_turns_max if way > 0 else case.half_turns_min):
        return None
    word = "tighten" if way > 0 else "loosen"
    return _halt(
        "no-adjustment-left", sentence(f"turn-plan.reason.no-adjustment-left-{word}", **how_it_stands(case))
    )


def stop_on_hanging(case: Case, way: int) -> Decision | None:
    """Stop where the line sees the next half turn slow the lip past what it can promise, or hang it."""
    if way < 0 or case.line is None:
        return None
    rate = case.line.rate(case.present + 1)
    if rate <= 0:
        return _halt("lip-may-hang", sentence("turn-plan.reason.would-hang", ceiling_s=case.ceiling_s))
    if 1 / rate <= case.ceiling_s:
        return None
    return _halt(
        "lip-may-hang",
        sentence("turn-plan.reason.would-be-slow", fold_time_s=1 / rate, ceiling_s=case.ceiling_s),
    )


def stop_on_coarse(case: Case, way: int) -> Decision | None:
    """Stop where one half turn jumps over the window: seen at the next setting, or foreseen by the line."""
    beyond = case.folds.get(case.present + way)
    if beyond and -way in (OUTSIDE.get(beyond["verdict"]), WAYS.get(beyond["next_action"])):
        return _halt(
            "half-turn-too-coarse",
            sentence("turn-plan.reason.jumped", here_s=case.here["mean_s"], beyond_s=beyond["mean_s"]),
        )
    times = [each["fold_time_s"] for each in case.predictions]
    middle = (case.window_low_s + case.window_high_s) / 2
    crosses = bool(times) and min(times) <= middle <= max(times)
    # A time foreseen inside the window, but not yet surely, is no coarse step: the next timing will tell.
    inside = any(case.window_low_s <= time <= case.window_high_s for time in times)
    if not crosses or inside or any(each["probability_in_window"] > 0.5 for each in case.predictions):
        return None
    return _halt(
        "half-turn-too-coarse",
        sentence(
            "turn-plan.reason.would-jump",
            below_s=max(t for t in times if t <= middle),
            above_s=min(t for t in times if t >= middle),
            window_low_s=case.window_low_s,
            window_high_s=case.window_high_s,
        ),
    )

"""The rules of turn-plan: from what was seen to one decision about the next half turn."""

from __future__ import annotations

from typing import Any

from calculators.shared.half_turns import Decision, sentence
from calculators.turn_plan.case import Case, how_it_stands, most_likely
from calculators.turn_plan.stops import (
    WAYS,
    stop_at_limit,
    stop_on_coarse,
    stop_on_hanging,
    stop_on_response,
    stop_on_spread,
)


def decide(case: Case) -> Decision:
    """Return the decision: stops on what was seen, then what fold-time asks for at the present setting."""
    stop = stop_on_spread(case) or stop_on_response(case)
    if stop:
        return stop
    action = case.here["next_action"]
    if action in WAYS:
        return _turn(case, WAYS[action])
    if action == "leave":
        name = "edge-inside" if case.here["verdict"] == "undecided" else "in-window"
        return _leave(sentence(f"turn-plan.reason.{name}", **how_it_stands(case)))
    return _time_again(case) if case.measured else _measure_first(case)


def _turn(case: Case, way: int) -> Decision:
    """Order the half turn that fold-time asks for, unless something speaks against it."""
    against = stop_at_limit(case, way) or stop_on_hanging(case, way)
    if against is None and not case.measured:
        return _measure_first(case)
    to_go = most_likely(case)
    if against is None and _is_best_here(case, to_go):
        return _leave(sentence("turn-plan.reason.no-better", **how_it_stands(case)))
    against = against or stop_on_coarse(case, way)
    if against:
        return against
    return Decision(
        headline=sentence("turn-plan.headline.tighten" if way > 0 else "turn-plan.headline.loosen"),
        do_now=way,
        to_go=to_go if to_go is not None and to_go * way > 0 else None,  # never against what is asked for now
        reasons=(
            sentence(f"turn-plan.reason.{_off(case)}", **how_it_stands(case)),
            *_outlook(case, way, to_go),
            sentence("turn-plan.reason.one-half-turn"),
            *([sentence("turn-plan.reason.if-it-hangs")] if way > 0 else []),  # no line sees a sudden stall
        ),
        at_the_springs=True,
        moves_the_leveler=True,
    )


def _is_best_here(case: Case, to_go: int | None) -> bool:
    """True on the edge of the window where the line sees no better setting, and this one likely inside."""
    row = case.predicted(case.present)
    edge = case.here["verdict"] == "undecided"
    return edge and to_go == 0 and row is not None and row["probability_in_window"] > 0.5


def _off(case: Case) -> str:
    verdict = str(case.here["verdict"])
    return "edge" if verdict == "undecided" else verdict


def _outlook(case: Case, way: int, to_go: int | None) -> list[dict[str, Any]]:
    """Say what to expect after this half turn and how many more are likely."""
    if case.line is None:
        return [sentence("turn-plan.reason.no-slope")]
    said = []
    if case.today is None:
        said.append(sentence("turn-plan.reason.from-history"))
    following = case.predicted(case.present + way)
    if following is None:
        said.append(sentence("turn-plan.reason.no-time-yet", ceiling_s=case.ceiling_s))
    elif following["high_s"] is None:
        said.append(sentence("turn-plan.reason.expect-at-least", **following))
    else:
        said.append(sentence("turn-plan.reason.expect", **following))
    return said + _count(case, way, to_go)


def _count(case: Case, way: int, to_go: int | None) -> list[dict[str, Any]]:
    if case.line is not None and case.line.slope_interval(case.confidence)[1] >= 0:
        return [sentence("turn-plan.reason.response-unsure")]
    if to_go is None:
        return []
    if to_go * way <= 0:
        return [sentence("turn-plan.reason.line-disagrees")]
    best = case.predicted(case.present + to_go)
    if best is None or not case.window_low_s <= best["fold_time_s"] <= case.window_high_s:
        return [sentence("turn-plan.reason.not-reached", count=abs(to_go))]
    if best["probability_in_window"] <= 0.5:
        name = "to-go-unsure"
    else:
        name = "to-go-one" if abs(to_go) == 1 else "to-go-many"
    return [sentence(f"turn-plan.reason.{name}", count=abs(to_go), more=abs(to_go) - 1, **best)]


def _measure_first(case: Case) -> Decision:
    reasons = [
        sentence(f"turn-plan.reason.{_state(case)}", **how_it_stands(case)),
        sentence("turn-plan.reason.not-measured"),
    ]
    return Decision(
        headline=sentence("turn-plan.headline.measure-first"), reasons=tuple(reasons), at_the_springs=True
    )


def _time_again(case: Case) -> Decision:
    return Decision(
        headline=sentence("turn-plan.headline.time-again"),
        to_go=most_likely(case),
        reasons=(sentence(f"turn-plan.reason.{_state(case)}", **how_it_stands(case)),),
        moves_the_leveler=True,
    )


def _state(case: Case) -> str:
    """Name the sentence that tells how the lip stands at the present setting."""
    if case.counts[case.present] == 1:
        return "one-timing"
    return "undecided" if case.here["next_action"] == "time-again" else _off(case)


def _leave(reason: dict[str, Any]) -> Decision:
    return Decision(
        headline=sentence("turn-plan.headline.leave"),
        to_go=0,
        reasons=(reason, sentence("turn-plan.reason.cycle-then-record")),
        at_the_springs=True,
        moves_the_leveler=True,
    )

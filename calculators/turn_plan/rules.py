"""The rules of turn-plan: from what was seen to one decision about the next half turn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.fold_time.answers import question
from calculators.shared.half_turns import Decision, sentence
from calculators.turn_plan.case import WAYS, Case, how_it_stands, most_likely
from calculators.turn_plan.stops import (
    Suspicion,
    stop_at_limit,
    stop_on_coarse,
    stop_on_hanging,
    stop_on_spread,
    suspicion,
)

RUNS_BACK = 3
"""Timings at as found, after the way back, before a spring is said not to answer."""


def decide(case: Case) -> Decision:
    """Return the decision: slips, stops on what was seen, then what fold-time asks for at this setting."""
    asked = _asked(case)
    if asked is not None:
        return _ask(asked)
    stop = stop_on_spread(case)
    if stop:
        return stop
    doubt = suspicion(case)
    if doubt:
        return _back_to_as_found(case, doubt)
    action = case.here["next_action"]
    if action in WAYS:
        return _turn(case, WAYS[action])
    if action == "leave":
        return _inside(case)
    return _time_again(case) if case.measured else _measure_first(case)


def _asked(case: Case) -> Mapping[str, Any] | None:
    """Return the first question that any setting asks for, the present one's before others."""
    folds = [case.here, *(case.folds[n] for n in sorted(case.folds) if n != case.present)]
    return next((fold["question"] for fold in folds if fold["question"] is not None), None)


def _ask(asked: Mapping[str, Any]) -> Decision:
    return Decision(
        headline=sentence(asked["code"], **asked["values"]),
        question=asked,
        reasons=(sentence("turn-plan.reason.answer-first"),),
    )


def _back_to_as_found(case: Case, doubt: Suspicion) -> Decision:
    """Go back half a turn at a time and time three runs there: a lip that drifts looks like a dead spring."""
    if doubt.stop == "wrong-way" and case.answers.to("sign", "") is None:
        return _ask(question("sign", "", **doubt.values))
    if case.present and not case.measured:
        return _measure_first(case, sentence(f"turn-plan.reason.doubt-{doubt.stop}", **doubt.values))
    if case.present:
        way = -1 if case.present > 0 else 1
        return Decision(
            headline=sentence(f"turn-plan.headline.{_word(way)}"),
            do_now=way,
            reasons=(
                sentence(f"turn-plan.reason.doubt-{doubt.stop}", **doubt.values),
                sentence("turn-plan.reason.way-back"),
                sentence("turn-plan.reason.one-half-turn"),
            ),
            at_the_springs=True,
            moves_the_leveler=True,
        )
    if case.runs_back < RUNS_BACK:
        return Decision(
            headline=sentence("turn-plan.headline.time-again"),
            reasons=(
                sentence(f"turn-plan.reason.doubt-{doubt.stop}", **doubt.values),
                sentence("turn-plan.reason.as-found-again", count=RUNS_BACK - case.runs_back),
            ),
            moves_the_leveler=True,
        )
    return doubt.decision()


def _turn(case: Case, way: int) -> Decision:
    """Order the half turn that fold-time asks for, unless something speaks against it."""
    against = stop_at_limit(case, way) or stop_on_hanging(case, way)
    if against is None and not case.measured:
        return _measure_first(case)
    to_go = most_likely(case)
    if against is None and _is_best_here(case, to_go):
        return _leave(case, sentence("turn-plan.reason.no-better", **how_it_stands(case)))
    against = against or stop_on_coarse(case, way)
    if against:
        return against
    return Decision(
        headline=sentence(f"turn-plan.headline.{_word(way)}"),
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


def _inside(case: Case) -> Decision:
    """Leave at the first setting inside, or go on towards the middle where the company wants that."""
    if case.here_case.startswith(("cold-", "hot-")):
        return _leave_for_now(case)
    way = _way_to_the_middle(case)
    if case.to_the_middle and case.measured and way and _may_go_on(case, way):
        return Decision(
            headline=sentence(f"turn-plan.headline.{_word(way)}"),
            do_now=way,
            to_go=way,
            reasons=(
                sentence("turn-plan.reason.to-the-middle", **how_it_stands(case)),
                *_outlook(case, way, None),
                sentence("turn-plan.reason.one-half-turn"),
                *([sentence("turn-plan.reason.if-it-hangs")] if way > 0 else []),
            ),
            at_the_springs=True,
            moves_the_leveler=True,
        )
    name = "edge-inside" if case.here["verdict"] == "undecided" else "in-window"
    return _leave(case, sentence(f"turn-plan.reason.{name}", **how_it_stands(case)))


def _way_to_the_middle(case: Case) -> int:
    away = case.limits.middle_s - float(case.here["mean_s"])
    return (away > 0) - (away < 0)


def _may_go_on(case: Case, way: int) -> bool:
    """True where the next half turn leads nearer to the middle, not past it, and surely stays inside."""
    row = case.predicted(case.present + way)
    if row is None or row["high_s"] is None or case.present + way in case.folds:
        return False
    if stop_at_limit(case, way) or stop_on_hanging(case, way):
        return False
    past = way * (row["fold_time_s"] - case.limits.middle_s) > 0
    return bool(not past and row["low_s"] >= case.window_low_s and row["high_s"] <= case.window_high_s)


def _word(way: int) -> str:
    return "tighten" if way > 0 else "loosen"


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
    if case.line.misses:
        return [sentence("turn-plan.reason.no-straight-line")]
    said = [sentence("turn-plan.reason.history-dropped")] if case.history_dropped else []
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
    if case.line is not None and case.line.slope_interval(case.limits.confidence)[1] >= 0:
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


def _measure_first(case: Case, *doubts: dict[str, Any]) -> Decision:
    return Decision(
        headline=sentence("turn-plan.headline.measure-first"),
        reasons=(
            sentence(f"turn-plan.reason.{_state(case)}", **how_it_stands(case)),
            *doubts,
            sentence("turn-plan.reason.not-measured"),
        ),
        at_the_springs=True,
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
    if case.here_case in ("two-more", "spread-seen"):
        return case.here_case
    return "undecided" if case.here["next_action"] == "time-again" else _off(case)


def _leave(case: Case, reason: dict[str, Any]) -> Decision:
    return Decision(
        headline=sentence("turn-plan.headline.leave"),
        to_go=0,
        reasons=(reason, *_what_next_would_give(case), sentence("turn-plan.reason.cycle-then-record")),
        at_the_springs=True,
        moves_the_leveler=True,
    )


def _leave_for_now(case: Case) -> Decision:
    """Leave what a cold or hot damper does not let anyone judge; it is due again at the first warm visit."""
    return Decision(
        headline=sentence("turn-plan.headline.leave-for-now"),
        to_go=0,
        reasons=(
            sentence(f"turn-plan.reason.{case.here_case}", **how_it_stands(case)),
            sentence("turn-plan.reason.cycle-then-record"),
        ),
        at_the_springs=True,
        moves_the_leveler=True,
    )


def _what_next_would_give(case: Case) -> list[dict[str, Any]]:
    """Say what one half turn towards the middle would be likely to give, and the chance of being inside."""
    way = _way_to_the_middle(case)
    row = case.predicted(case.present + way) if way else None
    if row is None:
        return []
    return [
        sentence(
            f"turn-plan.reason.next-{_word(way)}",
            **row,
            probability_percent=100 * row["probability_in_window"],
        )
    ]

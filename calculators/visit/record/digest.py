"""The digest of a visit: one small row for lists and for the history of its leveler."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calculators import answering
from calculators.visit.derived.inputs import counted_runs, inputs
from calculators.visit.derived.ledger import nets
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.place.leaving import left_behind, left_open
from calculators.visit.record.compared import SPRINGS
from calculators.visit.record.dues import dues, pages_done
from calculators.visit.record.record import closed, verdicts
from calculators.visit.record.trend import visit_of

Words = Mapping[str, str]
PRIORS = ("prior_slope_per_s_per_half_turn", "prior_slope_sd_per_s_per_half_turn")


def digest(plan: Plan, state: State, digests: Sequence[Row], words: Words) -> Row:
    """Return the row; `digests` are those of the leveler's earlier visits."""
    return {
        "sequence": state.sequence,
        "pages": pages_done(plan, state),
        **visit_of(plan, state, words),
        "slope": slope(plan, state, words),
        "springs": {spring: _spring(plan, state, spring) for spring in SPRINGS if _made(state, spring)},
        "verdicts": list(verdicts(plan, state, words)),
        "open": [*left_open(plan, state), *left_behind(state, words)],
        "due": dues(plan, state, digests, words),
        "closed": closed(state),
    }


def _made(state: State, spring: str) -> int:
    return sum(turn["spring"] == spring for turn in state.turns)


def _spring(plan: Plan, state: State, spring: str) -> Row:
    """Return how many half turns a spring got, and where each stands, in half turns from as found."""
    return {"made": _made(state, spring), "nets": nets(plan, state, spring)}


def slope(plan: Plan, state: State, words: Words) -> Row | None:
    """Return what a half turn did to 1/t at this visit alone, per_s_per_half_turn and sd, or None."""
    if len({run["setting"] for run in counted_runs(state)}) < 2:
        return None
    raw = inputs(plan, state, "turn-plan")
    if raw is None:
        return None
    alone = {name: value for name, value in raw.items() if name not in PRIORS}
    answer = answering.answer("turn-plan", alone, words)
    if answer.get("rate_slope") is None:
        return None
    return {"per_s_per_half_turn": answer["rate_slope"], "sd": answer["slope_sd"]}

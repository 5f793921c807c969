"""A lip that stays part of the way in, though its fold is in the window: one half turn is tried, once.

The page of the lip-assist spring says so: tighten half a turn, once, within the limit, and time it. If the
lip then comes all the way out and the fold is still in its window, that is right. If not, back half a turn,
then stop and call. A lip that stays in and folds too slowly asks for two opposite turns: stop and call.
Common practice, no source.
"""

from __future__ import annotations

from calculators.visit.derived.ledger import cycles, last_turn, limits, net
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import State

TRY, BACK, STILL, OPPOSITE = "lip-in", "lip-back", "lip-still-in", "opposite-turns"
ORDERS = {TRY: 1, BACK: -1}
OUTCOMES_OF_THE_LIP = (TRY, BACK, STILL, OPPOSITE)
SPRING = "lip-assist"


def stays_in(state: State) -> bool:
    """True where the last cycle at the present setting showed a lip that was not all the way out."""
    here = [cycle for cycle in cycles(state) if cycle["seq"] > last_turn(state, SPRING)]
    return bool(here) and not here[-1]["lip_extended"]


def outcome_with_lip(plan: Plan, state: State, calculator: str, outcome: str) -> str:
    """Return the outcome once the lip is looked at: the calculator's own where it came all the way out."""
    if not stays_in(state):
        return outcome
    if calculator == "fold-time":
        return {"leave": TRY, "remove-half-turn": OPPOSITE}.get(outcome, outcome)
    tried = _tried(state)
    if tried is None:
        return {"leave": _first(plan, state), "loosen": OPPOSITE}.get(outcome, outcome)
    if tried == TRY and outcome in ("leave", "loosen"):
        return BACK
    return STILL if outcome == "leave" else outcome


def _tried(state: State) -> str | None:
    """Return the latest half turn for the lip that was ordered and made; None before the first."""
    made = last_turn(state, SPRING)
    rows = (row for row in reversed(state.answered) if row["calculator"] == "turn-plan" and row["seq"] < made)
    return next((str(row["outcome"]) for row in rows if row["outcome"] in ORDERS), None)


def _first(plan: Plan, state: State) -> str:
    """Return the half turn that is tried, or why it cannot be."""
    tightest = limits(plan, state, SPRING)[1]
    if tightest is None:
        return "measure-first"
    return TRY if net(state, SPRING) < tightest else "no-adjustment-left"

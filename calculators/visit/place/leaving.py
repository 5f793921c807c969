"""The end of a visit: what is open, and what keeps it from closing."""

from __future__ import annotations

from collections.abc import Mapping

from calculators.shared.half_turns import sentence
from calculators.shared.hazards import BEFORE_CYCLING
from calculators.visit.derived.entries import told_places
from calculators.visit.derived.ledger import (
    cycles,
    is_last_cycle_right,
    is_uneven,
    last_turn,
    waits_for_check,
)
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.place.places import settle

SPRINGS = ("mainspring", "lip-assist")


def left_open(plan: Plan, state: State) -> list[Row]:
    """Return what is left open, as sentences: steps not so, half turns without their check, a stop."""
    found = [] if state.stopped is None else [stopped_by(state.stopped)]
    for row in state.not_so:
        done = state.steps.get((plan.page(row["job"]), row.get("step") or ""), -1)
        if row.get("kept"):
            found.append(sentence("visit.open.found", note=row["note"]))
        elif done < row["seq"] and not row.get("stop"):
            found.append(
                sentence("visit.open.not-so", job=row["job"], step=row.get("step"), note=row["note"])
            )
    for spring in SPRINGS:
        if waits_for_check(state, spring):
            found.append(sentence(f"visit.open.unchecked.{spring}"))
        if is_uneven(plan, state, spring):
            found.append(sentence("visit.open.uneven"))
    needed = [part for part in state.parts if not part["used"]]
    return [*found, *(sentence("visit.open.part", name=part["name"], count=part["count"]) for part in needed)]


def left_behind(state: State, words: Mapping[str, str]) -> list[Row]:
    """Return what a closed visit leaves at the door for whoever comes next: what stands, whose locks hang."""
    if state.closed is None:
        return []
    found = []
    if state.closed["how"] == "out-of-service" and state.kept_in_use:
        name = state.kept_in_use["name"]
        found.append(sentence("visit.open.kept-in-use", why=state.closed["why"], name=name))
    elif state.closed["how"] == "out-of-service":
        found.append(sentence("visit.open.out-of-service", why=state.closed["why"]))
    hanging = [spot for spot, row in state.locks.items() if row["on"]]
    if any(place == "support" for _, place in hanging):
        found.append(sentence("visit.open.on-support"))
    locks = [sentence("visit.open.lock", person=person, place=place) for person, place in hanging]
    return [*found, *(told_places(lock, words) for lock in locks)]


def stopped_by(row: Row) -> Row:
    """Return what a stop says of itself, as a sentence."""
    if "headline" in row:
        return {"code": row["headline"]["code"], "values": row["headline"]["values"]}
    return sentence("visit.open.stopped", note=row.get("note", ""))


def keeps_open(plan: Plan, state: State, how: str) -> list[Row]:
    """Return what is missing before the visit can be closed this way, as sentences."""
    if how == "out-of-service":
        return []
    if state.stopped:  # nothing more is tried on it, so nothing else is asked for
        return [sentence("visit.keeps.stopped")]
    found = []
    if settle(plan, state, state.next).stack:
        found.append(sentence("visit.keeps.jobs"))
    if how == "closing-cycle":
        found += _work_unproved(plan, state)
    elif _was_moved(plan, state):
        found.append(sentence("visit.keeps.moved"))
    found += [
        sentence("visit.keeps.lock", person=person, place=place)
        for (person, place), row in state.locks.items()
        if row["on"]
    ]
    return found


def _work_unproved(plan: Plan, state: State) -> list[Row]:
    """Return what keeps worked springs and parts from being handed back: checks, closing cycle, nuts."""
    found = [sentence("visit.keeps.unchecked") for spring in SPRINGS if waits_for_check(state, spring)][:1]
    found += [sentence("visit.keeps.uneven") for spring in SPRINGS if is_uneven(plan, state, spring)][:1]
    found += _closing_cycle(state)
    if last_turn(state) >= 0 and not _tried_since(plan, state, last_turn(state)):
        found.append(sentence("visit.keeps.hardware"))
    return found


def _was_moved(plan: Plan, state: State) -> bool:
    """True where anything was turned, timed, fitted or cycled, or a step warned of a moving platform."""
    rows = [plan.step(page, step) for page, step in state.steps]
    rows += [plan.question(row["path"], row["question"]) for row in state.replied]
    moving = any(hazard in BEFORE_CYCLING for row in rows for hazard in row.get("hazards", ()))
    fitted = any(part["used"] for part in state.parts)
    return bool(moving or fitted or state.turns or state.runs or cycles(state))


def _closing_cycle(state: State) -> list[Row]:
    """Return what is wrong with the closing cycle: none since the last half turn or part, or no good one."""
    changed = max(last_turn(state), *(float(part["seq"]) for part in state.parts if part["used"]), -1.0)
    since = [cycle for cycle in cycles(state) if cycle["seq"] > changed]
    if not since:
        return [sentence("visit.keeps.cycle")]
    return [] if is_last_cycle_right(state) else [sentence("visit.keeps.cycle-not-good")]


def _tried_since(plan: Plan, state: State, since: float) -> bool:
    """True where the nuts were tried after the last half turn."""
    return any(
        seq > since and "nuts-tried" in plan.step(page, step).get("asks", ())
        for (page, step), seq in state.steps.items()
    )

"""Done, an answer read, not so, left open: how a visit goes on from one screen to the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.fields import BadInput, InputProblem
from calculators.visit.acts.act_values import BY, KEEP, text, whole
from calculators.visit.acts.here import Events, Now, Refused, at_stage, given_values, where, with_stop
from calculators.visit.derived.entries import Wanted, read, wanted, wanted_first
from calculators.visit.derived.ledger import order
from calculators.visit.derived.outcomes import ALWAYS_STOP
from calculators.visit.log.state import Row, State
from calculators.visit.place.places import (
    Stack,
    after,
    by_way,
    follow,
    goes_back,
    step_that_locks,
    stop,
    target_of,
)
from calculators.visit.screens.asking import answer_at
from calculators.visit.screens.screens import may_leave_open, runs_missing, shown_steps, step_lacks


def done(here: Now, act: Mapping[str, Any]) -> Events:
    """Take what was entered, the half turn that was made, and the steps as done."""
    at_stage(here, "step", "answer")
    plan, state, place = here.plan, here.state, here.place
    if place.stage == "answer":
        first = answer_at(plan, state, place, here.words).first
        if not first:
            raise BadInput(InputProblem("do", "done", "visit-not-here"))
        return with_quiet_answer(here, _entered(here, wanted_first(plan, state, place.job, first), act))
    steps = shown_steps(plan, state, place)
    asks = [ask for step in steps for ask in plan.asks(place.job, step)]
    first_asks = step_lacks(plan, state, place.job, asks)
    if first_asks:
        return _entered(here, wanted_first(plan, state, place.job, first_asks), act)
    _check_runs(here, steps, asks)
    events = _entered(here, wanted(plan, state, place.job, steps), act)
    if "half-turn" in asks:
        events.append(("turned", _ordered(here)))
    events.append(("done", _step_done(here, steps, here.then(events).state)))
    return with_quiet_answer(here, events)


def _entered(here: Now, wants: Sequence[Wanted], act: Mapping[str, Any]) -> Events:
    try:
        return list(read(here.plan, here.state, here.place.job, wants, act.get("entries"), here.words))
    except BadInput as bad:
        raise Refused([want.field(here.words) for want in wants], *bad.problems) from None


def _check_runs(here: Now, steps: Sequence[str], asks: Sequence[str]) -> None:
    missing = runs_missing(here.plan, here.state, here.place.job, steps) if "runs" in asks else 0
    if missing:
        raise BadInput(InputProblem("runs", None, "visit-runs-missing", {"count": missing}))


def _ordered(here: Now) -> Row:
    """Return the half turn that stands ordered, made."""
    ordered = order(here.plan, here.state, here.plan.jobs_spring(here.place.job))
    if ordered is None:
        raise BadInput(InputProblem("do", "done", "visit-not-here"))
    return {**where(here), **{name: ordered[name] for name in ("spring", "which", "direction")}}


def _step_done(here: Now, steps: Sequence[str], behind: State) -> Row:
    plan, place = here.plan, here.place
    page = plan.page(place.job)
    row: Row = {
        "job": place.job,
        "page": page,
        "steps": [{"id": step, "hash": plan.step(page, step).get("hash", "")} for step in steps],
        "next": _next_after(here, steps[-1], behind),
    }
    if place.job not in here.state.orders:
        row["order"] = plan.order(place.job)
    if place.worked:
        row["worked"] = place.worked
    return row


def _next_after(here: Now, step: str, behind: State) -> Stack:
    """Return the stack behind a step that was done: back for more runs or a further spring, else on."""
    plan, job = here.plan, here.place.job
    rule = plan.rule(job, step)
    frame: Row = {"job": job, "step": after(plan, job, step)}
    if goes_back(plan, behind, job, rule):
        frame["step"] = by_way(plan, behind, rule["again"])
    elif "ask" in rule:
        frame = {"job": job, "step": step, "stage": "answer"}
    elif "led_by" in rule:
        frame = {"job": job, "step": step, "stage": "led"}
    return [*here.place.stack[:-1], frame]


def with_quiet_answer(here: Now, events: Events) -> Events:
    """Add the answer that needs no screen of its own."""
    behind = here.then(events)
    if behind.place.stage != "answer":
        return events
    said = answer_at(behind.plan, behind.state, behind.place, here.words)
    return [*events, *answer(behind, {})] if said.is_quiet and not said.question else events


def answer(here: Now, act: Mapping[str, Any]) -> Events:
    """Go where the answer on the screen leads."""
    at_stage(here, "answer")
    plan, place = here.plan, here.place
    said = answer_at(plan, here.state, place, here.words)
    if said.first or said.question:
        raise BadInput(InputProblem("do", "answer", "visit-not-here"))
    rule = plan.rule(place.job, place.step)
    target = "stop" if said.outcome in ALWAYS_STOP else target_of(rule, said.outcome)
    if (
        target != "stop" and not said.do_now
    ):  # no cycle with a loose nut, where a correction took the order away
        target = step_that_locks(plan, here.state, place.job) or target
    next_, stopped = follow(here.plan, here.state, here.place.stack, target)
    row: Row = {
        "calculator": said.calculator,
        **where(here),
        "outcome": said.outcome,
        "headline": said.headline,
        "do_now": said.do_now,
        "next": next_,
    }
    return [("answered", with_stop(row | ({"spring": said.spring} if said.spring else {}), stopped))]


def not_so(here: Now, act: Mapping[str, Any]) -> Events:
    """Note what is not so: an item of the page's own list is a stop, a note alone stays at the step.

    With `keep` it is a finding that may wait: left open, by a day if one was said, however the step ends.
    """
    at_stage(here, "step", "answer", "path")
    item = act.get("stop_item")
    stops = here.plan.raw.get("pages", {}).get(here.plan.page(here.place.job), {}).get("stops", 0)
    given = given_values(
        [
            whole("stop_item", 0, max(stops - 1, 0), optional=True),
            text("note", 0 if item is not None else 1),
            KEEP,
            BY,
        ],
        {"note": "", **act},
        here.words,
    )
    row = {**where(here), "stop_item": given.get("stop_item"), "note": given["note"]}
    if item is None and given.get("keep"):
        row |= {"kept": True} | ({"by": given["by"].isoformat()} if "by" in given else {})
    if item is None:
        return [("not-so", {**row, "next": here.place.stack})]
    return [("not-so", {**row, "next": stop(here.plan, here.state, here.place.stack), "stop": True})]


def leave_open(here: Now, act: Mapping[str, Any]) -> Events:
    """Go on without what the step asks for, with a note why."""
    at_stage(here, "step")
    if not may_leave_open(here.plan, here.state, here.place):
        raise BadInput(InputProblem("do", "leave-open", "visit-not-left-open"))
    note = given_values([text("note", 1)], act, here.words)["note"]
    steps = shown_steps(here.plan, here.state, here.place)
    row = {**where(here), "stop_item": None, "note": note, "left_open": True}
    return [("not-so", {**row, "next": _next_after(here, steps[-1], here.state)})]

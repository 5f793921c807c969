"""A half turn that nobody ordered, or that was forgotten: entered with its reason, its check comes next."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from calculators.shared.fields import BadInput, InputProblem, read_inputs
from calculators.shared.words import say
from calculators.visit.acts.act_values import TURNED, whole
from calculators.visit.acts.here import Events, Now, Refused, given_values, is_run, where
from calculators.visit.derived.asks import FIELDS
from calculators.visit.derived.ledger import is_uneven, order, spring_count
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.place.places import Stack, by_way, step_that_locks, stop


def turned(here: Now, act: Mapping[str, Any]) -> Events:
    """Take a half turn that nobody ordered, or that was forgotten.

    Its check is the next screen; after a stop nothing more is worked but what the stop leads to.
    """
    given = given_values(TURNED, act, here.words)
    spring = given["spring"]
    events = _counted_first(here, act) if spring == "mainspring" else []
    count = spring_count(here.plan, here.then(events).state, spring) or 1
    if given.get("which", 1) > count:
        problem = InputProblem("which", given["which"], "out-of-range")
        raise Refused([whole("which", 1, count)], problem)
    before = {"before": act["before"]} if is_run(here, act.get("before")) else {}
    springs = [given["which"]] if "which" in given else list(range(1, count + 1))
    events += [("turned", {**where(here), **given, "which": which, **before}) for which in springs]
    if here.state.stopped:
        return events
    next_, stopped = _to_check(here, here.then(events).state, spring)
    events[-1][1]["next"] = next_
    if stopped:
        events[-1][1]["stop"] = True
    return events


def _counted_first(here: Now, act: Mapping[str, Any]) -> Events:
    """Return the entry of how many mainsprings there are, which the act tells where nobody knew."""
    if spring_count(here.plan, here.state, "mainspring") is not None:
        return []
    field = dataclasses.replace(FIELDS["springs"].field, label=say(here.words, "visit.entry.springs", {}))
    try:
        count = read_inputs([field], {"spring_count": act["spring_count"]} if "spring_count" in act else {})
    except BadInput as bad:
        raise Refused([field], *bad.problems) from None
    return [("entered", {**where(here), "ask": "springs", **count})]


def _to_check(here: Now, state: State, spring: str) -> tuple[Stack, bool]:
    """Return where a half turn without an order leads: to even springs, to the check, or to a stop."""
    plan, stack = here.plan, here.place.stack
    job = plan.springs_job(spring, state.sequence)
    if job is None:
        return stop(plan, state, stack), True
    step = step_that_locks(plan, state, job) or str((plan.job(job) or {})["check"])
    if is_uneven(plan, state, spring):
        if order(plan, state, spring) is None:
            return stop(plan, state, stack), True
        rule = next(
            (
                rule
                for each in plan.order(job)
                if "again" in (rule := plan.rule(job, each)) and "until" not in rule
            ),
            {},
        )
        step = by_way(plan, state, rule.get("again", step)) or step
    return _led_to(plan, state, stack, {"job": job, "step": step}), False


def _led_to(plan: Plan, state: State, stack: Stack, check: Row) -> Stack:
    """Return the stack with the check of a spring: at once, but never before the list's first job is done.

    What the list has before the spring's job is not lost by it; what it has behind it is worked again.
    """
    listed = [row["job"] for row in plan.listed(state.sequence)]
    jobs = [frame.get("job") for frame in stack]
    if listed[0] in jobs and check["job"] != listed[0]:
        first = jobs.index(listed[0])
        waiting = [frame for frame in stack[:first] if frame.get("job") != check["job"]]
        return [*(waiting or [{"after": listed[0]}]), check, *stack[first:]]
    if check["job"] in jobs:
        return [*stack[: jobs.index(check["job"])], check]
    present = next((listed.index(job) for job in jobs if job in listed), None)
    if check["job"] not in listed or (present is not None and present < listed.index(check["job"])):
        return [*stack, check]
    return [check]

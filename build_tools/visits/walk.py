"""Walks a sequence every way that it can go, with the visit's own stepping, and says what bounds each way.

A place is the stack of calculators/visit. What depends on the day (was the support in? which way has the
lip?) goes both ways here; what a calculator or a person says goes every way. A way is bounded where something
ends it by itself: a calculator's own stops, a figure, the number of springs, or once a visit.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from calculators.visit.derived.outcomes import OUTCOMES
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import State
from calculators.visit.place.places import Stack, after, begin, ended, follow, stop, target_of

MOST_PLACES = 50_000
DEEPEST = 12
Key = str


@dataclass(frozen=True, slots=True)
class Way:
    """From one place to the next. `bounded` says that it cannot be gone for ever."""

    to: Key
    bounded: bool = False
    not_so: bool = False
    """True where a person says that something is not as the step has it, which always leads to a stop."""


@dataclass
class Walk:
    """Everything that a sequence can come to. A place is the JSON text of its stack; "[]" is Leave."""

    ways: dict[Key, list[Way]] = field(default_factory=dict)
    steps: set[tuple[str, str]] = field(default_factory=set)
    """(job, step) that the walk came to."""
    too_many: bool = False

    def unbounded_loop(self) -> Key | None:
        """Return a place to which ways without a bound lead back; None where every loop is bounded."""
        done: set[Key] = set()
        for start in self.ways:
            path: dict[Key, Iterator[Way]] = {}
            open_ = [start] if start not in done else []
            while open_:
                here = open_[-1]
                ways = path.setdefault(here, iter(self.ways[here]))
                way = next((way for way in ways if not way.bounded and way.to not in done), None)
                if way is None:
                    done.add(here)
                    path.pop(here)
                    open_.pop()
                elif way.to in path:
                    return way.to
                else:
                    open_.append(way.to)
        return None

    def trapped(self) -> Key | None:
        """Return a step from which nothing but a "not so" leads to Leave; None where there is none."""
        back: dict[Key, list[Key]] = {}
        for place, ways in self.ways.items():
            for way in (way for way in ways if not way.not_so):
                back.setdefault(way.to, []).append(place)
        reach, open_ = {"[]"}, ["[]"]
        while open_:
            for place in back.get(open_.pop(), ()):
                if place not in reach:
                    reach.add(place)
                    open_.append(place)
        lost = [place for place in self.ways if place not in reach]
        return next((place for place in reversed(lost) if json.loads(place)[-1].get("step")), None)


def walk(plan: Plan, sequence: str) -> Walk:
    """Return everything that a sequence can come to."""
    state = State(opened={"sequence": sequence})
    found = Walk()
    open_: list[Stack] = [[{"after": None}]]
    while open_:
        stack = open_.pop()
        key = _key(stack)
        if key in found.ways:
            continue
        if len(found.ways) >= MOST_PLACES or len(stack) > DEEPEST:
            found.too_many = True
            return found
        found.ways[key] = []
        if stack and stack[-1].get("step"):
            found.steps.add((stack[-1]["job"], stack[-1]["step"]))
        for to, bounded, not_so in _ways(plan, state, stack):
            found.ways[key].append(Way(_key(to), bounded, not_so))
            open_.append(to)
    return found


def _key(stack: Stack) -> Key:
    return json.dumps(stack, sort_keys=True)


_Ways = Iterator[tuple[Stack, bool, bool]]
"""Stack, bounded, not_so: see Way."""


def _ways(plan: Plan, state: State, stack: Stack) -> _Ways:
    if not stack:
        return
    frame = stack[-1]
    if "after" in frame:
        yield from ((to, False, False) for to in _listed(plan, state, stack))
    elif "question" in frame:
        yield from _replies(plan, state, stack)
    elif frame.get("step") is None:
        first = plan.question((plan.job(frame["job"]) or {}).get("path"), None)
        asked = [*stack[:-1], {"job": frame["job"], "question": first["id"]}] if first else None
        yield asked or ended(stack), False, False
    elif frame.get("stage"):
        yield from _outcomes(plan, state, stack)
    else:
        yield from _step(plan, state, stack)


def _listed(plan: Plan, state: State, stack: Stack) -> Iterator[Stack]:
    """Yield each job that can come next in the sequence's list; Leave where none must."""
    rows = plan.listed(state.sequence)
    names = [row["job"] for row in rows]
    job = stack[-1]["after"]
    if job is not None and job not in names:
        yield stack[:-1]
        return
    for row in rows[names.index(job) + 1 if job is not None else 0 :]:
        if not row.get("if_sent"):
            yield [*stack[:-1], begin(plan, row["job"])]
            if not row.get("if_done"):
                return
    yield stack[:-1]


def _step(plan: Plan, state: State, stack: Stack) -> _Ways:
    frame = stack[-1]
    job, step = frame["job"], frame["step"]
    rule, told = plan.rule(job, step), plan.job(job) or {}
    on = {"job": job, "step": after(plan, job, step)}
    passes = [key for key in ("if_done", "stands_until", "enough") if key in rule]
    if (
        passes
        or step in told.get("once", ())
        or any(step in steps for steps in told.get("ways", {}).values())
    ):
        yield [*stack[:-1], on], False, False
    asks = {"job": job, "step": step, "stage": "answer" if "ask" in rule else "led"}
    then = asks if "ask" in rule or "led_by" in rule else on
    if "work" in rule:
        under = {"job": job, "step": step, "worked": True} if "enough" in rule else then
        if frame.get("worked"):
            yield [*stack[:-1], {"job": job, "step": step}], True, False
        else:
            yield [*stack[:-1], under, begin(plan, rule["work"])], False, False
        if (plan.job(rule["work"]) or {}).get("stands_until"):
            yield [*stack[:-1], then], False, False
        return
    yield [*stack[:-1], then], False, False
    back = rule.get("again", {})
    for to in {back} if isinstance(back, str) else set(back.values()):
        yield [*stack[:-1], {"job": job, "step": to}], True, False
    yield stop(plan, state, stack), True, True  # a visit stops once: a second stop moves nothing


def _outcomes(plan: Plan, state: State, stack: Stack) -> _Ways:
    """Yield where every outcome of the step's calculator leads; its own stops bound it."""
    frame = stack[-1]
    rule = plan.rule(frame["job"], frame["step"])
    for outcome in OUTCOMES[rule.get("ask") or rule["led_by"]]:
        yield follow(plan, state, stack, target_of(rule, outcome))[0], True, False
        target = target_of(rule, outcome)
        if isinstance(target, Mapping) and "again" in target:
            for step in dict(plan.rule(frame["job"], target["again"]).get("again", {})).values():
                yield [*stack[:-1], {"job": frame["job"], "step": step}], True, False


def _replies(plan: Plan, state: State, stack: Stack) -> _Ways:
    frame = stack[-1]
    job = plan.job(frame["job"]) or {}
    row = plan.question(job.get("path"), frame["question"])
    if "work" in row and not frame.get("worked"):
        yield [*stack[:-1], {**frame, "worked": True}, begin(plan, row["work"])], False, False
        return
    for number, answer in enumerate(row["answers"], start=1):
        if "go" in answer:
            yield [*stack[:-1], {"job": frame["job"], "question": answer["go"]}], False, False
            continue
        target: Any = job["ends"][f"{row['id']}/{number}"]
        if isinstance(target, Mapping) and "work" in target:
            first = plan.question(job["path"], None)["id"]
            again = {"job": frame["job"], "question": first}
            yield [*stack[:-1], again, begin(plan, target["work"])], True, False
            yield stop(plan, state, stack), True, False
            continue
        yield follow(plan, state, stack, target)[0], _asks_a_path(plan, target), False


def _asks_a_path(plan: Plan, target: Any) -> bool:
    """True where a path leads to another: no path is asked more than twice in a visit."""
    return isinstance(target, Mapping) and bool((plan.job(target.get("go")) or {}).get("path"))

"""The days on which one task is due in a plan, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calculators.shared.half_turns import sentence
from calculators.shared.recurrence import date_after, first_open_day, last_open_day

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A task that recurs: after a time on the calendar, after a number of cycles, or both."""

    name: str
    every: int | None
    unit: str | None
    every_cycles: int | None
    days_of_cycles: int | None
    """The whole days that those cycles last."""
    last_done: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The days of a plan, and which of them are closed."""

    start: date
    until: date
    is_closed: Callable[[date], bool]
    cycles_per_day: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One job: the day it is planned for, the latest day allowed, and why."""

    task: str
    day: date
    latest: date
    why: dict[str, Any]
    kind: str
    """on-time, earlier, no-open-day, overdue or never-done."""

    @property
    def key(self) -> str:
        """What distinguishes this job from the task's others; it does not depend on closed days."""
        return self.kind if self.kind == "never-done" else self.latest.isoformat()


def dues(task: Task, plan: Plan) -> Iterator[Due]:
    """Yield the jobs of one task, in order.

    Days are counted from when it was last done. A task that is overdue or was never done is planned for the
    first open day, and counted from there. A job on a closed day moves to the open day before it, never to
    one after it; with no open day left it stays.
    """
    anchor = task.last_done
    previous = plan.start - ONE_DAY
    late = _late(task, plan)
    if late:
        yield late
        anchor = previous = late.day
    if anchor is None:
        raise ValueError("a task that was never done is late")
    for latest, reason in _allowed(task, anchor, plan):
        due = _on_open_day(task, latest, reason, previous + ONE_DAY, plan)
        if due.day > plan.until:
            return
        yield due
        previous = due.day


def _late(task: Task, plan: Plan) -> Due | None:
    """Return the job that should have been done before the plan starts; None if there is none."""
    latest, kind = plan.start, "never-done"
    if task.last_done is not None:
        latest, kind = next(_allowed(task, task.last_done, plan))[0], "overdue"
        if latest >= plan.start:
            return None
    day = first_open_day(plan.start, plan.until, plan.is_closed) or plan.start
    done = task.last_done.isoformat() if task.last_done else ""
    why = sentence(f"service-plan.why.{kind}", latest=latest.isoformat(), last_done=done)
    return Due(task=task.name, day=day, latest=latest, why=why, kind=kind)


def _allowed(task: Task, anchor: date, plan: Plan) -> Iterator[tuple[date, dict[str, Any]]]:
    """Yield (latest day, sentence that says why) for each job after the anchor, without end.

    Of a time and cycles, whichever comes first counts; after a job by cycles both start anew.
    """
    count, previous = 1, anchor
    while True:
        by_time = date_after(anchor, count * task.every, task.unit) if task.every and task.unit else None
        by_cycles = previous + timedelta(days=task.days_of_cycles) if task.days_of_cycles else None
        if by_cycles is not None and (by_time is None or by_cycles < by_time):
            yield by_cycles, _by_cycles(task, previous, plan)
            anchor, count, previous = by_cycles, 1, by_cycles
        elif by_time is not None:
            yield by_time, _by_time(task, anchor)
            count, previous = count + 1, by_time
        else:
            raise ValueError("a task has an interval")


def _by_time(task: Task, since: date) -> dict[str, Any]:
    number = "one" if task.every == 1 else "many"
    return sentence(f"service-plan.why.{task.unit}-{number}", every=task.every, since=since.isoformat())


def _by_cycles(task: Task, since: date, plan: Plan) -> dict[str, Any]:
    return sentence(
        "service-plan.why.cycles",
        cycles=task.every_cycles,
        per_day=plan.cycles_per_day,
        since=since.isoformat(),
    )


def _on_open_day(task: Task, latest: date, why: dict[str, Any], earliest: date, plan: Plan) -> Due:
    day = last_open_day(latest, earliest, plan.is_closed)
    if day == latest:
        return Due(task=task.name, day=day, latest=latest, why=why, kind="on-time")
    kind = "no-open-day" if day is None else "earlier"
    moved = sentence(f"service-plan.why.{kind}", latest=latest.isoformat())
    return Due(task=task.name, day=day or latest, latest=latest, why=moved, kind=kind)

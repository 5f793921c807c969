"""Which upkeep falls due on which day, and how does it get into a calendar?

Each task is due some time after it was last done, or after a number of cycles, whichever comes first:

    by time      last done + k n weeks, months or years, k = 1, 2, 3 ...
    by cycles    last done + floor(cycles allowed / cycles a day) days, and so on from there

In a month that lacks the day, the job falls on the month's last day; the next months have the day again.

A task that was due before the plan starts, or that nobody knows to have been done, is planned for the first
open day, and the next ones are counted from there. A job on a closed day moves to the nearest open day before
it, never after; those that follow stay where they were. With no open day left it stays and says so.

Limits: dates are days of a calendar, without time zones. The cycles a day are a mean over all days, closed
ones too; a busy month brings the cycles sooner. A plan holds at most five years and 1500 jobs. What the
owner's manual asks for prevails.

Source: weekly and quarterly upkeep: common practice, no source. The calendar file: RFC 5545. The rules for
what is overdue and for closed days: our own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from itertools import chain, islice
from typing import Any

from calculators.service_plan.calendar_text import Event, calendar_text
from calculators.service_plan.dues import Due, Plan, Task, dues
from calculators.service_plan.fields import INPUTS, OUTPUTS, WEEKDAYS
from calculators.shared.fields import BadInput, InputProblem, rounded
from calculators.shared.half_turns import sentence

NAME = "service-plan"
__all__ = ["INPUTS", "NAME", "OUTPUTS", "calculate"]

MOST_DAYS = 1827
"""Five years."""
MOST_JOBS = 1500
_CENTURY = 36_525
"""Days. Cycles that take longer are never due in any plan, and dates end in the year 9999."""


def calculate(
    *,
    start: date,
    until: date,
    tasks: Sequence[Mapping[str, Any]],
    cycles_per_day: float | None = None,
    closed_days: Sequence[date] | None = None,
    closed_weekdays: Sequence[Mapping[str, str]] | None = None,
    place: str | None = None,
) -> dict[str, Any]:
    """Return what is due, day by day.

    Args:
        start: first day of the plan, a date.
        until: last day of the plan, a date from start to 1827 days after it.
        tasks: 1 to 50 rows of name (1 to 80 characters, each only once); every (1 to 120) with its unit,
            week, month or year; every_cycles (1 to 10000000); at least one of the two; and last_done, a date
            not after start, or None where nobody knows.
        cycles_per_day: cycles a day, a mean over all days; 0.001 to 10000; None only without every_cycles.
        closed_days: 0 to 400 dates, or None.
        closed_weekdays: 0 to 6 rows of weekday: monday, tuesday, wednesday, thursday, friday, saturday or
            sunday; or None.
        place: door or leveler, 1 to 60 characters, or None.

    Returns:
        Every name of OUTPUTS: dates as text, year-month-day. A job's date is never after its latest day, but
        for what is overdue, whose latest day lies before the plan.

    Raises:
        BadInput: the plan upside down, too long or with too many jobs; two tasks of one name; a task without
            an interval, with half of one, or done after the plan starts; cycles without cycles a day, or over
            within a day. Ranges are read_inputs's work.

    Example:
        Quarterly from 31 January: April has no 31st, July has.

        >>> quarterly = {
        ...     "name": "Quarterly service",
        ...     "every": 3,
        ...     "unit": "month",
        ...     "every_cycles": None,
        ...     "last_done": date(2026, 1, 31),
        ... }
        >>> answer = calculate(start=date(2026, 2, 1), until=date(2026, 12, 31), tasks=[quarterly])
        >>> [row["date"] for row in answer["due"]]
        ['2026-04-30', '2026-07-31', '2026-10-31']
    """
    problems = [*_plan_problems(start, until), *_task_problems(tasks, start, cycles_per_day)]
    if problems:
        raise BadInput(*problems)
    plan = Plan(
        start=start,
        until=until,
        is_closed=_closing(closed_days or (), closed_weekdays or ()),
        cycles_per_day=cycles_per_day,
    )
    every_job = chain.from_iterable(dues(_task(row, cycles_per_day), plan) for row in tasks)
    found = list(islice(every_job, MOST_JOBS + 1))
    if len(found) > MOST_JOBS:
        raise BadInput(InputProblem("until", until.isoformat(), "too-many-jobs", {"most": MOST_JOBS}))
    found.sort(key=lambda due: due.day)
    return {
        "headline": _headline(found, plan),
        "due": tuple(
            {"date": due.day.isoformat(), "task": due.task, "latest": due.latest.isoformat(), "why": due.why}
            for due in found
        ),
        "reasons": _reasons(found, tasks, plan),
        "calendar": calendar_text([_event(due, place) for due in found], made_on=start, maker=NAME),
    }


def _closing(days: Sequence[date], weekdays: Sequence[Mapping[str, str]]) -> Callable[[date], bool]:
    closed, every_week = frozenset(days), {WEEKDAYS.index(row["weekday"]) for row in weekdays}
    return lambda day: day in closed or day.weekday() in every_week


def _task(row: Mapping[str, Any], cycles_per_day: float | None) -> Task:
    return Task(
        name=row["name"],
        every=row["every"],
        unit=row["unit"],
        every_cycles=row["every_cycles"],
        days_of_cycles=_days_of_cycles(row["every_cycles"], cycles_per_day),
        last_done=row["last_done"],
    )


def _days_of_cycles(cycles: int | None, cycles_per_day: float | None) -> int | None:
    """Return the whole days that the cycles last, rounded down, so that no job is later than they allow."""
    if cycles is None or cycles_per_day is None:
        return None
    return int(min(rounded(cycles / cycles_per_day), _CENTURY))


def _event(due: Due, place: str | None) -> Event:
    summary = f"{place}: {due.task}" if place else due.task
    return Event(day=due.day, summary=summary, identity=(place or "", due.task, due.key))


def _plan_problems(start: date, until: date) -> list[InputProblem]:
    if until < start:
        return [InputProblem("until", until.isoformat(), "plan-upside-down", {"start": start.isoformat()})]
    if (until - start).days > MOST_DAYS:
        return [InputProblem("until", until.isoformat(), "plan-too-long", {"start": start.isoformat()})]
    return []


def _task_problems(
    tasks: Sequence[Mapping[str, Any]], start: date, cycles_per_day: float | None
) -> list[InputProblem]:
    problems: list[InputProblem] = []
    rows: dict[str, int] = {}
    for i, task in enumerate(tasks):
        first = rows.setdefault(task["name"], i)
        if first != i:
            problems.append(
                InputProblem(f"tasks[{i}].name", task["name"], "task-twice", {"first": first + 1})
            )
        done = task["last_done"]
        if done is not None and done > start:
            after = {"start": start.isoformat()}
            problems.append(
                InputProblem(f"tasks[{i}].last_done", done.isoformat(), "done-after-start", after)
            )
        problems += _interval_problems(f"tasks[{i}]", task, cycles_per_day)
    return problems


def _interval_problems(at: str, task: Mapping[str, Any], cycles_per_day: float | None) -> list[InputProblem]:
    cycles = task["every_cycles"]
    if (task["every"] is None) != (task["unit"] is None):
        return [
            InputProblem(f"{at}.{'every' if task['every'] is None else 'unit'}", None, "interval-half-given")
        ]
    if task["every"] is None and cycles is None:
        return [InputProblem(f"{at}.every", None, "no-interval")]
    if cycles is not None and cycles_per_day is None:
        return [InputProblem("cycles_per_day", None, "cycles-a-day-needed", {"task": task["name"]})]
    if _days_of_cycles(cycles, cycles_per_day) == 0:
        return [
            InputProblem(f"{at}.every_cycles", cycles, "cycles-within-a-day", {"per_day": cycles_per_day})
        ]
    return []


def _headline(found: Sequence[Due], plan: Plan) -> dict[str, Any]:
    overdue = sorted((due for due in found if due.kind == "overdue"), key=lambda due: due.latest)
    values: dict[str, object] = {
        "count": len(found),
        "start": plan.start.isoformat(),
        "until": plan.until.isoformat(),
        "overdue": len(overdue),
    }
    if not found:
        return sentence("service-plan.headline.nothing-due", **values)
    first = overdue[0] if overdue else found[0]
    values |= {"task": first.task, "date": first.day.isoformat(), "latest": first.latest.isoformat()}
    case = "overdue-one" if len(overdue) == 1 else "overdue-many" if overdue else "due"
    return sentence(f"service-plan.headline.{case}", **values)


def _reasons(
    found: Sequence[Due], tasks: Sequence[Mapping[str, Any]], plan: Plan
) -> tuple[dict[str, Any], ...]:
    kinds, planned = {due.kind for due in found}, {due.task for due in found}
    codes = ["overdue"] if kinds & {"overdue", "never-done"} else []
    codes += [kind for kind in ("never-done", "earlier", "no-open-day") if kind in kinds]
    codes += ["cycles"] if any(task["every_cycles"] for task in tasks) else []
    codes += ["month-ends"] if any(_meets_month_ends(task, plan) for task in tasks) else []
    codes += ["not-in-plan"] if len(planned) < len(tasks) else []
    values = {
        "until": plan.until.isoformat(),
        "later": len(tasks) - len(planned),
        "per_day": plan.cycles_per_day or 0.0,
    }
    return tuple(sentence(f"service-plan.reason.{code}", **values) for code in (*codes, "manual"))


def _meets_month_ends(task: Mapping[str, Any], plan: Plan) -> bool:
    """Return whether the task is counted by months from a day that some month lacks."""
    return task["unit"] in ("month", "year") and (task["last_done"] or plan.start).day > 28

"""The working of service-plan: for each task, from what its first job is counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.working_lines import Line, line, shown

MOST_SHOWN = 12
"""How many tasks are written out; the others are treated alike."""


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    tasks: Sequence[Mapping[str, Any]] = inputs["tasks"]
    found: list[Line] = []
    for task in tasks[:MOST_SHOWN]:
        jobs = [row for row in answer["due"] if row["task"] == task["name"]]
        found += [*_cycles(task, inputs["cycles_per_day"]), _first(task, jobs)]
    return [*found, _step("more", count=len(tasks) - MOST_SHOWN)] if len(tasks) > MOST_SHOWN else found


def _step(code: str, **values: object) -> Line:
    return line(f"service-plan.working.{code}", **values)


def _cycles(task: Mapping[str, Any], per_day: float | None) -> list[Line]:
    """Return the line that converts cycles into days."""
    if task["every_cycles"] is None or per_day is None:
        return []
    return [
        _step(
            "cycles",
            task=task["name"],
            every_cycles=task["every_cycles"],
            per_day=per_day,
            days=shown(task["every_cycles"] / per_day),
        )
    ]


def _first(task: Mapping[str, Any], jobs: Sequence[Mapping[str, Any]]) -> Line:
    if not jobs:
        return _step("none", task=task["name"])
    first = jobs[0]
    why = line(first["why"]["code"], **first["why"]["values"])
    return _step(
        "first", task=task["name"], latest=first["latest"], date=first["date"], why=why, count=len(jobs)
    )

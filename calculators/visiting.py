"""The door to a visit: the plan and the log as JSON text in, the screen and new events as JSON text out."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any

from calculators.answering import error, fault_message, leaving
from calculators.shared.fields import BadInput, InputProblem
from calculators.visit.acts.acts import take
from calculators.visit.acts.here import Now, now, provisional
from calculators.visit.log.events import read_log
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import fold
from calculators.visit.record.digest import digest
from calculators.visit.record.dues_calendar import dues_calendar
from calculators.visit.record.history import history
from calculators.visit.record.record import leave, report
from calculators.visit.screens.entered import entered
from calculators.visit.screens.screens import screen

Words = Mapping[str, str]
NAME = "visit"


def run(what: str, text: str, words: Words) -> str:
    """Return what a visit comes to. Nothing is raised.

    Args:
        what: "screen", "act", "leave", "digest", "report", "history" or "entries".
        text: one JSON object: plan (its text, or the object), events, and what `what` needs beside.
        words: sentences by code, see shared.words.read_words.

    Returns:
        JSON text in ASCII, as section by section in the developers' notes; or {"errors": [{"field", "value",
        "message"}]} and nothing else. Never NaN or infinity, never a traceback.
    """
    try:
        found = _run(what, json.loads(text), words)
    except BadInput as bad:
        fields = getattr(bad, "fields", ())
        found = {"errors": [error(problem, fields, NAME, words) for problem in bad.problems]}
    except Exception as fault:  # noqa: BLE001  for a fault in our code a person gets a report code
        found = {"errors": [{"field": "", "value": None, "message": fault_message(fault, NAME, words)}]}
    return json.dumps(found, allow_nan=False)


def _run(what: str, given: Any, words: Words) -> dict[str, Any]:
    if what not in DOORS:
        raise BadInput(InputProblem("what", what, "visit-unknown-act"))
    if not isinstance(given, dict):
        raise BadInput(InputProblem("", given, "not-an-object"))
    found = DOORS[what](given, words)
    return {key: value if key == "append" else leaving(value, words) for key, value in found.items()}


def plan_of(given: Mapping[str, Any]) -> Plan:
    """Return the plan of a request: parsed once for its text."""
    plan = given.get("plan")
    if isinstance(plan, str):
        return _parsed(plan)
    if not isinstance(plan, dict):
        raise BadInput(InputProblem("plan", None, "missing"))
    return Plan(plan)


@lru_cache(maxsize=2)
def _parsed(text: str) -> Plan:
    return Plan(json.loads(text))


def _here(given: Mapping[str, Any], words: Words) -> Now:
    return now(plan_of(given), read_log(given.get("events")), words)


def _screen(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    here = _here(given, words)
    return {"screen": screen(here.plan, here.state, words)}


def _act(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    here = _here(given, words)
    ids = given.get("ids", ())
    events = take(here, given.get("act"))
    behind = here.then(events, ids, str(given.get("now", "")))
    rows = provisional(here.log, events, ids)
    append = [
        {"kind": row["kind"], "values": row["values"], **({"id": row["id"]} if row["id"] in ids else {})}
        for row in rows
    ]
    return {"append": append, "screen": screen(behind.plan, behind.state, words)}


def _record(made: Callable[..., dict[str, Any]]) -> Callable[[Mapping[str, Any], Words], dict[str, Any]]:
    """Return the door to a record: plan, events, and the digests of the leveler's earlier visits."""

    def door(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
        log = read_log(given.get("events"))
        return made(plan_of(given), log, fold(log), _digests(given), words)

    return door


def _digest(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    state = fold(read_log(given.get("events")))
    return {"digest": digest(plan_of(given), state, _digests(given), words)}


def _history(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    return history(plan_of(given), _digests(given), words)


def _digests(given: Mapping[str, Any]) -> list[dict[str, Any]]:
    rows = given.get("digests", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) and "on" in row for row in rows):
        raise BadInput(InputProblem("digests", None, "not-a-list"))
    return rows


def _calendar(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    made_on = date.fromisoformat(given["made_on"])
    return {"calendar": dues_calendar(given["due"], made_on=made_on, words=words)}


def _entries(given: Mapping[str, Any], words: Words) -> dict[str, Any]:
    here = _here(given, words)
    return {"entries": entered(here.plan, here.log, here.state, words)}


DOORS: Mapping[str, Callable[[Mapping[str, Any], Words], dict[str, Any]]] = {
    "screen": _screen,
    "act": _act,
    "leave": _record(leave),
    "report": _record(report),
    "digest": _digest,
    "history": _history,
    "calendar": _calendar,
    "entries": _entries,
}

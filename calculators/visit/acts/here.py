"""What an act meets: the plan, the log with its state, and the place where the visit stands."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, read_inputs
from calculators.visit.log.events import VERSION
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Event, Row, State, fold
from calculators.visit.place.places import Place, settle

Words = Mapping[str, str]
Act = Mapping[str, Any]
Events = list[tuple[str, Row]]


class Refused(BadInput):
    """An act that cannot be taken. `fields` declares what its problems are about."""

    def __init__(self, fields: Sequence[Field], *problems: InputProblem) -> None:
        super().__init__(*problems)
        self.fields = fields


@dataclass(frozen=True)
class Now:
    """What an act meets: the plan, the log with its state, and the place."""

    plan: Plan
    log: Sequence[Event]
    state: State
    words: Words
    place: Place

    def then(self, events: Events, ids: Sequence[str] = (), at: str = "") -> Now:
        """Return what stands once events are appended."""
        log = [*self.log, *provisional(self.log, events, ids, at)]
        state = fold(log)
        return Now(self.plan, log, state, self.words, settle(self.plan, state, state.next))


def now(plan: Plan, log: Sequence[Event], words: Words) -> Now:
    """Return what an act meets at the end of a log."""
    state = fold(log)
    return Now(plan, log, state, words, settle(plan, state, state.next))


def provisional(log: Sequence[Event], events: Events, ids: Sequence[str] = (), at: str = "") -> list[Row]:
    """Return events as they will stand in the log; one without an id has a provisional one."""
    seq = log[-1]["seq"] if log else -1
    return [
        {
            "v": VERSION,
            "id": ids[i] if i < len(ids) else f"new:{i}",
            "seq": seq + 1 + i,
            "at": at,
            "kind": kind,
            "values": values,
        }
        for i, (kind, values) in enumerate(events)
    ]


def given_values(fields: Sequence[Field], act: Mapping[str, Any], words: Words) -> Row:
    """Return the values of an act by their declaration; what it does not have and need not is left out."""
    named = [
        dataclasses.replace(field, label=words.get(f"visit.entry.{field.name}", field.name))
        for field in fields
    ]
    raw = {field.name: act[field.name] for field in named if field.name in act}
    try:
        values = read_inputs(named, raw)
    except BadInput as bad:
        raise Refused(named, *bad.problems) from None
    return {name: value for name, value in values.items() if value is not None}


def where(here: Now) -> Row:
    """Return the job and the step that the screen shows."""
    return {"job": here.place.job, "step": here.place.step} if here.place.job else {}


def at_stage(here: Now, *stages: str) -> None:
    """Raise BadInput where the visit does not stand at one of these stages."""
    if here.place.stage not in stages:
        raise BadInput(InputProblem("do", None, "visit-not-here"))


def with_stop(row: Row, stopped: bool) -> Row:
    """Return the values of an event, marked where it led to a stop."""
    return row | ({"stop": True} if stopped else {})


def is_run(here: Now, id_: object) -> bool:
    """True where an id is that of a run of this visit."""
    return any(run["id"] == id_ for run in here.state.runs)

"""What was entered in a visit so far, oldest first, so that it can be read again and put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from calculators.shared.fields import Field
from calculators.shared.half_turns import sentence
from calculators.visit.derived.asks import ASKS, Entry
from calculators.visit.derived.entries import LIP, Wanted, told
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Event, Row, State

Words = Mapping[str, str]
BESIDE = {
    "opened": (("technician", "text"), ("asked_for", "text")),
    "run": (("fold_time_s", "number"), ("started", "choice"), ("stopped", "choice")),
    "turned": (("direction", "choice"),),
    "noted": (("text", "text"),),
    "not-so": (("note", "text"),),
    "part": (("name", "text"), ("count", "whole"), ("used", "flag")),
    "helper": (("name", "text"),),
    "lock": (("person", "text"), ("place", "text"), ("on", "flag")),
    "kept-in-use": (("name", "text"),),
    "signed": (("name", "text"),),
    "closed": (("why", "text"),),
}
"""What is shown of the kinds that no step asks for."""
CHOICES = {
    "started": ("countdown", "helper", "by-hand"),
    "stopped": ("sharp", "no-longer-moves"),
    "direction": ("tighten", "loosen"),
}


def entered(plan: Plan, log: Sequence[Event], state: State, words: Words) -> list[Row]:
    """Return what was entered, each value with the entry that corrects it."""
    corrected = {row["of"] for row in state.corrections}
    values = _values(state)
    found = [(event, values[event["id"]]) for event in log if event["id"] in values]
    return [
        {
            "of": event["id"],
            "kind": event["kind"],
            "job": now.get("job"),
            "step": now.get("step"),
            "label": want.label,
            "shown": _shown(want),
            "entry": told(plan, want, words),
            "corrected": event["id"] in corrected,
        }
        for event, now in found
        for want in _wants(event["kind"], now)
    ]


def _values(state: State) -> dict[str, Row]:
    """Return the rows of a state by the id of their event, with what corrections put right."""
    rows = (
        *state.entered,
        *state.runs,
        *state.turns,
        *state.notes,
        *state.not_so,
        *state.parts,
        *state.others,
        *(row for row in (state.opened, state.closed) if row),
    )
    return {row["id"]: row for row in rows}


def _wants(kind: str, row: Row) -> Iterator[Wanted]:
    if kind == "entered":
        for entry in ASKS[row["ask"]].entries:
            if entry.field.name in row:
                value = row[entry.field.name]
                yield Wanted(
                    entry.name, row["ask"], entry, row.get("step"), row.get("spring"), row.get("which"), value
                )
        return
    for name, of in BESIDE.get(kind, ()):
        field = Field(name=name, kind=of, choices=CHOICES.get(name, ()), label="", help="")
        if name in row:
            yield Wanted(name, kind, Entry(name, field), value=row[name])


def _shown(want: Wanted) -> Row:
    """Return a value as a sentence."""
    value, field = want.value, want.entry.field
    if want.entry.name == "lip":
        return sentence(f"visit.choice.lip.{LIP[value]}")
    if field.kind == "choice":
        return sentence(f"visit.choice.{want.entry.name}.{value}")
    if field.kind == "flag":
        return sentence("visit.value.yes" if value else "visit.value.no")
    return _measured(field, value)


def _measured(field: Field, value: Any) -> Row:
    if field.unit == "m":
        return sentence("visit.value.mm", value=round(1000 * value, 6))
    if field.unit in ("", "1"):
        return sentence("visit.value.plain", value=value)
    return sentence("visit.value.unit", value=value, unit=field.unit)

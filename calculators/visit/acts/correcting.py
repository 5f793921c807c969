"""A correction: an entry of its own that puts another right."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, read_inputs
from calculators.shared.words import say
from calculators.visit.acts.act_values import LOCK, NAME, PART, RUN, choice, text
from calculators.visit.acts.here import Events, Now, Refused, Words, given_values
from calculators.visit.derived.asks import FIELDS
from calculators.visit.log.events import DIRECTIONS
from calculators.visit.log.state import Event, Row

CORRECTABLE: Mapping[str, Sequence[Field]] = {
    "opened": (text("asked_for"), text("technician", 0, 200)),
    "run": (*RUN[:2], choice("stopped", "sharp", "no-longer-moves")),
    "turned": (choice("direction", *DIRECTIONS),),
    "noted": (text("text", 1),),
    "not-so": (text("note"),),
    "part": PART,
    "helper": NAME,
    "lock": LOCK,
    "kept-in-use": NAME,
    "signed": NAME,
    "closed": (text("why"),),
}
"""What can be put right of each kind beside what was entered in a step."""


def correct(here: Now, act: Mapping[str, Any]) -> Events:
    """Put values of an earlier entry right; what was written stays written."""
    event = next((each for each in here.log if each["id"] == act.get("of")), None)
    if event is None or event["kind"] not in ("entered", *CORRECTABLE):
        raise BadInput(InputProblem("of", act.get("of"), "visit-no-such-entry"))
    raw = act.get("values")
    if not isinstance(raw, Mapping) or not raw:
        raise BadInput(InputProblem("values", None, "missing"))
    if event["kind"] == "entered":
        values = _entries_corrected(event, raw, here.words)
    else:
        fields = {
            field.name: dataclasses.replace(field, optional=True) for field in CORRECTABLE[event["kind"]]
        }
        _refuse_unknown(raw, fields)
        values = given_values(list(fields.values()), raw, here.words)
    return [("corrected", {"of": event["id"], "values": values})]


def _entries_corrected(event: Event, raw: Mapping[str, Any], words: Words) -> Row:
    """Read corrected entries, each under the key that it had on its screen."""
    fields = {}
    for key in raw:
        entry = FIELDS.get(str(key).partition("/")[0])
        if entry is not None and entry.field.name in event["values"]:
            label = say(words, f"visit.entry.{entry.name}", {})
            fields[str(key)] = dataclasses.replace(entry.field, name=str(key), label=label)
    _refuse_unknown(raw, fields)
    try:
        found = read_inputs(list(fields.values()), raw)
    except BadInput as bad:
        raise Refused(list(fields.values()), *bad.problems) from None
    return {FIELDS[key.partition("/")[0]].field.name: value for key, value in found.items()}


def _refuse_unknown(raw: Mapping[str, Any], fields: Mapping[str, Field]) -> None:
    unknown = [key for key in raw if key not in fields]
    if unknown:
        raise BadInput(*(InputProblem(str(key), raw[key], "visit-no-such-entry") for key in unknown))

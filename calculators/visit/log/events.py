"""What a visit writes down: each kind of event with its values, declared once. The JSON Schema comes from it.

Lengths in m, times in s, temperatures in °C, efforts in N, as the names say. A name that ends in "?" may be
left out. Nothing written is ever changed; a correction is an event of its own.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from calculators.shared.fields import BadInput, InputProblem
from calculators.shared.half_turns import FARTHEST

VERSION = 1
MIGRATIONS: Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}
"""For each version but the newest, what makes an event of it one of the next."""

Schema = dict[str, Any]
SPRINGS = ("mainspring", "lip-assist")
DIRECTIONS = ("tighten", "loosen")
CLOSINGS = ("closing-cycle", "nothing-moved", "out-of-service")
LONGEST = 2000
"""Characters of a note, ten times what a thumb writes."""


def _text(most: int = 200, least: int = 0) -> Schema:
    return {"type": "string", "minLength": least, "maxLength": most}


def _number(low: float, high: float) -> Schema:
    return {"type": "number", "minimum": low, "maximum": high}


def _whole(low: int, high: int) -> Schema:
    return {"type": "integer", "minimum": low, "maximum": high}


def _choice(*choices: str) -> Schema:
    return {"type": "string", "enum": list(choices)}


def _or_null(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def _list(item: Schema, most: int = 500) -> Schema:
    return {"type": "array", "items": item, "maxItems": most}


def _object(members: Mapping[str, Schema]) -> Schema:
    return {
        "type": "object",
        "properties": {name.rstrip("?"): schema for name, schema in members.items()},
        "required": [name for name in members if not name.endswith("?")],
        "additionalProperties": False,
    }


ID = _text(120, 1)
FLAG: Schema = {"type": "boolean"}
ANYTHING: Schema = {"type": "object"}
SPRING = _choice(*SPRINGS)
WHICH = _whole(1, 12)
SENTENCE = _object({"code": ID, "values": ANYTHING, "text?": _text(LONGEST)})
FRAME = _object(
    {
        "job?": ID,
        "step?": _or_null(ID),
        "stage?": _choice("answer", "led", "asked"),
        "question?": ID,
        "after?": _or_null(ID),
    }
)
NEXT = _list(FRAME, 20)
"""The place where the visit goes on, the innermost job last."""

KINDS: Mapping[str, Mapping[str, Schema]] = {
    "opened": {
        "sequence": ID,
        "customer?": _or_null(_text()),
        "door?": _or_null(_text()),
        "address?": _text(),
        "gate?": _text(),
        "leveler?": _text(),
        "leveler_class?": _or_null(ID),
        "asked_for?": _text(LONGEST),
        "technician?": _text(),
        "spring_count?": _or_null(WHICH),
        "own?": ANYTHING,
        "before?": ANYTHING,
    },
    "done": {
        "job": ID,
        "page": ID,
        "steps": _list(_object({"id": ID, "hash": _text(64)}), 5),
        "next": NEXT,
        "order?": _list(ID),
        "worked?": _list(_object({"job": ID, "step": ID})),
    },
    "entered": {
        "job?": ID,
        "step?": _or_null(ID),
        "ask": ID,
        "spring?": SPRING,
        "which?": WHICH,
        "rise?": _choice("short", "full-gentle", "full-slams"),
        "lip_extended?": FLAG,
        "walk_down?": _choice("easy", "firm", "cannot"),
        "walk_down_effort_n?": _number(0, 5000),
        "threads?": _whole(0, 200),
        "length_m?": _number(0, 0.5),
        "tool?": _choice("rule", "caliper"),
        "temperature_c?": _number(-60, 80),
        "window_low_s?": _number(0.2, 600),
        "window_high_s?": _number(0.2, 600),
        "from?": _choice("common", "manual"),
        "spring_count?": WHICH,
        "text?": _text(LONGEST),
    },
    "run": {
        "job?": ID,
        "step?": _or_null(ID),
        "spring_setting": _whole(-FARTHEST, FARTHEST),
        "fold_time_s": _number(0.2, 600),
        "started": _choice("countdown", "helper", "by-hand"),
        "stopped": _choice("sharp", "no-longer-moves"),
        "tone?": _choice("untold"),
        "struck?": _text(LONGEST),
    },
    "struck": {"of": ID, "why": _text(LONGEST)},
    "put-back": {"of": ID, "why?": _text(LONGEST)},
    "turned": {
        "job?": ID,
        "step?": _or_null(ID),
        "spring": SPRING,
        "which": WHICH,
        "direction": _choice(*DIRECTIONS),
        "unordered?": _text(LONGEST),
        "before?": ID,
        "next?": NEXT,
        "stop?": FLAG,
    },
    "answered": {
        "calculator": ID,
        "job": ID,
        "step?": _or_null(ID),
        "outcome": ID,
        "headline": SENTENCE,
        "spring?": SPRING,
        "do_now?": _whole(-1, 1),
        "next": NEXT,
        "stop?": FLAG,
    },
    "replied": {
        "path?": ID,
        "calculator?": ID,
        "question": ID,
        "answer": {"anyOf": [_whole(0, 20), ID]},
        "note?": _text(LONGEST),
        "of?": _or_null(ID),
        "next": NEXT,
        "stop?": FLAG,
    },
    "not-so": {
        "job": ID,
        "step?": _or_null(ID),
        "stop_item": _or_null(_whole(0, 50)),
        "note": _text(LONGEST),
        "left_open?": FLAG,
        "kept?": FLAG,
        "by?": _text(10),
        "next": NEXT,
        "stop?": FLAG,
    },
    "corrected": {"of": ID, "values": ANYTHING},
    "told": {
        "orders": {"type": "object", "additionalProperties": _list(ID)},
        "hashes": {"type": "object", "additionalProperties": _text(64)},
    },
    "noted": {"job?": ID, "step?": _or_null(ID), "text": _text(LONGEST, 1)},
    "photo": {
        "job?": ID,
        "step?": _or_null(ID),
        "hash": _text(128, 1),
        "bytes": _whole(0, 10**9),
        "width": _whole(1, 100_000),
        "height": _whole(1, 100_000),
    },
    "part": {
        "job?": ID,
        "step?": _or_null(ID),
        "name": _text(200, 1),
        "count": _whole(1, 1000),
        "used": FLAG,
    },
    "helper": {"name": _text(200, 1)},
    "lock": {"person": _text(200, 1), "place": _text(200, 1), "on": FLAG},
    "kept-in-use": {"name": _text(200, 1)},
    "signed": {"name": _text(200, 1)},
    "closed": {"how": _choice(*CLOSINGS), "why": _text(LONGEST)},
    "handed-over": {"files": _list(_text())},
}


def schema() -> Schema:
    """Return the JSON Schema (2020-12) of one event of the present version."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "One event of a visit",
        "description": "Made from calculators/visit/log/events.py; a test holds it.",
        "type": "object",
        "properties": {
            "v": {"const": VERSION},
            "id": {"$ref": "#/$defs/uuid7"},
            "visit": {"$ref": "#/$defs/uuid7"},
            "leveler": ID,
            "kind": {"enum": list(KINDS)},
            "values": {"type": "object"},
            "edition": _text(64),
            "device": ID,
            "at": {"$ref": "#/$defs/moment"},
            "seq": {"type": "integer", "minimum": 0},
        },
        "required": ["v", "id", "visit", "leveler", "kind", "values", "edition", "device", "at", "seq"],
        "additionalProperties": False,
        "oneOf": [
            {"properties": {"kind": {"const": kind}, "values": {"$ref": f"#/$defs/{kind}"}}} for kind in KINDS
        ],
        "$defs": {
            "uuid7": {
                "type": "string",
                "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$",
            },
            "moment": {
                "type": "string",
                "pattern": "^\\d{4}-\\d{2}-\\d{2}T\\d{2}:\\d{2}:\\d{2}(\\.\\d{1,3})?([+-]\\d{2}:\\d{2}|Z)$",
            },
            **{kind: _object(values) for kind, values in KINDS.items()},
        },
    }


def read_log(events: object) -> list[dict[str, Any]]:
    """Return the events of a log in this version, by seq, whatever any clock said.

    Raises:
        BadInput: the log is no list of events, or holds one of a newer version or an unknown kind.
    """
    if not isinstance(events, Sequence) or isinstance(events, str):
        raise BadInput(InputProblem("events", None, "not-a-list"))
    read = [_read(event, f"events[{i}]") for i, event in enumerate(events)]
    return sorted(read, key=lambda event: int(event["seq"]))


def _read(event: object, at: str) -> dict[str, Any]:
    if not isinstance(event, dict) or not isinstance(event.get("values"), dict):
        raise BadInput(InputProblem(at, None, "visit-not-an-event"))
    version = event.get("v")
    if not isinstance(version, int) or version > VERSION or version < 1:
        raise BadInput(InputProblem(f"{at}.v", version, "visit-newer", {"version": str(version)}))
    while version < VERSION:
        event = MIGRATIONS[version](event)
        version = event["v"]
    if event.get("kind") not in KINDS:
        raise BadInput(InputProblem(f"{at}.kind", event.get("kind"), "visit-unknown-kind"))
    return event


def schema_text() -> str:
    """Return the schema as events.schema.json holds it."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")

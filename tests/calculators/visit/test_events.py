"""Events are declared once: the schema in the repository is made from them, and every event fits it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from build_tools.places import PROJECT
from calculators.visit.log.events import KINDS, MIGRATIONS, VERSION, read_log, schema_text
from tests.calculators.visit.plans import Visit, call, small_plan

SCHEMA = PROJECT / "calculators" / "visit" / "log" / "events.schema.json"


def valid() -> Draft202012Validator:
    """Return the schema of one event, as a reader of files would use it."""
    found = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(found)
    return Draft202012Validator(found)


def test_schema_is_the_declaration() -> None:
    """Make it anew with `python -m calculators.visit.log.events`, see DEVELOPERS.md."""
    assert SCHEMA.read_text(encoding="utf-8") == schema_text()


def test_events_of_a_visit_fit() -> None:
    """What the engine appends fits the schema, kind by kind."""
    visit = Visit().begin().done().done()
    visit.act("note", text="wet floor").act("part", name="jam nut", count=2, used=False)
    visit.act("photo", hash="ab" * 32, bytes=1000, width=800, height=600)
    visit.act("helper", name="Bo").act("lock", person="Bo", place="ring", on=True)
    visit.act("kept-in-use", name="Kim")
    visit.act("not-so", stop_item=0).act("close", how="out-of-service", why="crack", signed="Ana")
    visit.act("correct", of=visit.events[0]["id"], values={"technician": "Ann"})
    checker = valid()
    for event in visit.events:
        checker.validate(event)
    kinds = {event["kind"] for event in visit.events}
    assert {"opened", "done", "lock", "closed", "signed", "corrected"} <= kinds


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("run", {"fold_time_s": "18", "spring_setting": 0, "started": "countdown", "stopped": "sharp"}),
        ("run", {"fold_time_s": 18.0, "spring_setting": 0, "started": "countdown"}),
        ("turned", {"spring": "mainspring", "which": 1, "direction": "clockwise"}),
        ("entered", {"job": "x", "ask": "rise", "rise": "quick"}),
        ("closed", {"how": "done", "why": ""}),
    ],
)
def test_schema_refuses_what_no_visit_writes(kind: str, values: dict[str, Any]) -> None:
    """A wrong type, a missing value, an unknown choice: none is an event."""
    visit = Visit()
    visit.append(kind, values)
    assert not valid().is_valid(visit.events[0])


def test_every_version_has_its_migration() -> None:
    """With version 2 comes MIGRATIONS[1], and a test of its own for what it does."""
    assert sorted(MIGRATIONS) == list(range(1, VERSION))
    event = {"v": 1, "id": "a", "kind": "noted", "values": {"text": "x"}, "seq": 3}
    assert read_log([event]) == [event]
    assert all(KINDS.values())


@pytest.mark.parametrize("version", [VERSION + 1, 99, None, "1", 0])
def test_an_unknown_version_is_refused_in_words_and_nothing_is_lost(version: object) -> None:
    """The sentence says to update; the log is as it was."""
    visit = Visit().begin()
    visit.append("noted", {"text": "from tomorrow"})
    visit.events[-1]["v"] = version
    before = json.dumps(visit.events)
    found = call("act", {"plan": small_plan(), "events": visit.events, "act": {"do": "done"}})
    assert set(found) == {"errors"}
    assert found["errors"][0]["field"] == "events[1].v"
    assert "Update this book" in found["errors"][0]["message"]
    assert json.dumps(visit.events) == before


def test_an_unknown_kind_is_refused_in_words() -> None:
    """A kind of a later edition is not guessed at."""
    visit = Visit().begin()
    visit.append("dreamt", {"text": "x"})
    found = call("screen", {"plan": small_plan(), "events": visit.events})
    assert "of a kind that this edition does not know" in found["errors"][0]["message"]


def test_order_is_by_seq_whatever_the_clock_says() -> None:
    """A clock set back or forward changes nothing."""
    visit = Visit().begin().done().done().done()
    shuffled = [dict(event) for event in reversed(visit.events)]
    for event in shuffled:
        event["at"] = f"2026-11-{28 + event['seq'] % 3:02d}T08:00:00.000+01:00"
    found = call("screen", {"plan": visit.plan, "events": shuffled})["screen"]
    assert found["steps"] == visit.screen["steps"]
    assert found["at"] == visit.screen["at"]

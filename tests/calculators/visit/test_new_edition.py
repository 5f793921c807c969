"""A new edition under an open visit: it goes on by step ids, tells what changed, loses nothing."""

from __future__ import annotations

import json
from typing import Any

from tests.calculators.visit.plans import Visit, small_plan
from tests.calculators.visit.test_visit import to_the_springs

GOOD = ("full-gentle", True, "easy")


def without(plan: dict[str, Any], job: str, step: str) -> dict[str, Any]:
    """Return a plan whose page and job have lost a step."""
    page = plan["pages"][plan["jobs"][job]["page"]]
    page["steps"] = [each for each in page["steps"] if each["id"] != step]
    for each in plan["jobs"].values():
        each["steps"] = [name for name in each.get("steps", []) if name != step]
    return plan


def test_the_step_on_the_screen_is_gone() -> None:
    """The visit goes on behind the last step that was done and is still there, and says what is gone."""
    visit = Visit().begin().done()
    assert visit.screen["steps"] == ["lock-out"]
    visit.plan = without(small_plan(), "safe", "lock-out")
    visit.look()
    assert visit.screen["kind"] == "changed"
    assert visit.screen["changed"] == [
        {"what": "lost", "job": "safe", "page": "safe.html", "step": "lock-out"},
    ]
    visit.act("go-on")
    assert visit.screen["kind"] == "steps"
    assert visit.screen["steps"] == ["try-it"]


def test_a_step_is_gained_before_the_place_and_one_changed() -> None:
    """Both are told once; what was done stays done."""
    visit = Visit().begin().done().done()
    plan = small_plan()
    plan["pages"]["safe.html"]["steps"].insert(1, {"id": "look-up", "hash": "12345678"})
    plan["jobs"]["safe"]["steps"].insert(1, "look-up")
    plan["pages"]["safe.html"]["steps"][0]["hash"] = "87654321"
    visit.plan = plan
    visit.look()
    told = [(row["what"], row["step"]) for row in visit.screen["changed"]]
    assert told == [("gained", "look-up"), ("changed", "look")]
    visit.act("go-on")
    assert visit.screen["steps"] == ["try-it"]
    plan["pages"]["safe.html"]["steps"][0]["hash"] = "00000000"
    visit.look()
    assert [(row["what"], row["step"]) for row in visit.screen["changed"]] == [("changed", "look")]
    assert visit.act("go-on").screen["steps"] == ["try-it"]


def test_a_step_gained_behind_the_place_is_simply_met() -> None:
    """Nothing is told of what is still to come."""
    visit = Visit().begin()
    plan = small_plan()
    plan["pages"]["safe.html"]["steps"].append({"id": "look-up", "hash": "12345678"})
    plan["jobs"]["safe"]["steps"].append("look-up")
    visit.plan = plan
    assert visit.look().to("try-it").done().screen["steps"] == ["look-up"]


def test_the_order_of_a_half_turn_outlives_an_edition_but_never_doubles() -> None:
    """The half-turn step is gone after it was made: on to the check."""
    visit = to_the_springs(Visit().begin()).act("answer").to("turn-it").done()
    visit.plan = without(small_plan(), "mainspring", "lock-the-nut")
    visit.look().act("go-on")
    assert visit.screen["order"] is None
    assert visit.screen["steps"] == ["measure-again"]
    assert visit.screen["ledger"]["mainspring"]["net"] == 1


def test_a_job_and_a_sequence_that_are_gone() -> None:
    """A job that is gone is left; without the sequence the visit is read, and left out of service."""
    visit = Visit().begin().to("count-out")
    plan = small_plan()
    del plan["jobs"]["as-found"]
    visit.plan = plan
    visit.look()
    if visit.screen["kind"] == "changed":
        visit.act("go-on")
    assert visit.screen["job"] == "cycle", "the warm-up of the timing, next in the list"
    del plan["sequences"][0]
    visit.look()
    before = json.dumps(visit.events)
    assert visit.screen["kind"] in ("steps", "leave")
    visit.act("close", how="out-of-service", why="the book changed")
    assert json.dumps(visit.events).startswith(before[:-1])

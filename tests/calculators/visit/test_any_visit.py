"""Whatever is tapped: no fault, nothing lost, no second half turn unchecked, no close that is not earned."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calculators.visit.derived.outcomes import ALWAYS_STOP, OUTCOMES
from tests.calculators.visit.any_visit import acts
from tests.calculators.visit.plans import Visit, call
from tests.calculators.visit.test_events import valid
from tests.calculators.visit.test_visit import (
    assert_no_second_half_turn,
    to_the_lip_spring,
    to_the_springs,
)

MOST_ACTS = 25
CHECKER = valid()


def _start(name: str) -> Visit:
    """Begin at the door, at the mainspring, or at the lip-assist spring, so that each is met often."""
    leveler_class = "class-2" if name == "two springs" else "class-1"
    visit = Visit().begin("fault" if name == "fault" else "set", leveler_class=leveler_class)
    if name in ("springs", "two springs"):
        return to_the_springs(visit)
    return to_the_lip_spring(visit) if name == "lip" else visit


STARTS = {name: _start(name).events for name in ("door", "fault", "springs", "two springs", "lip")}


@settings(
    max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None
)
@given(data=st.data())
def test_whatever_is_tapped(data: st.DataObject) -> None:
    """After every act: whole, valid, replayed alike, and within the rules that bind the job."""
    visit = Visit(events=[*STARTS[data.draw(st.sampled_from(sorted(STARTS)))]]).look()
    for _ in range(data.draw(st.integers(1, MOST_ACTS))):
        act = data.draw(acts(visit.screen, visit.events))
        before = json.dumps(visit.events)
        ids = [f"01939d2c-{len(visit.events) + i:04x}-7000-8000-000000000002" for i in range(60)]
        found = call("act", {"plan": visit.plan, "events": visit.events, "act": act, "ids": ids})
        assert json.dumps(visit.events) == before
        if "errors" in found:
            assert found["errors"]
            assert all(error["message"] for error in found["errors"])
            continue
        for event in found["append"]:
            visit.append(event["kind"], event["values"])
            assert visit.events[-1]["id"] == event["id"]
            CHECKER.validate(visit.events[-1])
        assert_kept(act, found["append"])
        visit.look()
        assert without_times(visit.screen) == without_times(found["screen"])
        assert_no_second_half_turn(visit)
        assert_close_was_earned(visit.events)
        assert_stop_holds(visit)
        assert_outcomes_are_declared(found["append"])


def without_times(screen: dict[str, Any]) -> dict[str, Any]:
    """Return a screen without the times of half turns, which the phone writes a moment later."""
    pages = [
        {**page, "turns": [{**turn, "at": ""} for turn in page["turns"]]}
        for page in screen["ledger"].values()
    ]
    return {**screen, "ledger": pages}


def assert_kept(act: dict[str, Any], append: list[dict[str, Any]]) -> None:
    """Every entry of a Done that was taken stands in what is written."""
    if act["do"] != "done":
        return
    written = [value for event in append for value in event["values"].values()]
    for key, value in (act.get("entries") or {}).items():
        if not key.startswith("lock"):
            kept = value.strip() if isinstance(value, str) else value
            assert any(kept == each for each in written), (key, value)


def assert_close_was_earned(events: list[dict[str, Any]]) -> None:
    """Hold a close against the bare log: good cycle and tried nuts after the last turn, no lock, no stop."""
    if events[-1]["kind"] != "closed" or events[-1]["values"]["how"] != "closing-cycle":
        return
    corrected: dict[str, dict[str, Any]] = {event["id"]: dict(event["values"]) for event in events}
    for event in events:
        if event["kind"] == "corrected":
            corrected[event["values"]["of"]] |= event["values"]["values"]
    turned = max((event["seq"] for event in events if event["kind"] == "turned"), default=-1)
    since = [(event["kind"], corrected[event["id"]]) for event in events if event["seq"] > turned]
    for ask, good in (("rise", ("full-gentle",)), ("lip", (True,)), ("walk-down", ("easy", "firm"))):
        seen = [values for kind, values in since if kind == "entered" and values["ask"] == ask]
        assert seen, ask
        assert {seen[-1].get(key) for key in ("rise", "lip_extended", "walk_down")} & set(good), ask
    steps = [step["id"] for kind, values in since if kind == "done" for step in values["steps"]]
    assert turned < 0 or "try-the-nuts" in steps
    locks = {
        (values["person"], values["place"]): values["on"]
        for event in events
        if event["kind"] == "lock" and (values := corrected[event["id"]])
    }
    assert not any(locks.values())
    assert not any(event["values"].get("stop") for event in events)


def assert_stop_holds(visit: Visit) -> None:
    """After a stop only what the stop leads to is worked."""
    if any(event["values"].get("stop") for event in visit.events):
        assert visit.screen["job"] in ("tag-out", "")


def assert_outcomes_are_declared(append: list[dict[str, Any]]) -> None:
    """Every outcome is one that `check` walks, or one of the visit's own that always stops."""
    for event in append:
        if event["kind"] == "answered":
            outcome = event["values"]["outcome"]
            assert outcome in (*OUTCOMES[event["values"]["calculator"]], *ALWAYS_STOP)
            assert outcome not in ALWAYS_STOP or event["values"]["stop"]

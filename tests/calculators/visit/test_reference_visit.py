"""The reference visit on the real book's plan, worked to its close through the one door, its taps counted."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from build_tools.measuring.visit_taps import Count, Leveler, count_visit
from tests.calculators.asking import WORDS
from tests.calculators.visit.plans import call
from tests.calculators.visit.test_events import valid

MOST_TAPS, MOST_TYPED = 160, 25
CLASS, PITCH_MM = "brackenlow-a1", 2.54


@pytest.fixture(scope="module")
def plan(site: Path) -> str:
    """The plan's text as a phone keeps it."""
    return (site / "half-turn" / "visit_plan.json").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def count(plan: str) -> Count:
    """The whole visit."""
    return count_visit(plan, WORDS, CLASS, Leveler(pitch_mm=PITCH_MM))


def test_taps_and_typing(count: Count) -> None:
    """One tap a screen and two a timed run; what is typed is threads, lengths, a temperature and a name."""
    runs = sum(event["kind"] == "run" for event in count.events)
    tools = sum("tool" in event["values"] for event in count.events) > 0
    assert count.taps == (count.screens - 1) + 2 * runs + tools
    assert count.taps <= MOST_TAPS
    assert 0 < count.typed <= MOST_TYPED


def test_what_was_done(count: Count) -> None:
    """One half turn of the mainspring, two of the lip-assist, each after its check; a closing cycle."""
    turns = [event for event in count.events if event["kind"] == "turned"]
    assert [turn["values"]["spring"] for turn in turns] == ["mainspring", "lip-assist", "lip-assist"]
    assert {turn["values"]["direction"] for turn in turns} == {"tighten"}
    first, second = turns[1]["seq"], turns[2]["seq"]
    assert any(event["kind"] == "run" and first < event["seq"] < second for event in count.events)
    after = [event["values"].get("ask") for event in count.events if event["seq"] > second]
    assert {"rise", "lip", "walk-down"} <= set(after)
    assert count.events[-1]["values"]["how"] == "closing-cycle"
    checker = valid()
    ids = {event["id"]: f"01939d2c-{event['seq']:04x}-7000-8000-000000000002" for event in count.events}
    for event in count.events:
        kept = {"visit": ids["00000000"], "leveler": "hm-03", "edition": "e", "device": "d"}
        at = "2026-11-30T14:03:07.120+01:00"
        checker.validate({**event, **kept, "id": ids[event["id"]], "at": at})


def test_every_screen_is_warned_before_a_turn_and_a_cycle(plan: str, count: Count) -> None:
    """Every answer that orders a half turn has its cautions in full, and every half turn its order."""
    for event in count.events:
        if event["kind"] == "answered" and event["values"].get("do_now"):
            before = count.events[: event["seq"]]
            screen = call("screen", {"plan": plan, "events": before})["screen"]
            assert {"id": "unsupported-leveler", "full": True} in screen["hazards"]
            assert {"id": "people-clear", "full": True} in screen["hazards"]
        if event["kind"] == "turned":
            screen = call("screen", {"plan": plan, "events": count.events[: event["seq"]]})["screen"]
            assert screen["order"]["direction"] == event["values"]["direction"]


@pytest.mark.parametrize("leveler_class", ["brackenlow-b2", "brackenlow-c3"])
def test_other_levelers_close_as_well(plan: str, leveler_class: str) -> None:
    """Two mainsprings and a lip raised by hand; three and a lip hold: each is worked to its close."""
    figures = json.loads(plan)["levelers"][leveler_class]["figures"]
    middle = (figures["window_low_s"] + figures["window_high_s"]) / 2
    folds = (middle - 2.6, middle - 1.3, middle)
    leveler = Leveler(pitch_mm=1000 * figures["thread_pitch_m"], folds_s=folds)
    count = count_visit(plan, WORDS, leveler_class, leveler)
    assert count.events[-1]["kind"] == "closed"
    turned = [event for event in count.events if event["kind"] == "turned"]
    springs = json.loads(plan)["levelers"][leveler_class]["spring_count"]
    assert [turn["values"]["which"] for turn in turned][:springs] == list(range(1, springs + 1))

"""The parts of a visit one by one: asks, outcomes, limits, what the registers and this phone give, speed."""

from __future__ import annotations

import json
import time
from typing import Any

import pytest

from calculators.answering import NAMES, module
from calculators.visit.derived.asks import ASKS, FIELDS
from calculators.visit.derived.ledger import limits, net
from calculators.visit.derived.outcomes import CYCLE, OUTCOMES, SPRING_OF, outcome_of
from calculators.visit.log.events import KINDS
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import State, fold
from tests.calculators.asking import WORDS
from tests.calculators.visit.plans import Visit, call, small_plan
from tests.calculators.visit.test_visit import (
    GOOD,
    timed,
    to_the_lip_spring,
    to_the_springs,
    whole_visit,
)

OWN_OUTCOMES = {"lip-in", "lip-back", "lip-still-in", "opposite-turns"}


def choices(calculator: str, output: str) -> set[str]:
    """Return what an output of a calculator can be, as it declares it."""
    return set(next(each.choices for each in module(calculator).OUTPUTS if each.name == output))


@pytest.mark.parametrize("calculator", ["mainspring-plan", "turn-plan"])
def test_outcomes_of_a_plan_are_its_stops_and_its_headlines(calculator: str) -> None:
    """A new stop, or a headline of another kind, has to become an outcome that sequences lead on."""
    prefix = f"{calculator}.headline."
    said = {code.removeprefix(prefix) for code in WORDS if code.startswith(prefix)}
    stops = choices(calculator, "stop")
    turns = {each for each in said if each.startswith(("tighten", "loosen"))}
    told_as_spread = {"timing-too-coarse", "drops-freely", "two-odd", "stick", "ten-runs"}
    others = said - stops - turns - {"leave-for-now"} - told_as_spread
    assert {*OUTCOMES[calculator]} - OWN_OUTCOMES == stops | {"tighten", "loosen"} | others


def test_outcomes_of_the_others_are_declared() -> None:
    """fold-time by its next action, rod-length by its verdict."""
    assert {*OUTCOMES["fold-time"]} - OWN_OUTCOMES == choices("fold-time", "next_action") - {
        "answer-question"
    }
    assert {*OUTCOMES["rod-length"]} == choices("rod-length", "verdict")
    assert set(OUTCOMES) - {CYCLE} <= set(NAMES), "whether a cycle was right is the visit's own"
    assert set(SPRING_OF) <= set(OUTCOMES)
    leave = {"stop": None, "do_now": 0, "headline": {"code": "turn-plan.headline.leave-for-now"}}
    assert outcome_of("turn-plan", leave) == "leave"
    assert outcome_of("turn-plan", {"errors": []}) == "cannot-answer"


def test_every_entry_is_an_input_or_the_records_own() -> None:
    """What is tied names an input that its calculator declares; every value has its place in the event."""
    for entry in FIELDS.values():
        assert entry.field.name in {name.rstrip("?") for name in KINDS["entered"]}
        if "." in entry.tied:
            calculator, _, path = entry.tied.partition(".")
            inputs = {field.name: field for field in module(calculator).INPUTS}
            first, _, column = path.partition(".")
            assert first in inputs, entry
            assert not column or column in {each.name for each in inputs[first].fields}, entry
    assert all(f"visit.entry.{name}" in WORDS for name in FIELDS)
    assert {"half-turn", "which-way", "nuts-tried", "runs", "limits", "lock-on", "lock-off", "photo"} == {
        name for name, ask in ASKS.items() if not ask.entries
    }


def _log(*events: tuple[str, dict[str, Any]]) -> State:
    visit = Visit()
    visit.append("opened", {"sequence": "set", "leveler_class": "class-2"})
    for kind, values in events:
        visit.append(kind, values)
    return fold(visit.events)


def _threads(ask: str, which: int, threads: int, spring: str = "mainspring") -> tuple[str, dict[str, Any]]:
    values = {"job": "mainspring", "ask": ask, "spring": spring, "which": which, "threads": threads}
    return "entered", values


def _turn(direction: str, which: int = 1, spring: str = "mainspring") -> tuple[str, dict[str, Any]]:
    return "turned", {"spring": spring, "which": which, "direction": direction}


def test_limits_are_the_least_of_all_springs() -> None:
    """Threads less two kept, two half turns each: 7 and 5 threads to tighten leave 6, 4 and 6 to loosen 4."""
    plan = Plan(small_plan())
    tighten = [_threads("threads-to-tighten", 1, 7), _threads("threads-to-tighten", 2, 5)]
    loosen = [_threads("threads-to-loosen", 1, 4), _threads("threads-to-loosen", 2, 6)]
    assert limits(plan, _log(*tighten, *loosen), "mainspring") == (-4, 6)
    assert limits(plan, _log(*tighten, loosen[0]), "mainspring") == (None, 6), "one is not counted"
    assert limits(plan, _log(_threads("threads-to-tighten", 1, 1, "lip-assist")), "lip-assist") == (None, 0)


def test_threads_counted_after_a_half_turn_count_from_there() -> None:
    """Counted at two tightened, 3 threads leave 2 more: 4 from as found."""
    plan = Plan(small_plan())
    turns = [_turn("tighten", spring="lip-assist")] * 2
    state = _log(*turns, _threads("threads-to-tighten", 1, 3, "lip-assist"))
    assert limits(plan, state, "lip-assist")[1] == 4
    assert net(state, "lip-assist") == 2


def test_a_correction_of_a_direction_moves_the_net() -> None:
    """What was written stays; the sum follows what was put right."""
    visit = Visit()
    visit.append("opened", {"sequence": "set"})
    visit.append(*_turn("tighten", spring="lip-assist"))
    visit.append("corrected", {"of": visit.events[1]["id"], "values": {"direction": "loosen"}})
    state = fold(visit.events)
    assert net(state, "lip-assist") == -1
    assert visit.events[1]["values"]["direction"] == "tighten"


def test_what_is_given_and_what_is_this_phones_own() -> None:
    """Registers first, this phone's habits over them, and history's slope; figures by their declaration."""
    rows = [{"way": "countdown", "bias_s": 0.3, "bias_uncertainty_s": 0.05, "scatter_s": 0.06}]
    rows += [{"way": "sharp", "bias_s": 0.1, "bias_uncertainty_s": 0.05, "scatter_s": 0.06}]
    own = {"turn-plan": {"timing": rows}}
    before = {"prior_slope_per_s_per_half_turn": -0.004, "prior_slope_sd_per_s_per_half_turn": 0.001}
    visit = to_the_lip_spring(Visit().begin(own=own, before=before)).done()
    asked = visit.screen["asked"]["inputs"]
    assert asked["timing"] == rows
    assert asked["prior_slope_per_s_per_half_turn"] == -0.004
    assert asked["least_response_s"] == 0.5
    assert asked["temperature_c"] == 18
    assert [reading["half_turns"] for reading in asked["readings"]] == [0, 0, 0]
    assert (asked["half_turns_min"], asked["half_turns_max"]) == (-8, 8)


def test_the_delay_of_a_tone_counts_only_where_it_was_not_told() -> None:
    """As on the sheet: the registered delay is for a browser that says nothing of its own."""
    plan = small_plan()
    delay = {"way": "output-delay", "bias_s": 0.03, "bias_uncertainty_s": 0.03, "scatter_s": 0.01}
    plan["given"]["fold-time"] = {**plan["given"]["fold-time"]}
    plan["given"]["fold-time"]["timing"] = [*plan["given"]["fold-time"]["timing"], delay]
    visit = (
        Visit(plan)
        .begin()
        .to("count-out")
        .cycle(*GOOD)
        .cycle(*GOOD)
        .cycle(*GOOD)
        .act("answer")
        .to("let-it-go")
    )
    for seconds in (18.0, 18.1, 18.05):
        visit.act("run", fold_time_s=seconds, started="countdown", stopped="sharp")
    untold = Visit(plan, [*visit.events]).look()
    untold.act("run", fold_time_s=18.02, started="countdown", stopped="sharp", tone="untold")
    ways = []
    for each in (visit, untold):
        each.done().done()
        ways.append("output-delay" in [row["way"] for row in each.screen["asked"]["inputs"]["timing"]])
    assert ways == [False, True]


def test_the_effort_is_asked_for_only_where_a_limit_is_known() -> None:
    """A tap may go without it; above the limit the walk-down counts as too hard."""
    visit = Visit().begin(leveler_class="class-2").to("pull-the-ring")
    visit.done(rise="full-gentle").done(lip=True).done()
    assert [entry["ask"] for entry in visit.screen["entries"]] == ["walk-down", "walk-down-effort"]
    visit.act("done", entries={"walk-down": "firm", "walk-down-effort": 300})
    visit.cycle(*GOOD)
    cycles = visit.screen["asked"]["inputs"] if visit.screen.get("asked") else None
    assert cycles is None or cycles["cycles"][0]["walk_down_effort_n"] == 300
    one = Visit().begin(leveler_class="class-1").to("pull-the-ring")
    one.done(rise="full-gentle").done(lip=True).done()
    assert [entry["ask"] for entry in one.screen["entries"]] == ["walk-down"]


def test_what_was_left_open_last_time_stands_on_the_first_screen() -> None:
    """Before the first step, and only there."""
    left = {"code": "visit.open.part", "values": {"name": "keeper", "count": 1}}
    visit = Visit().begin(before={"left_open": [left]})
    assert [each["text"] for each in visit.screen["shown"]] == ["Part needed: 1 × keeper"]
    assert visit.done().screen["shown"] == []


def test_entries_are_told_with_what_corrects_them() -> None:
    """Oldest first, in words, with the key that the correction takes."""
    visit = to_the_springs(Visit().begin())
    rows = call("entries", {"plan": visit.plan, "events": visit.events})["entries"]
    said = {(row["label"]["text"], row["shown"]["text"]) for row in rows}
    assert ("The rise", "Full and gentle") in said
    assert ("The lip at the top", "Not fully out") in said
    assert ("Rod as found, mainspring 1", "41 mm") in said
    rod = next(row for row in rows if row["label"]["text"].startswith("Rod"))
    visit.act("correct", of=rod["of"], values={rod["entry"]["ask"]: 0.043})
    again = call("entries", {"plan": visit.plan, "events": visit.events})["entries"]
    changed = next(row for row in again if row["of"] == rod["of"])
    assert (changed["shown"]["text"], changed["corrected"]) == ("43 mm", True)


def test_rods_as_left_are_given_where_they_were_measured_since_the_last_half_turn() -> None:
    """Nothing is typed twice."""
    visit = whole_visit()
    done = next(i for i, event in enumerate(visit.events) if _is_done(event, "try-the-nuts"))
    entered = [event for event in visit.events[:done] if event["values"].get("ask") == "rod-now"]
    own = [event["values"] for event in entered if event["values"]["step"] == "try-the-nuts"]
    assert {(row["spring"], round(row["length_m"], 9)) for row in own} == {
        ("mainspring", 0.0425),
        ("lip-assist", 0.044),
    }


def _is_done(event: dict[str, Any], step: str) -> bool:
    steps = event["values"].get("steps", ()) if event["kind"] == "done" else ()
    return any(each["id"] == step for each in steps)


def test_an_act_on_a_long_visit_is_quick() -> None:
    """One act with 300 events takes less than 15 ms of processor time."""
    visit = whole_visit()
    while len(visit.events) < 300:
        visit.append("noted", {"text": f"note {len(visit.events)}"})
    request = {"plan": json.dumps(visit.plan), "events": visit.events, "act": {"do": "note", "text": "x"}}
    times = []
    for _ in range(7):
        begun = time.process_time()
        call("act", request)
        times.append(time.process_time() - begun)
    assert min(times) < 0.015


def test_locks_hang_until_they_are_taken_off() -> None:
    """Whose, where; a helper's too; closing names the one that hangs."""
    visit = Visit().begin().act("helper", name="Bo").done()
    assert [entry["ask"] for entry in visit.screen["entries"]] == ["lock-on/Ana/power", "lock-on/Bo/power"]
    visit.act("done", entries={"lock-on/Bo/power": False})
    locks = [event["values"] for event in visit.events if event["kind"] == "lock"]
    assert locks == [{"person": "Ana", "place": "power", "on": True}]
    told = visit.errors("close", how="closing-cycle")[0]["message"]
    assert "A lock still hangs: Ana, power." in told


def test_a_cold_damper_is_left_for_now() -> None:
    """The temperature that was entered goes to the calculator."""
    visit = (
        Visit().begin().to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    )
    timed(visit, 21.0, 21.1, 21.05).done(temperature=-3)
    assert visit.screen["answer"]["headline"]["code"] == "fold-time.headline.cold-not-turned"
    assert visit.screen["outcome"] == "leave"


def _ways_plan(*ways: str) -> dict[str, Any]:
    plan = small_plan()
    plan["ways"] = {"lip-by-hand": "lip", "lip-by-hold": "lip", "damped": "damper", "undamped": "damper"}
    plan["common_for"] = "damped"
    plan["levelers"]["class-3"] = {"name": "Another", "spring_count": 1, "ways": list(ways), "figures": {}}
    return plan


@pytest.mark.parametrize(
    ("ways", "offered"), [((), True), (("damped",), True), (("undamped",), False), (("lip-by-hold",), True)]
)
def test_the_common_window_is_offered_only_where_it_can_hold(ways: tuple[str, ...], offered: bool) -> None:
    """It is that of a lip with a damper: not for a leveler that is known to have none."""
    visit = Visit(_ways_plan(*ways)).begin(leveler_class="class-3")
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    while visit.screen["kind"] == "runs":
        timed(visit, *[18.0] * visit.screen["least"])
        visit.to("let-it-go") if visit.screen["steps"] == ["raise-it"] else visit.done()
    assert ("window" in [entry["ask"] for entry in visit.screen["entries"]]) is offered


@pytest.mark.parametrize(("ways", "lifted"), [((), True), (("undamped",), True), (("lip-by-hold",), False)])
def test_a_way_is_passed_over_only_where_another_is_known(ways: tuple[str, ...], lifted: bool) -> None:
    """A leveler whose damper is known and whose lip is not may have its lip raised by hand."""
    visit = Visit(_ways_plan(*ways)).begin(leveler_class="class-3")
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("raise-it").done()
    assert (visit.screen["steps"] == ["lift-it"]) is lifted


def test_rods_are_measured_in_a_job_without_a_spring_of_its_own() -> None:
    """Every spring of the leveler, and the tool."""
    plan = small_plan()
    plan["pages"]["clean.html"]["steps"][0]["asks"] = ["rod-found"]
    plan["sequences"][0]["jobs"] = ["clean"]
    visit = Visit(plan).begin(leveler_class=None)
    assert [entry["ask"] for entry in visit.screen["entries"]] == ["springs"]
    visit.act("done", entries={"springs": 2})
    keys = [entry["ask"] for entry in visit.screen["entries"]]
    assert keys == ["rod-found/mainspring/1", "rod-found/mainspring/2", "rod-found/lip-assist/1", "tool"]
    visit.act("done", entries={**dict.fromkeys(keys[:3], 0.04), "tool": "caliper"})
    assert visit.screen["ledger"]["mainspring"]["rods"][1] == {
        "found_m": 0.04,
        "now_m": 0.04,
        "tool": "caliper",
    }


def test_a_rod_measured_at_this_visit_is_not_measured_twice() -> None:
    """Where a check came first, the job at the spring has its length, as long as nothing was turned."""
    plan = small_plan()
    plan["pages"]["clean.html"]["steps"][0]["asks"] = ["rod-found"]
    plan["sequences"][0]["jobs"] = ["clean", "mainspring"]
    visit = Visit(plan).begin()
    keys = [entry["ask"] for entry in visit.screen["entries"] if entry["of"] == "rod-found"]
    lengths = {key: 0.04 for key in keys if key != "tool"}
    visit.act("done", entries={**lengths, "tool": "caliper"}).to("measure-the-rod")
    assert [(entry["ask"], entry["value"]) for entry in visit.screen["entries"]] == [("rod-found", 0.04)]


@pytest.mark.parametrize(("hand", "says"), [("right", "right-hand thread"), ("left", "left-hand thread")])
def test_which_way_tightens_is_said_by_the_levelers_own_row(hand: str, says: str) -> None:
    """Where the row has it, with where it is seen from and what to see; else nothing."""
    plan = small_plan()
    plan["pages"]["safe.html"]["steps"][0]["asks"] = ["which-way"]
    plan["levelers"]["class-1"]["nut"] = {"thread_hand": hand, "seen_from": "the nut end", "see": "It grows."}
    shown = Visit(plan).begin().screen["shown"]
    assert [each["text"] for each in shown] == [
        f"Adjusting nut, by this book's row of this leveler: {says}, seen from the nut end. It grows. "
        "The owner's manual comes first."
    ]
    assert Visit(plan).begin(leveler_class="class-2").screen["shown"] == []

"""A visit from its first screen to its close: what it shows, what it takes, what it never does."""

from __future__ import annotations

from typing import Any

import pytest

from tests.calculators.visit.plans import CYCLE, Visit, call, small_plan

GENTLE_IN = ("full-gentle", False, "easy")
GOOD = ("full-gentle", True, "easy")


def to_the_springs(visit: Visit) -> Visit:
    """Work up to the first half turn of the mainspring, the nut not turned yet."""
    visit.to("count-out").cycle(*GENTLE_IN).cycle(*GENTLE_IN).act("answer")
    visit.to("measure-the-rod")
    rods = [entry["ask"] for entry in visit.screen["entries"] if entry["of"] == "rod-found"]
    visit.act("done", entries={**{rod: 0.041 for rod in rods if rod != "tool"}, "tool": "rule"})
    for ask, threads in (("threads-to-tighten", 6), ("threads-to-loosen", 5)):
        keys = [entry["ask"] for entry in visit.screen["entries"]]
        assert all(key.startswith(ask) for key in keys)
        visit.act("done", entries={key: threads + i for i, key in enumerate(keys)})
    return visit.to("ask-the-plan").done()


def turned(visit: Visit) -> Visit:
    """Work on behind the half turns and the measured rods."""
    visit.to("measure-again")
    ledger = visit.screen["ledger"]
    spring = "lip-assist" if visit.screen["job"] == "lip" else "mainspring"
    rod = 0.041 + 0.0015 * ledger[spring]["net"]
    keys = [entry["ask"] for entry in visit.screen["entries"] if entry["of"] == "rod-now"]
    return visit.act("done", entries={key: rod for key in keys if key != "tool"})


def timed(visit: Visit, *runs: float) -> Visit:
    """Time runs on the screen of the stopwatch."""
    assert visit.screen["kind"] == "runs"
    for seconds in runs:
        visit.act("run", fold_time_s=seconds, started="countdown", stopped="sharp")
    return visit.done()


def test_first_screens() -> None:
    """Steps that belong together stand together, a lock alone with the technician's own name given."""
    visit = Visit().begin()
    assert visit.screen["kind"] == "steps"
    assert visit.screen["steps"] == ["look", "sweep"], "what is done with it stands on one screen with it"
    assert visit.screen["hazards"] == [{"id": "dock-traffic", "full": True}]
    assert visit.screen["at"] == {"job": 1, "of": 6, "left_open": 0}
    visit.done()
    assert visit.screen["steps"] == ["lock-out"]
    assert [(entry["ask"], entry["value"]) for entry in visit.screen["entries"]] == [
        ("lock-on/Ana/power", True)
    ]
    visit.done()
    assert visit.events[-2]["kind"] == "lock"
    assert visit.events[-2]["values"] == {"person": "Ana", "place": "power", "on": True}


def test_a_half_turn_from_two_cycles_to_its_check() -> None:
    """Limits and inputs come from the log; the ledger follows the nut."""
    visit = to_the_springs(Visit().begin())
    answer = visit.screen
    assert answer["kind"] == "answer"
    assert answer["outcome"] == "tighten"
    assert answer["asked"]["inputs"]["half_turns_max"] == (6 - 2) * 2
    assert answer["asked"]["inputs"]["half_turns_min"] == -(5 - 2) * 2
    assert [cycle["half_turns"] for cycle in answer["asked"]["inputs"]["cycles"]] == [0, 0]
    assert {"id": "unsupported-leveler", "full": True} in answer["hazards"]
    visit.act("answer").to("turn-it")
    assert visit.screen["order"] == {"spring": "mainspring", "direction": "tighten", "which": 1, "of": 1}
    visit.done()
    ledger = visit.screen["ledger"]["mainspring"]
    assert (ledger["net"], ledger["left"], ledger["waits_for_check"]) == (
        1,
        {"tighten": 7, "loosen": 7},
        True,
    )
    visit = turned(visit)
    assert visit.screen["shown"][0]["code"].startswith("rod-length.headline"), (
        "the rod agrees, on the next screen"
    )
    visit.cycle(*GOOD)
    assert not visit.screen["ledger"]["mainspring"]["waits_for_check"]
    visit.to("back-to-the-plan").done()
    assert visit.screen["steps"] == ["count-out"], "another cycle is asked for on its own first screen"
    assert visit.screen["shown"][0]["code"] == "mainspring-plan.headline.cycle-again"
    assert {"id": "lip-path", "full": True} in visit.screen["hazards"]


def test_every_mainspring_gets_the_half_turn_before_the_check() -> None:
    """One order for each mainspring, then the check."""
    visit = to_the_springs(Visit().begin(leveler_class="class-2"))
    assert visit.screen["asked"]["inputs"]["half_turns_max"] == (6 - 2) * 2, "the least count holds"
    visit.act("answer")
    orders = []
    while "measure-again" not in visit.screen["steps"]:
        orders += [visit.screen["order"]["which"]] if visit.screen["order"] else []
        visit.done()
    assert orders == [1, 2]
    assert visit.screen["ledger"]["mainspring"]["nets"] == [1, 1]


def test_the_rod_speaks_against_the_count() -> None:
    """Measured again once, then a stop."""
    visit = to_the_springs(Visit().begin()).act("answer").to("measure-again")
    visit.done(rod_now=0.055)
    assert visit.screen["kind"] == "answer"
    assert visit.screen["outcome"] == "measure-again"
    visit.act("answer")
    assert visit.screen["steps"] == ["measure-again"]
    visit.done(rod_now=0.055)
    assert visit.screen["outcome"] == "stop"
    visit.act("answer")
    assert visit.screen["job"] == "tag-out"


def to_the_lip_spring(visit: Visit) -> Visit:
    """Work up to the first half turn of the lip-assist spring: the mainspring set, the lip too quick."""
    to_the_springs(visit).act("answer")
    turned(visit)
    for _ in range(3):
        visit.cycle(*GOOD).to("back-to-the-plan").done()
    visit.act("answer")
    timed(visit.to("let-it-go"), 15.5, 15.6, 15.55)
    visit.done(temperature=18).act("answer").done()
    visit.to("measure-the-rod").done(rod_found=0.03)
    return visit.done(threads_to_tighten=6).done(threads_to_loosen=6)


def whole_visit() -> Visit:
    """Work the reference visit on the small plan: one half turn of the mainspring, two of the lip-assist."""
    visit = to_the_lip_spring(Visit().begin())
    for seconds in (16.8, 18.2):
        visit.to("turn-it")
        turned(visit).cycle(*GOOD)
        timed(visit.to("let-it-go"), seconds, seconds + 0.1, seconds + 0.05)
        assert visit.screen["kind"] == "answer"
    visit.act("answer")
    visit.to("try-the-nuts").done().cycle(*GOOD)
    return visit.to("show-the-lead").done(lead="Kim").done()


def test_whole_visit() -> None:
    """From opening to close; afterwards only a correction is taken."""
    visit = whole_visit()
    assert visit.screen["kind"] == "leave"
    assert visit.screen["ledger"]["lip-assist"]["net"] == 2
    assert visit.screen["ledger"]["mainspring"]["net"] == 1
    assert visit.screen["at"] == {"job": 6, "of": 6, "left_open": 0}
    visit.act("close", how="closing-cycle", signed="Ana")
    assert visit.screen["kind"] == "closed"
    assert visit.errors("done")[0]["message"].startswith("This visit is closed")
    visit.act("correct", of=visit.events[0]["id"], values={"technician": "Ann"})
    assert visit.screen["kind"] == "closed"


def test_every_prefix_of_a_log_gives_a_whole_screen_and_the_same_again() -> None:
    """A log cut after any event goes on, and replaying it all gives the last screen."""
    visit = whole_visit().act("close", how="closing-cycle")
    events, last = visit.events, visit.screen
    for length in range(1, len(events) + 1):
        visit.events = events[:length]
        visit.look()
        assert visit.screen["kind"] in ("steps", "runs", "answer", "leave", "closed")
        assert_no_second_half_turn(visit)
    assert visit.screen == last


def assert_no_second_half_turn(visit: Visit) -> None:
    """Hold the one rule above all against the bare log: what is ordered was checked since it was turned."""
    order = visit.screen["order"]
    if order is None:
        return
    struck = {
        event["values"]["of"]: event["kind"] == "struck"
        for event in visit.events
        if event["kind"] in ("struck", "put-back")
    }
    turned, checked = False, False
    for event in visit.events:
        kind, values = event["kind"], event["values"]
        if kind == "turned" and (values["spring"], values["which"]) == (order["spring"], order["which"]):
            turned, checked = True, False
        is_cycle = kind == "entered" and values["ask"] == "walk-down"
        is_run = kind == "run" and not values.get("struck") and not struck.get(event["id"])
        if is_cycle if order["spring"] == "mainspring" else is_run:
            checked = True
    assert not turned or checked, order


def test_done_again_after_a_cut_never_turns_twice() -> None:
    """A log that ends between the half turn and its step goes on behind the half turn."""
    visit = to_the_springs(Visit().begin()).act("answer").to("turn-it").done()
    cut = next(i for i, event in enumerate(visit.events) if event["kind"] == "turned")
    visit.events = visit.events[: cut + 1]
    visit.look()
    assert visit.screen["order"] is None
    assert visit.screen["steps"] == ["lock-the-nut"]


def test_an_unordered_half_turn_leads_to_its_check() -> None:
    """It is entered with its reason, and the cycle is next."""
    visit = to_the_springs(Visit().begin()).act("answer")
    visit.act("turned", spring="mainspring", direction="loosen", unordered="slipped")
    assert visit.screen["job"] == "cycle"
    assert visit.screen["ledger"]["mainspring"]["turns"][0]["unordered"] == "slipped"
    visit.cycle(*GENTLE_IN).to("back-to-the-plan").done()
    visit.cycle(*GENTLE_IN).to("back-to-the-plan").done()
    assert [row["half_turns"] for row in visit.screen["asked"]["inputs"]["cycles"]] == [0, 0, -1, -1]


def loosened(visit: Visit) -> Visit:
    """Work up to the half turn, its nut loosened."""
    return to_the_springs(visit.begin()).act("answer").to("turn-it")


def test_a_nut_turned_twice_is_locked_before_its_check() -> None:
    """Two half turns made at the screen of one: no cycle is run with a loose nut."""
    visit = loosened(Visit())
    visit.act("turned", spring="mainspring", direction="tighten", unordered="made twice")
    assert visit.screen["steps"] == ["lock-the-nut"]
    visit.done()
    assert visit.screen["steps"] == ["measure-again"]
    assert turned(visit).screen["job"] == "cycle"


def test_a_correction_that_takes_the_order_away_locks_the_loose_nut_first() -> None:
    """The lip was out after all: another cycle is wanted, and the nut was loosened already."""
    visit = loosened(Visit())
    lip = [event for event in visit.events if event["values"].get("ask") == "lip"]
    visit.act("correct", of=lip[-1]["id"], values={"lip": True})
    assert visit.screen["kind"] == "answer"
    assert visit.screen["outcome"] == "cycle-again"
    visit.act("answer")
    assert visit.screen["steps"] == ["lock-the-nut"]
    assert turned(visit).screen["job"] == "cycle"


def test_one_of_two_mainsprings_turned_is_made_even_first() -> None:
    """The other one gets the same half turn, no spring a second."""
    visit = Visit().begin(leveler_class="class-2")
    visit.act("turned", spring="mainspring", which=2, direction="tighten", unordered="forgotten")
    assert visit.screen["job"] == "safe", "the dock is made safe first"
    visit.to("turn-it")
    assert visit.screen["order"] == {"spring": "mainspring", "direction": "tighten", "which": 1, "of": 2}
    visit.done().done()
    assert visit.screen["ledger"]["mainspring"]["nets"] == [1, 1]
    assert visit.screen["steps"] == ["measure-again"]


def test_a_half_turn_told_before_the_dock_is_safe_waits_for_that() -> None:
    """The first job is worked to its end, then come the checks, then what the list has next."""
    visit = Visit().begin()
    for spring in ("lip-assist", "mainspring", "mainspring"):
        visit.act("turned", spring=spring, direction="tighten", unordered="before the phone was out")
        assert visit.screen["steps"] == ["look", "sweep"]
    assert [frame.get("job") for frame in visit.events[-1]["values"]["next"]] == [
        None,
        "lip",
        "mainspring",
        "safe",
    ]
    assert visit.to("try-it").done().screen["job"] == "cycle"


def test_a_half_turn_of_a_later_spring_loses_no_job_before_it() -> None:
    """The lip-assist spring was turned while the leveler is seen as found: its check, then on as found."""
    visit = Visit().begin().to("count-out")
    visit.act("turned", spring="lip-assist", direction="tighten", unordered="did it")
    assert [frame["job"] for frame in visit.events[-1]["values"]["next"]] == ["as-found", "lip"]


def test_the_spring_is_named_on_each_screen_of_its_half_turn() -> None:
    """Rod held, nut turned, nut locked: of two mainsprings it is always the same one."""
    visit = to_the_springs(Visit().begin(leveler_class="class-2")).act("answer")
    for which in (1, 2):
        for step in ("hold-the-rod", "turn-it", "lock-the-nut"):
            assert visit.to(step).screen["steps"] == [step]
            order = visit.screen["order"] or {}
            named = [
                said["text"] for said in visit.screen["shown"] if said["code"] == "visit.spring.mainspring"
            ]
            assert (order.get("which"), named) == ((which, []) if order else (None, [f"Mainspring {which}"]))
            visit.done()
    assert visit.screen["steps"] == ["measure-again"]
    assert not visit.screen["shown"], "all of them are measured there"


def test_two_half_turns_on_one_of_two_mainsprings_stop() -> None:
    """What cannot be made even by one half turn is not adjusted further."""
    visit = Visit().begin(leveler_class="class-2")
    visit.act("turned", spring="mainspring", which=2, direction="tighten", unordered="forgotten")
    visit.act("turned", spring="mainspring", which=2, direction="tighten", unordered="again")
    assert visit.screen["job"] == "tag-out"
    visit.done().done()
    assert visit.screen["kind"] == "leave"
    visit.act("turned", spring="lip-assist", direction="tighten", unordered="forgotten")
    assert visit.screen["kind"] == "leave", "after a stop a half turn is noted, and nothing is worked for it"
    assert "closed like this" in visit.errors("close", how="closing-cycle")[0]["message"]
    visit.act("close", how="out-of-service", why="springs uneven")


def in_the_window_but_in(visit: Visit, seconds: float) -> Visit:
    """Make the half turn that is asked for, see the lip part of the way in, time it."""
    turned(visit).cycle(*GENTLE_IN)
    return timed(visit.to("let-it-go"), seconds, seconds + 0.05, seconds + 0.02)


def test_a_lip_that_stays_in_gets_one_half_turn_and_it_is_taken_back() -> None:
    """As the page says: tighten once; if the lip stays in, loosen again, then stop and call."""
    visit = in_the_window_but_in(to_the_lip_spring(Visit().begin()), 18.0)
    assert visit.screen["outcome"] == "lip-in"
    assert {"id": "spring-energy", "full": True} in visit.screen["hazards"]
    in_the_window_but_in(visit, 18.6)
    assert visit.screen["outcome"] == "lip-back"
    visit.act("answer").to("turn-it")
    assert visit.screen["order"]["direction"] == "loosen"
    in_the_window_but_in(visit, 18.0)
    assert visit.screen["outcome"] == "lip-still-in"
    visit.act("answer")
    assert visit.screen["job"] == "tag-out"


def test_the_half_turn_for_a_lip_needs_adjustment_left() -> None:
    """At the limit it is not tried: 3 threads leave two half turns."""
    visit = to_the_lip_spring(Visit().begin())
    threads = [event for event in visit.events if event["values"].get("ask") == "threads-to-tighten"]
    visit.act("correct", of=threads[-1]["id"], values={"threads-to-tighten": 3})
    in_the_window_but_in(visit, 16.8)
    in_the_window_but_in(visit, 18.0)
    assert visit.screen["outcome"] == "no-adjustment-left"
    assert visit.screen["answer"]["headline"]["text"].startswith("Stop: no adjustment is left")


def test_the_half_turn_for_a_lip_is_measured_for_first() -> None:
    """Where nobody counted the threads, that comes before it."""
    visit = Visit().begin().act("turned", spring="lip-assist", direction="tighten", unordered="forgotten")
    visit.cycle(*GENTLE_IN)
    timed(visit.to("let-it-go"), 18.0, 18.05, 18.02).done()
    assert visit.screen["outcome"] == "measure-first"


def test_a_lip_that_comes_out_by_that_half_turn_is_left() -> None:
    """Out, and the fold still in its window: that is right."""
    visit = in_the_window_but_in(to_the_lip_spring(Visit().begin()), 18.0)
    turned(visit).cycle(*GOOD)
    timed(visit.to("let-it-go"), 18.5, 18.55, 18.52)
    assert visit.screen["outcome"] == "leave"


@pytest.mark.parametrize(
    ("seconds", "outcome"), [(21.0, "opposite-turns"), (18.1, "lip-in"), (15.5, "add-half-turn")]
)
def test_a_lip_that_stays_in_at_the_first_timing(seconds: float, outcome: str) -> None:
    """Too slow asks for opposite turns; in its window, or too quick, the spring can help it out."""
    held_back = ("full-gentle", False, "firm")
    visit = Visit().begin().to("count-out").cycle(*held_back).cycle(*held_back)
    assert visit.screen["outcome"] == "lip-side"
    visit.act("answer")
    assert visit.screen["job"] == "clean"
    timed(visit.to("let-it-go"), seconds, seconds + 0.05, seconds + 0.02).done()
    assert visit.screen["outcome"] == outcome


def test_a_lip_in_at_the_first_timing_is_tightened_for_not_loosened() -> None:
    """The first timing's answer alone turns nothing: the plan then orders the half turn that is tried."""
    held_back = ("full-gentle", False, "firm")
    visit = Visit().begin().to("count-out").cycle(*held_back).cycle(*held_back).act("answer")
    timed(visit.to("let-it-go"), 18.1, 18.15, 18.12).done().act("answer").to("measure-the-rod")
    visit.done(rod_found=0.03, tool="rule").done(threads_to_tighten=6).done(threads_to_loosen=6).to("turn-it")
    assert visit.screen["order"] == {"spring": "lip-assist", "direction": "tighten", "which": 1, "of": 1}


def test_stop_and_call() -> None:
    """A stop leads to the tag; the reason is asked for before it closes."""
    visit = Visit().begin().act("not-so", stop_item=1)
    assert visit.screen["job"] == "tag-out"
    visit.act("not-so", stop_item=None, note="the tag is missing").done().done()
    assert visit.screen["kind"] == "leave"
    assert visit.errors("close", how="out-of-service")[0]["field"] == "why"


def test_a_stop_in_the_job_that_a_stop_leads_to_is_a_stop() -> None:
    """Worked in its turn, that job is no end; stopped there, it is."""
    plan = small_plan()
    plan["sequences"][0]["jobs"] = ["tag-out", "safe"]
    plan["pages"]["tag-out.html"]["stops"] = 1
    visit = Visit(plan).begin().done()
    assert visit.screen["steps"] == ["call"]
    visit.act("not-so", stop_item=0).done().done()
    assert visit.screen["kind"] == "leave"


def test_a_note_alone_stays_at_the_step_and_is_open_until_it_is_done() -> None:
    """Nothing is skipped by a note."""
    visit = Visit().begin().act("not-so", stop_item=None, note="a truck is there")
    assert visit.screen["steps"] == ["look", "sweep"]
    assert visit.screen["at"]["left_open"] == 1
    visit.done()
    assert visit.screen["at"]["left_open"] == 0


def test_only_what_nothing_stands_on_may_be_left_open() -> None:
    """A length may wait, a step may not."""
    visit = Visit().begin()
    assert visit.errors("leave-open", note="no time")[0]["message"].startswith("This step cannot")
    visit.to("count-out").cycle(*GENTLE_IN).cycle(*GENTLE_IN).act("answer").to("measure-the-rod")
    assert "leave-open" in visit.screen["can"]
    visit.act("leave-open", note="rod is painted over")
    assert visit.screen["steps"] == ["count-to-tighten"]
    assert visit.screen["at"]["left_open"] == 1


def test_hazards_shorten_only_where_they_may() -> None:
    """NOTICE shortens once it was read; what precedes a cycle never does."""
    plan = small_plan()
    plan["hazards"]["dock-traffic"] = "NOTICE"
    plan["pages"]["safe.html"]["steps"][3]["hazards"] = ["dock-traffic", "power-comes-on"]
    visit = Visit(plan).begin()
    assert visit.screen["hazards"] == [{"id": "dock-traffic", "full": True}]
    visit.done().done()
    assert visit.screen["hazards"] == [
        {"id": "dock-traffic", "full": False},
        {"id": "power-comes-on", "full": True},
    ]
    visit.to("count-out").cycle(*GENTLE_IN)
    assert {"id": "platform-slams", "full": True} in visit.screen["hazards"], (
        "a cycle follows: always in full"
    )


def test_hazards_of_what_is_passed_over_come_with_the_next_screen() -> None:
    """They are carried on, but for those of a way that this leveler has not: that is never done here."""
    visit = Visit().begin(leveler_class="class-2")
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer")
    assert visit.screen["steps"] == ["raise-it"], "warm-up: two cycles were run"
    assert [hazard["id"] for hazard in visit.screen["hazards"]] == ["power-comes-on", "lip-path"]
    visit.done()
    assert visit.screen["steps"] == ["let-it-go", "once-more"], "no lip is lifted by hand where it has a hold"
    assert "lip-lifted-by-hand" not in [hazard["id"] for hazard in visit.screen["hazards"]]


@pytest.mark.parametrize(("leveler_class", "least"), [("class-1", 3), ("class-2", 1)])
def test_runs_until_enough(leveler_class: str, least: int) -> None:
    """All on one screen where the lip is lifted by hand, one a round where a hold keeps it out."""
    visit = Visit().begin(leveler_class=leveler_class)
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    assert visit.screen["least"] == least
    assert visit.errors("done")[0]["field"] == "runs"
    timed(visit, *[18.1] * least)
    assert visit.screen["steps"] == (["read-it"] if least == 3 else ["raise-it"])


def test_a_run_struck_out_does_not_count_and_can_be_put_back() -> None:
    """An odd run is asked about; the reply goes to the calculator."""
    visit = Visit().begin()
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    for seconds in (18.1, 18.2, 30.0):
        visit.act("run", fold_time_s=seconds, started="countdown", stopped="sharp")
    odd = visit.screen["runs"][-1]["of"]
    visit.act("strike", of=odd, why="touched")
    assert visit.screen["least"] == 1
    assert visit.screen["runs"][-1]["struck"] == "touched"
    for run in visit.screen["runs"][:2]:
        visit.act("strike", of=run["of"], why="mistimed")
    assert len(visit.screen["runs"]) == 3, "struck out, never lost"
    for run in visit.screen["runs"]:
        visit.act("put-back", of=run["of"])
    assert visit.screen["least"] == 0
    visit.done().done()
    assert visit.screen["kind"] == "question"
    assert visit.screen["question"]["code"].startswith("question.odd-run")
    visit.act("reply", answer="touched")
    assert visit.screen["kind"] == "answer"
    assert visit.screen["asked"]["inputs"]["answers"][0]["answer"] == "touched"


def test_a_run_of_a_tenth_is_no_slip_of_the_point() -> None:
    """The phone timed it, nobody typed it: what happened is asked, and no value is offered in its stead."""
    visit = Visit().begin()
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    timed(visit, 18.1, 1.8, 18.2).done()
    assert visit.screen["question"]["code"].startswith("question.odd-run")
    visit.act("reply", answer="mistimed")
    assert visit.screen["kind"] == "answer"
    assert len(visit.screen["asked"]["inputs"]["runs_s"]) == 3


def test_a_forgotten_half_turn_told_by_a_reply_moves_the_later_runs() -> None:
    """It stands before the run that it was made before."""
    visit = turned(to_the_lip_spring(Visit().begin())).cycle(*GOOD).to("let-it-go")
    timed(visit, 16.8, 16.82, 16.78, 18.2, 18.22)
    assert visit.screen["question"]["code"] == "question.turn"
    assert visit.errors("reply", answer="turned")[0]["field"] == "direction"
    visit.act("reply", answer="turned", direction="tighten")
    assert visit.screen["job"] == "cycle", "its check is the next screen"
    ledger = visit.screen["ledger"]["lip-assist"]
    assert (ledger["net"], ledger["turns"][1]["unordered"]) == (2, "forgotten")
    visit.cycle(*GOOD)
    timed(visit.to("let-it-go"), 18.21)
    readings = visit.screen["asked"]["inputs"]["readings"]
    assert [reading["half_turns"] for reading in readings] == [0, 0, 0, 1, 1, 1, 2, 2, 2]


def test_a_window_is_asked_for_where_the_leveler_has_none() -> None:
    """The common one by a labeled tap, never filled in."""
    visit = Visit().begin(leveler_class=None, spring_count=1)
    visit.to("count-out").cycle(*GOOD).cycle(*GOOD).cycle(*GOOD).act("answer").to("let-it-go")
    timed(visit, 18.9, 19.0, 19.1).done()
    assert [entry["ask"] for entry in visit.screen["entries"]] == ["window", "window-low", "window-high"]
    assert visit.errors("done", entries={"window-low": 18})[0]["field"] == "window-high"
    upside_down = visit.errors("done", entries={"window-low": 20, "window-high": 18})[0]
    assert upside_down["field"] == "window-high"
    assert "not above the shortest time allowed, 20 s" in upside_down["message"]
    visit.act("done", entries={"window": "common"})
    assert visit.screen["kind"] == "answer"
    assert visit.screen["asked"]["inputs"]["window_high_s"] == 20


def test_the_number_of_mainsprings_is_asked_for_where_nobody_knows() -> None:
    """Before the calculator is asked."""
    visit = Visit().begin(leveler_class=None)
    visit.to("count-out").cycle(*GOOD)
    assert [entry["ask"] for entry in visit.screen["entries"]] == ["springs"]
    assert "1 to 12" in visit.errors("done", entries={"springs": 40})[0]["message"]
    visit.act("done", entries={"springs": 2})
    assert visit.screen["shown"][0]["code"] == "mainspring-plan.headline.cycle-again"


def test_a_forgotten_half_turn_asks_how_many_mainsprings_there_are() -> None:
    """Else the others would count as turned alike."""
    visit = Visit().begin(leveler_class=None)
    told = {"spring": "mainspring", "direction": "tighten", "unordered": "forgotten"}
    assert visit.screen["unordered"]["spring_count"] is False
    assert visit.errors("turned", **told)[0]["field"] == "spring_count"
    visit.act("turned", **told, spring_count=3)
    assert visit.screen["ledger"]["mainspring"]["nets"] == [1, 1, 1]


def test_what_is_wrong_is_named_by_its_entry_and_nothing_is_written() -> None:
    """Every wrong entry at once, each by its label."""
    visit = Visit().begin()
    visit.to("count-out").cycle(*GENTLE_IN).cycle(*GENTLE_IN).act("answer").to("measure-the-rod")
    before = len(visit.events)
    found = visit.errors("done", entries={"rod-found": 7})
    assert [error["field"] for error in found] == ["rod-found", "tool"]
    assert found[0]["message"].startswith("Rod as found, mainspring 1: 7 is outside")
    assert len(visit.events) == before


def test_a_correction_is_an_entry_of_its_own_and_drops_the_order() -> None:
    """An order that stood on what was corrected is asked for anew."""
    visit = to_the_springs(Visit().begin()).act("answer").to("hold-the-rod")
    threads = next(e for e in visit.events if e["values"].get("ask") == "threads-to-tighten")
    visit.act("correct", of=threads["id"], values={"threads-to-tighten": 3})
    assert threads["values"]["threads"] == 6, "what was written stays written"
    visit.done()
    assert visit.screen["kind"] == "answer", "the order fell away: the calculator is asked anew"
    assert visit.screen["asked"]["inputs"]["half_turns_max"] == 2
    assert visit.screen["outcome"] == "tighten"


def test_a_count_put_right_below_the_half_turns_made_says_so() -> None:
    """Nobody is told of rows and limits that no phone shows: the nut stands past its limit, by so much."""
    visit = to_the_springs(Visit().begin()).act("answer").to("turn-it")
    threads = next(e for e in visit.events if e["values"].get("ask") == "threads-to-tighten")
    turned(visit)
    visit.act("correct", of=threads["id"], values={"threads-to-tighten": 2})
    visit.to("count-out").cycle("full-gentle", True, "easy").done()
    assert (visit.screen["kind"], visit.screen["outcome"]) == ("answer", "cannot-answer")
    headline = visit.screen["answer"]["headline"]
    assert (headline["code"], headline["values"]) == ("visit.answer.past-limit", {"count": 1})
    assert visit.screen["shown"] == [], "no count below zero is said to be left"


def test_fault_path() -> None:
    """Questions, an end that is a job, an end that is a stop."""
    visit = Visit().begin("fault")
    assert visit.screen["kind"] == "path"
    assert visit.screen["answers"] == [0, 1]
    assert visit.errors("reply", answer=2)[0]["field"] == "answer"
    visit.act("reply", answer=1).act("reply", answer=0)
    assert visit.screen["job"] == "clean"
    visit.done()
    assert visit.screen["job"] == "return"
    stopped = Visit().begin("fault").act("reply", answer=0)
    assert stopped.screen["job"] == "tag-out"
    assert {"id": "lip-path", "full": True} in stopped.screen["hazards"]


def test_closing_names_what_is_missing() -> None:
    """All of it in one message; out of service needs none of it, but a reason."""
    visit = to_the_springs(Visit().begin()).act("answer").to("turn-it").done()
    told = visit.errors("close", how="closing-cycle")[0]["message"]
    for missing in (
        "jobs of this visit",
        "was not checked",
        "No operating cycle",
        "nuts were not tried",
        "Ana, power",
    ):
        assert missing in told
    visit.act("close", how="out-of-service", why="no time left")
    assert visit.screen["kind"] == "closed"


def only_looked_at(*jobs: str) -> dict[str, Any]:
    """Return the small plan with these jobs alone, the first of them one that only looks."""
    plan = small_plan()
    plan["jobs"]["look-on"] = {"page": "safe.html", "steps": ["look", "sweep"]}
    plan["sequences"][0]["jobs"] = ["look-on", *jobs]
    return plan


def test_a_visit_that_moved_nothing_closes_without_a_cycle() -> None:
    """Who only looked has nothing that a closing cycle would prove."""
    visit = Visit(only_looked_at()).begin().done()
    assert visit.screen["kind"] == "leave"
    assert "No operating cycle" in visit.errors("close", how="closing-cycle")[0]["message"]
    visit.act("close", how="nothing-moved", signed="Ana")
    assert visit.screen["kind"] == "closed"


def test_a_visit_that_moved_the_platform_does_not_close_without_a_cycle() -> None:
    """Neither after a cycle, nor while a lock hangs, nor after a stop."""
    visit = Visit(only_looked_at("as-found")).begin().done().cycle("short", True, "easy")
    assert "was moved" in visit.errors("close", how="nothing-moved")[0]["message"]
    visit = Visit(only_looked_at()).begin().done()
    visit.act("lock", person="Ana", place="power", on=True)
    assert "Ana, power" in visit.errors("close", how="nothing-moved")[0]["message"]
    visit = Visit(only_looked_at()).begin().act("not-so", stop_item=0, note="cracked")
    assert "stopped" in visit.errors("close", how="nothing-moved")[0]["message"]


def test_acts_of_a_screen_that_is_gone_are_refused() -> None:
    """A second tap, or an act that does not exist, writes nothing."""
    visit = Visit().begin()
    for do, more in (("answer", {}), ("reply", {"answer": 0}), ("dance", {})):
        found: list[dict[str, Any]] = visit.errors(do, **more)
        assert found[0]["message"]
        assert found[0]["field"] == "do"


def right_cycle_wanted() -> dict[str, Any]:
    """Return the small plan, its last cycle one that has to be right."""
    plan = small_plan()
    plan["jobs"]["good-cycle"] = {
        "page": "cycle.html",
        "steps": [*CYCLE],
        "at": {"judge-it": {"ask": "cycle-right", "answers": {"right": "end", "not-right": "stop"}}},
    }
    plan["jobs"]["return"]["at"] = {"last-cycle": {"work": "good-cycle"}}
    plan["sequences"][0]["jobs"] = ["return"]
    return plan


def test_a_bad_cycle_never_leads_to_the_open_door() -> None:
    """A right one goes on by itself; one that is short is a stop, and the tag comes next."""
    visit = Visit(right_cycle_wanted()).begin().to("count-out").cycle(*GOOD)
    assert visit.screen["steps"] == ["show-the-lead"]
    assert visit.screen["shown"][0]["code"] == "visit.answer.cycle.right"
    visit = Visit(right_cycle_wanted()).begin().to("count-out").cycle("short", True, "easy")
    assert (visit.screen["kind"], visit.screen["outcome"]) == ("answer", "not-right")
    visit.act("answer")
    assert visit.screen["job"] == "tag-out"
    told = visit.errors("close", how="closing-cycle")[0]["message"]
    assert "stopped" in told
    assert "cycle" not in told, "nobody is sent back to cycle what was stopped"


def test_what_a_step_says_is_not_lost_where_a_job_is_worked_in_its_stead() -> None:
    """The first screen of that job names the step, whose page has the words."""
    visit = Visit(right_cycle_wanted()).begin().to("count-out")
    assert visit.screen["stands_for"] == [{"page": "return.html", "step": "last-cycle"}]
    assert visit.done().screen["stands_for"] == []


def test_a_stop_of_a_fault_path_says_why() -> None:
    """The answer's words are the reason in the record, and its place in the page is on the next screen."""
    visit = Visit().begin("fault").act("reply", answer=0, note="A spring is broken.")
    assert visit.screen["job"] == "tag-out"
    assert visit.screen["replied"]["answer"] == 0
    asked = {"plan": visit.plan, "events": visit.events}
    told = call("leave", asked)["open"][0]["what"]
    assert told["values"]["note"] == "A spring is broken."


def test_a_finding_that_can_wait_stays_open_by_its_day() -> None:
    """The check goes on; the finding is still told once its step is done, and is due on its day."""
    visit = Visit().begin()
    visit.act("not-so", stop_item=None, note="a bumper bolt is loose", keep=True, by="2026-12-14")
    assert visit.screen["steps"] == ["look", "sweep"]
    visit.done()
    assert visit.screen["at"]["left_open"] == 1
    told = call("leave", {"plan": visit.plan, "events": visit.events})
    kept = [row for row in told["open"] if row["what"]["code"] == "visit.open.found"]
    assert [(row["what"]["values"]["note"], row["by"]) for row in kept] == [
        ("a bumper bolt is loose", "2026-12-14")
    ]
    assert "2026-12-14" in [row["on"] for row in told["due"]]
    refused = visit.errors("not-so", stop_item=None, note="a bolt", keep=True, by="soon")
    assert refused[0]["field"] == "by"

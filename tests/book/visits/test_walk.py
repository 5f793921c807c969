"""Every way through a sequence: what bounds a loop, what cannot be left, and what the book's own come to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from build_tools.book.book import read_book
from build_tools.visits.jobs import reached, visits_of
from build_tools.visits.plan import visit_plan
from build_tools.visits.walk import walk
from calculators.visit.log.plan import Plan

STEPS = ["look", "time", "write"]


def small(jobs: dict[str, Any], listed: list[Any], paths: dict[str, Any] | None = None) -> Plan:
    """A plan of one sequence, "s", that stops at the job "call"."""
    every = {"call": {"page": "call.html", "steps": ["hang-the-tag"]}, **jobs}
    for job in every.values():
        job.setdefault("page", "page.html")
        job.setdefault("steps", STEPS)
    return Plan(
        {
            "jobs": every,
            "sequences": [{"id": "s", "label": "S", "jobs": listed, "stop": "call"}],
            "paths": paths or {},
        }
    )


def answers(**led: Any) -> dict[str, Any]:
    """A job that asks for the fold time after its second step."""
    return {"at": {"time": {"ask": "fold-time", "answers": led}}}


def test_a_sequence_comes_to_its_end_and_to_a_stop() -> None:
    """From every step Leave is reached; a step that is not so leads to the stop's job."""
    found = walk(small({"job": {}}, ["job"]), "s")
    assert found.steps == {("job", "look"), ("job", "time"), ("job", "write"), ("call", "hang-the-tag")}
    assert found.unbounded_loop() is None
    assert found.trapped() is None


def test_a_calculator_bounds_a_loop() -> None:
    """Time and time again ends by the calculator's own stops, so that it is no loop without end."""
    again = {"time-again": "look", "inspect": "stop", "other": "end"}
    assert walk(small({"job": answers(**again)}, ["job"]), "s").unbounded_loop() is None


def test_a_loop_that_a_person_alone_could_end_is_found() -> None:
    """Two jobs that send to each other by a path's replies are a loop; where one stops, they are none."""
    path = {"questions": [{"id": "how", "answers": [{"end": 1}, {"end": 2}]}]}
    ask = {"steps": ["look"], "path": "p"}
    for target, is_loop in (({"go": "job"}, True), ("stop", False)):
        jobs = {"job": {}, "ask": {**ask, "ends": {"how/1": target, "how/2": "end"}}}
        found = walk(small(jobs, ["job", "ask"], {"p": path}), "s")
        assert (found.unbounded_loop() is not None) is is_loop


def test_a_job_that_cannot_be_left_is_found() -> None:
    """Where every answer leads back, nobody leaves but by saying that something is not so."""
    found = walk(small({"job": answers(other="look")}, ["job"]), "s")
    assert json.loads(found.trapped() or "[{}]")[-1]["step"] in STEPS


def test_jobs_that_work_each_other_are_found() -> None:
    """The stack of jobs grows without end, and that is said."""
    jobs = {"one": {"at": {"look": {"work": "two"}}}, "two": {"at": {"look": {"work": "one"}}}}
    assert walk(small(jobs, ["one"]), "s").too_many


def test_what_depends_on_the_day_goes_both_ways() -> None:
    """A step for one way, once enough or after another job is worked and passed over, as the day has it."""
    job = {"at": {"time": {"if_done": ["other"]}}, "ways": {"by-hand": ["look"]}}
    found = walk(small({"job": job, "other": {}}, ["job"]), "s")
    led = {
        json.loads(way.to)[-1].get("step") for way in found.ways[json.dumps([{"job": "job", "step": "look"}])]
    }
    assert led >= {"time"}
    after_time = found.ways[json.dumps([{"job": "job", "step": "time"}])]
    assert {json.loads(way.to)[-1].get("step") for way in after_time} >= {"write"}


def test_a_path_is_asked_again_once_after_cleaning() -> None:
    """{work: job} works the job and asks the path again, or stops where it was worked already."""
    path = {"questions": [{"id": "how", "answers": [{"end": 1}, {"end": 2}]}]}
    jobs = {"ask": {"path": "p", "ends": {"how/1": {"work": "clean"}, "how/2": "end"}}, "clean": {}}
    found = walk(small(jobs, ["ask"], {"p": path}), "s")
    assert ("clean", "look") in found.steps
    asked = found.ways[json.dumps([{"job": "ask", "question": "how"}])]
    assert [json.loads(way.to)[-1].get("job") for way in asked] == ["clean", "call", None]
    assert found.unbounded_loop() is None


@pytest.fixture(scope="module")
def plan(project: Path) -> Plan:
    """The real book's plan."""
    book = read_book(project)[0]
    visits = visits_of(book)
    assert visits is not None
    return Plan(visit_plan(book, visits, {}))


def test_a_turn_is_always_made_from_the_support(plan: Plan) -> None:
    """No way leads to the nuts but behind the support: it is worked first, or it still stands."""
    for job, first in (("set-mainspring", "go-to-the-springs"), ("set-lip-assist", "go-to-the-spring")):
        assert plan.rule(job, first)["work"] == "put-on-support"
        again = [
            target for step in plan.order(job) for target in plan.rule(job, step).get("answers", {}).values()
        ]
        assert {"tighten", "loosen"} <= {*plan.rule(job, "count-the-threads-to-loosen")["answers"]}
        assert first in again
    assert plan.raw["jobs"]["put-on-support"]["stands_until"] == ["clear", "cycle", "as-found"]


def test_every_half_turn_leads_to_a_cycle(plan: Plan) -> None:
    """After the nut is locked the support comes out and the platform is raised, before anything is asked."""
    assert plan.rule("set-mainspring", "run-it-again")["work"] == "cycle"
    assert plan.rule("set-lip-assist", "clear-and-cycle")["work"] == "clear"
    assert plan.rule("set-lip-assist", "time-it-again")["work"] == "time-lip-again"
    asks = [ask for step in plan.order("time-lip-again") for ask in plan.asks("time-lip-again", step)]
    assert asks[:4] == ["lock-off:ring", "rise", "lip", "walk-down"]


def test_every_sequence_that_works_ends_with_the_closing_cycle(project: Path) -> None:
    """All but the weekly look and a drop end with Return to service, whose first step is the cycle."""
    visits = visits_of(read_book(project)[0])
    assert visits is not None
    last = {sequence.id: sequence.jobs[-1].job for sequence in visits.sequences.values()}
    others = {id_ for id_, job in last.items() if job != "return"}
    assert others == {"weekly-check", "drops-under-load"}
    assert visits.jobs["return"].steps[0] == "run-the-last-cycle"
    assert "good-cycle-from-rest" in reached(visits.sequences["weekly-check"], visits)

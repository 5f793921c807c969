"""service-plan: its cases from outside, and what holds for any plan."""

from __future__ import annotations

import doctest
import inspect
import json
import re
from datetime import date, timedelta
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from calculators.service_plan import calculator as service_plan
from calculators.service_plan.calendar_text import LONGEST_LINE, fold
from tests.calculators.asking import PROJECT, WORDS, answered_or_named, ask
from tests.calculators.drawn_inputs import unhurried

CASES = json.loads((PROJECT / "tests/cases/service-plan.json").read_text(encoding="utf-8"))
WEEKLY = {"name": "Weekly check", "every": 1, "unit": "week", "last_done": "2026-01-02"}
MONTHLY = {"name": "Look over", "every": 1, "unit": "month", "last_done": "2025-12-31"}


def plan(*tasks: dict[str, Any], start: str = "2026-01-03", until: str = "2026-06-30", **more: Any) -> Any:
    """The answer for a half year of tasks."""
    return ask("service-plan", {"start": start, "until": until, "tasks": list(tasks), **more})


def uids(calendar: str) -> list[str]:
    """The identifiers of a calendar's events, in order."""
    return re.findall(r"^UID:(.*)\r$", calendar, re.MULTILINE)


def test_every_sentence_is_said_by_a_case() -> None:
    """No sentence of service-plan is left over, and the cases reach every one."""
    answers = [ask("service-plan", case["input"]) for case in CASES]
    answers = [answer for answer in answers if "errors" not in answer]
    said = {
        each["code"]
        for answer in answers
        for each in (answer["headline"], *answer["reasons"], *(row["why"] for row in answer["due"]))
    }
    stems = tuple(f"service-plan.{part}." for part in ("headline", "reason", "why"))
    assert said == {code for code in WORDS if code.startswith(stems)}


def test_docstring_example() -> None:
    """The example of the docstring is what the calculator gives."""
    assert doctest.testmod(service_plan) == doctest.TestResults(failed=0, attempted=3)


def test_names_are_those_declared() -> None:
    """calculate takes exactly the declared inputs, an answer holds exactly the outputs and their columns."""
    assert list(inspect.signature(service_plan.calculate).parameters) == [
        field.name for field in service_plan.INPUTS
    ]
    answer = plan(WEEKLY)
    assert set(answer) == {output.name for output in service_plan.OUTPUTS}
    columns = next(output for output in service_plan.OUTPUTS if output.name == "due").fields
    assert list(answer["due"][0]) == [column.name for column in columns]


def test_register_intervals_make_the_plan() -> None:
    """The register's weekly check and quarterly service fall due as their names say."""
    rows = yaml.safe_load((PROJECT / "content/registers/figures.yml").read_text(encoding="utf-8"))
    figures = {row["id"]: row for row in rows}
    done = {"last_done": "2026-01-02"}
    intervals = [figures[id_] for id_ in ("weekly-check-interval", "quarterly-service-interval")]
    tasks = [
        {"name": row["label"], "every": row["value"], "unit": row["unit"].rstrip("s"), **done}
        for row in intervals
    ]
    due = [(row["date"], row["task"]) for row in plan(*tasks)["due"]]
    fridays = [(date(2026, 1, 2) + timedelta(weeks=k)).isoformat() for k in range(1, 26)]
    assert [day for day, task in due if task == "Weekly check"] == fridays
    assert [day for day, task in due if task == "Quarterly service"] == ["2026-04-02"]


def test_calendar_keeps_its_uids() -> None:
    """Exported again, with another task, another end and a closed day, each job keeps its UID."""
    before = plan(WEEKLY, MONTHLY)
    grease = {**WEEKLY, "name": "Grease"}
    after = plan(MONTHLY, grease, WEEKLY, until="2026-09-30", closed_days=["2026-01-09"])
    known = set(uids(before["calendar"]))
    assert len(known) == len(before["due"])
    assert known < set(uids(after["calendar"]))
    assert plan(WEEKLY, MONTHLY)["calendar"] == before["calendar"]


def test_an_overdue_job_keeps_its_uid_until_it_is_done() -> None:
    """Planned again a week later and still overdue or unknown, a job is the same event on another day."""
    tasks = ({**WEEKLY, "last_done": "2025-12-01"}, {**MONTHLY, "last_done": None})
    one, other = plan(*tasks), plan(*tasks, start="2026-01-10")
    assert [row["date"] for row in one["due"][:2]] == ["2026-01-03"] * 2
    assert [row["date"] for row in other["due"][:2]] == ["2026-01-10"] * 2
    assert uids(one["calendar"])[:2] == uids(other["calendar"])[:2]


def test_doors_do_not_share_events() -> None:
    """The same task on the same day at two doors is two events."""
    one, other = plan(WEEKLY, place="Door 3"), plan(WEEKLY, place="Door 4")
    assert set(uids(one["calendar"])) & set(uids(other["calendar"])) == set()


def test_the_stamp_is_the_plans_first_day() -> None:
    """DTSTAMP comes from the inputs, so that the same plan gives the same bytes whatever the clock says."""
    stamps = re.findall(r"^DTSTAMP:(.*)\r$", plan(WEEKLY)["calendar"], re.MULTILINE)
    assert set(stamps) == {"20260103T000000Z"}


@given(text=st.text(st.characters(blacklist_categories=["Cs", "Cc"]), max_size=300))
@unhurried(200)
def test_folding_keeps_the_text(text: str) -> None:
    """A folded line has 75 octets at most, is cut between characters, and unfolds to what it was."""
    parts = list(fold("SUMMARY:" + text))
    assert max(len(part.encode()) for part in parts) <= LONGEST_LINE
    assert [part[0] for part in parts[1:]] == [" "] * (len(parts) - 1)
    assert parts[0] + "".join(part[1:] for part in parts[1:]) == "SUMMARY:" + text


@pytest.mark.parametrize(("length", "parts"), [(67, 1), (68, 2), (67 + 74, 2), (67 + 75, 3)])
def test_a_line_is_folded_only_when_it_must_be(length: int, parts: int) -> None:
    """75 octets stay one line; each further line holds 74 of the text and its space."""
    assert len(list(fold("SUMMARY:" + "x" * length))) == parts


DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))
TASK = st.fixed_dictionaries(
    {"last_done": st.none() | st.integers(0, 800)},
    optional={
        "interval": st.tuples(st.integers(1, 13), st.sampled_from(["week", "month", "year"])),
        "every_cycles": st.integers(500, 100_000),
    },
).filter(lambda task: len(task) > 1)


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a plan of up to two years within the rules, often with closed days in it."""
    start = draw(DAYS)
    until = start + timedelta(days=draw(st.integers(0, 730)))
    tasks = []
    for i, drawn in enumerate(draw(st.lists(TASK, min_size=1, max_size=4))):
        done = drawn["last_done"]
        every, unit = drawn.get("interval", (None, None))
        tasks.append(
            {
                "name": f"Task {i}",
                "every": every,
                "unit": unit,
                "every_cycles": drawn.get("every_cycles"),
                "last_done": None if done is None else (start - timedelta(days=done)).isoformat(),
            }
        )
    closed = draw(st.lists(st.integers(-10, 740), max_size=30))
    weekdays = draw(st.lists(st.sampled_from(service_plan.WEEKDAYS), max_size=6))
    return {
        "start": start.isoformat(),
        "until": until.isoformat(),
        "tasks": tasks,
        "cycles_per_day": draw(st.floats(1, 100)),
        "closed_days": [(start + timedelta(days=day)).isoformat() for day in closed],
        "closed_weekdays": [{"weekday": day} for day in weekdays],
    }


@given(inputs=plans())
@unhurried(150)
def test_no_job_is_later_than_allowed(inputs: dict[str, Any]) -> None:
    """Every job is in the plan, in order, never after its latest day unless that was before the plan."""
    answer = ask("service-plan", inputs)
    dates = [row["date"] for row in answer["due"]]
    assert dates == sorted(dates)
    for row in answer["due"]:
        assert inputs["start"] <= row["date"] <= inputs["until"]
        if row["latest"] >= inputs["start"] and row["why"]["code"] != "service-plan.why.never-done":
            assert row["date"] <= row["latest"]


@given(inputs=plans())
@unhurried(150)
def test_closed_days_hold_no_job_but_what_has_no_other(inputs: dict[str, Any]) -> None:
    """A job is on a closed day only where it says that none is open, or where the plan has none."""
    closed = set(inputs["closed_days"])
    weekdays = {service_plan.WEEKDAYS.index(row["weekday"]) for row in inputs["closed_weekdays"]}
    first, last = date.fromisoformat(inputs["start"]), date.fromisoformat(inputs["until"])
    open_days = [
        day
        for day in (first + timedelta(days=i) for i in range((last - first).days + 1))
        if day.isoformat() not in closed and day.weekday() not in weekdays
    ]
    for row in ask("service-plan", inputs)["due"]:
        on_closed = row["date"] in closed or date.fromisoformat(row["date"]).weekday() in weekdays
        assert not on_closed or not open_days or row["why"]["code"] == "service-plan.why.no-open-day"


@given(inputs=plans())
@unhurried(100)
def test_each_task_has_its_day_once(inputs: dict[str, Any]) -> None:
    """No task is there twice on one day, and each job is one event with an identity of its own."""
    answer = ask("service-plan", inputs)
    jobs = [(row["date"], row["task"]) for row in answer["due"]]
    assert len(set(jobs)) == len(jobs)
    found = uids(answer["calendar"] or "")
    assert len(set(found)) == len(found) == len(jobs)


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.dates().map(str),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
ANY_TASK = st.fixed_dictionaries(
    {"name": st.text(max_size=90) | ANY_JSON, "last_done": st.none() | st.dates().map(str) | ANY_JSON},
    optional={
        "every": st.integers(0, 130) | ANY_JSON,
        "unit": st.sampled_from(["week", "month", "year", "day"]) | ANY_JSON,
        "every_cycles": st.integers(0, 10**8) | ANY_JSON,
    },
)
ANY_INPUT = st.fixed_dictionaries(
    {
        "start": DAYS.map(str) | ANY_JSON,
        "until": DAYS.map(str) | ANY_JSON,
        "tasks": st.lists(ANY_TASK, max_size=4) | ANY_JSON,
    },
    optional={
        "cycles_per_day": st.floats(0, 20_000) | ANY_JSON,
        "closed_days": st.lists(DAYS.map(str), max_size=5) | ANY_JSON,
        "place": st.text() | ANY_JSON,
    },
)


@given(inputs=ANY_INPUT)
@unhurried(200)
def test_anything_gives_an_answer_or_named_errors(inputs: dict[str, Any]) -> None:
    """Whatever is given, the calculator answers whole or names each field that is wrong."""
    found = answered_or_named(service_plan, inputs) or {"calendar": None}
    assert all(len(line.encode()) <= LONGEST_LINE for line in (found["calendar"] or "").split("\r\n"))


def test_a_plan_of_too_many_jobs_is_refused() -> None:
    """Fifty weekly tasks over five years are refused in one sentence, never given in part."""
    tasks = [{**WEEKLY, "name": f"Task {i}"} for i in range(50)]
    (error,) = plan(*tasks, until="2030-12-31")["errors"]
    assert error["message"].startswith('Plan to: up to "2030-12-31" more than 1500 jobs fall due.')


def days(answer: dict[str, Any]) -> list[tuple[str, str]]:
    """Each job's date and the last name of its reason."""
    return [(row["date"], row["why"]["code"].rsplit(".", 1)[1]) for row in answer["due"]]


def test_after_a_job_by_cycles_time_starts_anew() -> None:
    """30 days of cycles come before a month of 31 days, after one of 28; the month counts from that job."""
    both = {"name": "Grease", "every": 1, "unit": "month", "every_cycles": 300, "last_done": "2026-01-02"}
    answer = plan(both, until="2026-03-20", cycles_per_day=10)
    assert days(answer) == [("2026-02-01", "cycles"), ("2026-03-01", "month-one")]


def test_time_and_cycles_on_one_day_are_time() -> None:
    """Where both come to the same day, the calendar is given as the reason."""
    both = {"name": "Grease", "every": 1, "unit": "week", "every_cycles": 70, "last_done": "2026-01-02"}
    assert days(plan(both, until="2026-01-10", cycles_per_day=10)) == [("2026-01-09", "week-one")]


def test_what_is_late_goes_to_the_first_open_day() -> None:
    """Overdue or never done, a job takes the first day not closed, the last day of the plan included."""
    late = {"name": "Look over", "every": 1, "unit": "year", "last_done": "2024-12-31"}
    never = {"name": "Grease", "every": 1, "unit": "year", "last_done": None}
    answer = plan(late, never, until="2026-01-05", closed_days=["2026-01-03", "2026-01-04"])
    assert days(answer) == [("2026-01-05", "overdue"), ("2026-01-05", "never-done")]
    assert [row["why"]["values"] for row in answer["due"]] == [
        {"latest": "2025-12-31", "last_done": "2024-12-31"},
        {"latest": "2026-01-03", "last_done": ""},
    ]
    assert plan(late, closed_days=["2026-01-03"])["due"][0]["date"] == "2026-01-04"


def test_a_moved_job_says_when_it_fell_due() -> None:
    """A job before a closed day names the day it is due by."""
    answer = plan(WEEKLY, until="2026-01-10", closed_days=["2026-01-09"])
    assert days(answer) == [("2026-01-08", "earlier")]
    assert answer["due"][0]["why"]["values"] == {"latest": "2026-01-09"}


def test_a_plan_without_a_place_names_the_task_alone() -> None:
    """Only a plan for a door puts the door before the task."""
    calendars = [plan(WEEKLY, until="2026-01-10", **more)["calendar"] for more in ({}, {"place": "Box X; 4"})]
    summaries = [re.findall(r"^SUMMARY:(.*)\r$", text, re.MULTILINE) for text in calendars]
    assert summaries == [["Weekly check"], ["Box X\\; 4: Weekly check"]]


def test_the_longest_and_the_fullest_plan() -> None:
    """Five years to the day and 1500 jobs are still planned; one day more is not."""
    assert "errors" not in plan(MONTHLY, until="2031-01-04")
    assert [error["field"] for error in plan(MONTHLY, until="2031-01-05")["errors"]] == ["until"]
    tasks = [{**WEEKLY, "name": f"Task {i}"} for i in range(30)]
    assert len(plan(*tasks, until="2026-12-18")["due"]) == 30 * 50


@pytest.mark.parametrize(
    ("unit", "last_done", "said"),
    [
        ("month", "2025-12-28", False),
        ("month", "2025-12-29", True),
        ("year", "2024-02-29", True),
        ("week", "2025-12-31", False),
    ],
)
def test_month_ends_are_spoken_of_where_a_month_may_lack_the_day(
    unit: str, last_done: str, said: bool
) -> None:
    """From the 29th on, months and years may end before the day; the 28th and weeks never meet an end."""
    task = {"name": "Look over", "every": 1, "unit": unit, "last_done": last_done}
    codes = [reason["code"] for reason in plan(task)["reasons"]]
    assert ("service-plan.reason.month-ends" in codes) == said


def test_reasons_say_how_many_cycles_a_day() -> None:
    """The pace that was given is in the reasons, 0 where none was."""
    counted = {"name": "Grease", "every_cycles": 300, "last_done": "2026-01-02"}
    for given_pace, task in ((12.5, counted), (None, WEEKLY)):
        values = [reason["values"] for reason in plan(task, cycles_per_day=given_pace)["reasons"]]
        assert {each["per_day"] for each in values} == {given_pace or 0}

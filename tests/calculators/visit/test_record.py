"""What a visit leaves behind: its record side by side, its next days, its digest, its leveler's history."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from icalendar import Calendar

from calculators.answering import run as answer_text
from calculators.visit.record.history import prior
from calculators.visiting import run
from tests.calculators.asking import WORDS

WINDOW = {"window_low_s": 17, "window_high_s": 19}
PLAN: dict[str, Any] = {
    "v": 1,
    "sequences": [{"id": "set", "label": "Set it", "jobs": ["mainspring"], "stop": "tag-out"}],
    "jobs": {
        "mainspring": {"page": "jobs/mainspring.html", "title": "Set the mainspring", "steps": ["turn-it"]},
        "weekly": {"page": "checks/weekly-check.html", "title": "Weekly check", "steps": ["look"]},
    },
    "pages": {
        "jobs/mainspring.html": {"title": "Set the mainspring", "steps": [{"id": "turn-it"}]},
        "checks/weekly-check.html": {"title": "Weekly check", "steps": [{"id": "look"}]},
        "checks/yearly-inspection.html": {"title": "Yearly inspection", "steps": []},
    },
    "hazards": {"people-clear": "WARNING", "lip-path": "WARNING"},
    "given": {},
    "figures": {
        "hand-timing-uncertainty": 0.1,
        "timing-confidence": 0.95,
        "threads-kept": 2,
        "half-turns-per-thread": 2,
    },
    "levelers": {"two": {"name": "Two springs", "spring_count": 2, "figures": {**WINDOW}}},
    "intervals": {
        "weekly-check-interval": {"value": 1, "unit": "week"},
        "quarterly-service-interval": {"value": 3, "unit": "months"},
        "yearly-inspection-interval": {"value": 1, "unit": "year"},
        "recheck-after": {"value": 4, "unit": "weeks"},
    },
}
OPENED = {"sequence": "set", "customer": "Mill", "door": "3", "leveler_class": "two", "technician": "Ana"}
HELD = {"started": "helper", "stopped": "sharp", "spring_setting": 0}


def log(*drafts: tuple[str, dict[str, Any]], day: str = "2026-11-30") -> list[dict[str, Any]]:
    """The events of a visit, a minute apart, the first one its opening."""
    rows = [("opened", OPENED), *drafts]
    return [
        {
            "v": 1,
            "id": f"e{i}",
            "seq": i + 1,
            "at": f"{day}T09:{i:02d}:00.000+01:00",
            "kind": kind,
            "values": values,
        }
        for i, (kind, values) in enumerate(rows)
    ]


def cycle(rise: str = "full-gentle", *, out: bool = True) -> list[tuple[str, dict[str, Any]]]:
    """What is entered of one operating cycle."""
    return [
        ("entered", {"job": "mainspring", "ask": "rise", "rise": rise}),
        ("entered", {"job": "mainspring", "ask": "lip", "lip_extended": out}),
        ("entered", {"job": "mainspring", "ask": "walk-down", "walk_down": "easy"}),
    ]


def turn(which: int, direction: str = "tighten", spring: str = "mainspring") -> tuple[str, dict[str, Any]]:
    """One half turn."""
    return "turned", {"spring": spring, "which": which, "direction": direction}


def timed(*times: float) -> list[tuple[str, dict[str, Any]]]:
    """Timed runs."""
    return [("run", {**HELD, "fold_time_s": each}) for each in times]


def asked(what: str, **given: Any) -> Any:
    """What the door gives."""
    found = json.loads(run(what, json.dumps({"plan": json.dumps(PLAN), **given}), WORDS))
    assert "errors" not in found, found
    return found


def told(left: dict[str, Any]) -> dict[str, tuple[str | None, str | None]]:
    """The rows of a record as texts: label -> found, left."""
    return {
        row["label"]["text"]: tuple(row[side] and row[side]["text"] for side in ("found", "left"))  # type: ignore[misc]
        for row in left["rows"]
    }


def test_found_and_left_stand_side_by_side() -> None:
    """Found is what was seen before the first half turn, left what was seen after the last."""
    threads = [
        ("entered", {"job": "mainspring", "ask": ask, "spring": "mainspring", "which": which, "threads": 5})
        for which in (1, 2)
        for ask in ("threads-to-tighten", "threads-to-loosen")
    ]
    rods = [
        (
            "entered",
            {"job": "mainspring", "ask": "rod-found", "spring": "mainspring", "which": 1, "length_m": 0.041},
        ),
        turn(1),
        turn(2),
        (
            "entered",
            {"job": "mainspring", "ask": "rod-now", "spring": "mainspring", "which": 1, "length_m": 0.0426},
        ),
    ]
    events = log(
        *cycle("short"), *cycle("short", out=False), *timed(16.4), *threads, *rods, *cycle(), *timed(18, 18.2)
    )
    left = asked("leave", events=events)
    assert told(left) == {
        "Rise": ("Short", "Full and gentle"),
        "Lip at the top": ("Not fully out", "Fully out"),
        "Walk-down": ("Easy", "Easy"),
        "Mainspring": ("as found", "1 half turn tighter than found"),
        "Adjustment left, mainspring": (
            "6 half turns to tighten, 6 to loosen",
            "5 half turns to tighten, 7 to loosen",
        ),
        "Rod, mainspring 1": ("41.0 mm, by rule", "42.6 mm, by rule"),
        "Fold time": ("16.4 s, 1 run", "18.1 s, 2 runs"),
    }
    assert [each["text"] for each in left["did"]] == ["Half turns made at the mainsprings: 2."]


def test_what_nobody_saw_after_the_last_change_is_not_said() -> None:
    """A cycle before the half turn is no cycle as left, nor is a run; a struck run is none at all."""
    events = log(
        *cycle("short"),
        *timed(16.4),
        turn(1),
        turn(2),
        ("run", {**HELD, "fold_time_s": 18, "struck": "slip"}),
    )
    rows = told(asked("leave", events=events))
    assert rows["Rise"] == ("Short", None)
    assert rows["Fold time"] == ("16.4 s, 1 run", None)


def test_a_part_put_in_makes_the_cycle_before_it_none_as_left() -> None:
    """After a part was put in, the leveler has to be run again before anything is said of it."""
    used = ("part", {"name": "Jam nut", "count": 1, "used": True})
    left = asked("leave", events=log(*cycle(), used))
    assert told(left)["Rise"] == ("Full and gentle", None)
    assert [each["text"] for each in left["did"]] == ["Part put in: 1 × Jam nut."]


def test_a_correction_after_the_close_is_told_as_one() -> None:
    """The table has the value put right; only what came after the close is named as a correction."""
    before = ("corrected", {"of": "e1", "values": {"rise": "short"}})
    after = ("corrected", {"of": "e2", "values": {"lip_extended": False}})
    closed = ("closed", {"how": "out-of-service", "why": "lip bent"})
    left = asked("leave", events=log(*cycle(), before, ("signed", {"name": "Ana B."}), closed, after))
    assert told(left)["Rise"][0] == "Short"
    assert told(left)["Lip at the top"][0] == "Not fully out"
    assert [(row["at"][11:16], row["text"]["text"]) for row in left["corrections"]] == [
        ("09:07", "The lip at the top: put right after the close. The table above has it as put right.")
    ]
    assert left["closed"] == {
        "at": "2026-11-30T09:06:00.000+01:00",
        "how": "out-of-service",
        "why": "lip bent",
        "signed": "Ana B.",
    }


def test_next_days_come_from_when_each_job_was_done() -> None:
    """This visit's weekly check, an earlier visit's yearly inspection; what nobody did has no day."""
    done = {
        "job": "weekly",
        "page": "checks/weekly-check.html",
        "steps": [{"id": "look", "hash": ""}],
        "next": [],
    }
    yearly = {
        "visit": "v0",
        "on": "2026-02-28",
        "pages": ["checks/yearly-inspection.html"],
        "sequence": "set",
    }
    left = asked("leave", events=log(("done", done)), digests=[yearly])
    assert [(row["job"]["text"], row["on"]) for row in left["due"]] == [
        ("Weekly check", "2026-12-07"),
        ("Yearly inspection", "2027-02-28"),
    ]
    closed = ("closed", {"how": "out-of-service", "why": "bent"})
    assert asked("leave", events=log(("done", done), closed), digests=[yearly])["due"] == []


def digests(*visits: tuple[str, list[float], int, str]) -> list[dict[str, Any]]:
    """Digests of visits that were only timed: day, runs, half turns of the lip-assist after them, start."""
    rows = []
    for i, (day, times, turns, started) in enumerate(visits):
        runs = [("run", {**HELD, "fold_time_s": each, "started": started}) for each in times]
        turned = [turn(1, "tighten", "lip-assist") for _ in range(turns)]
        events = log(*runs, *turned, ("closed", {"how": "closing-cycle", "why": ""}), day=day)
        told = asked("digest", events=events, digests=rows)["digest"]
        rows.append({**told, "visit": f"v{i}", "opened": events[0]["at"]})
    return rows


VISITS = (
    ("2026-01-10", [18.0, 18.2], 0, "helper"),
    ("2026-03-10", [18.2, 18.4], 1, "helper"),
    ("2026-05-10", [18.3, 18.5], 0, "by-hand"),
    ("2026-07-10", [18.6, 18.8], 0, "helper"),
)


def test_a_history_asks_the_trend_and_mixes_no_ways_of_timing() -> None:
    """The trend is fold-trend's own over the visits timed as the latest was; the others are counted."""
    found = asked("history", digests=digests(*VISITS))
    raw = {
        "visits": [
            {"date": "2026-01-10", "fold_time_s": 18.1, "adjusted_half_turns": 0},
            {"date": "2026-03-10", "fold_time_s": 18.3, "adjusted_half_turns": 1},
            {"date": "2026-07-10", "fold_time_s": 18.7, "adjusted_half_turns": 0},
        ],
        **WINDOW,
        "timing_uncertainty_s": 0.1,
        "confidence": 0.95,
        "longest_interval_months": 3,
    }
    assert found["trend"] == json.loads(answer_text("fold-trend", json.dumps(raw), WORDS))
    assert [each["text"] for each in found["left_out"]] == [
        "Timed in another way than the latest, and left out of the trend: 1."
    ]
    assert [each["text"] for each in found["visits"][1]["lines"]][:2] == [
        "Set it.",
        "Fold as found 18.3 s, 2 runs.",
    ]


def test_what_was_touched_untimed_still_ends_a_series() -> None:
    """A half turn of a mainspring at a visit that timed nothing, and a fold timed after one, both count."""
    first, second, *_ = digests(*VISITS)
    events = log(
        turn(1), turn(2), *timed(19.5), ("closed", {"how": "closing-cycle", "why": ""}), day="2026-02-01"
    )
    between = {**asked("digest", events=events)["digest"], "visit": "v9", "opened": events[0]["at"]}
    found = asked("history", digests=[first, between, second])
    assert [(row["date"], row["adjusted_half_turns"]) for row in found["asked"]["inputs"]["visits"]] == [
        ("2026-01-10", 2),
        ("2026-03-10", 1),
    ]
    assert "fold_found_s" not in between


def test_the_next_visit_takes_what_the_last_left_open() -> None:
    """`before` holds what was open at the end of the latest visit, and no slope where none was seen twice."""
    needed = ("part", {"name": "Bumper", "count": 2, "used": False})
    events = log(needed, ("closed", {"how": "closing-cycle", "why": ""}))
    row = {**asked("digest", events=events)["digest"], "visit": "v1", "opened": events[0]["at"]}
    found = asked("history", digests=[row])
    assert [each["text"] for each in found["open"]] == ["Part needed: 2 × Bumper"]
    assert found["before"] == {"left_open": found["open"]}


def test_what_a_closed_visit_leaves_at_the_door_is_told_to_the_next() -> None:
    """Out of service and why, the support, each lock that hangs; the dock lead took nothing back."""
    hung = [
        ("lock", {"person": who, "place": at, "on": on})
        for who, at, on in (("Ana", "ring", True), ("Ben", "support", True), ("Ben", "power", True))
    ]
    lead = ("entered", {"job": "tag-out", "ask": "lead", "text": "Kim"})
    off = ("lock", {"person": "Ben", "place": "power", "on": False})
    still_open = asked("leave", events=log(*hung, lead, off))
    assert "A lock still hangs: Ana, release ring." in [
        each["text"] for each in still_open["may_close"]["closing-cycle"]
    ]
    told = [row["what"]["text"] for row in still_open["open"]]
    assert told == ["The jobs of this visit are not done."], "its locks stand in a list of their own"
    events = log(*hung, lead, off, ("closed", {"how": "out-of-service", "why": "too dark"}))
    left = asked("leave", events=events)
    texts = [row["what"]["text"] for row in left["open"]]
    assert texts == [
        "Left out of service: too dark",
        "The platform stands on its support.",
        "A lock hangs: Ana, release ring.",
        "A lock hangs: Ben, support.",
    ]
    assert left["did"][-1]["text"] == "The dock lead was told: Kim."
    row = {**asked("digest", events=events)["digest"], "visit": "v1", "opened": events[0]["at"]}
    assert [each["text"] for each in asked("history", digests=[row])["open"]] == texts


def test_who_came_can_be_put_right_and_what_was_not_so_stays_told() -> None:
    """The name that began the visit can be corrected; a note of not so stays in the record."""
    note = {"job": "mainspring", "step": "x", "stop_item": None, "note": "a cone is missing", "next": []}
    events = log(("not-so", note))
    entries = asked("entries", events=events)["entries"]
    assert [row["entry"]["ask"] for row in entries if row["kind"] == "opened"] == ["technician"]
    put_right = ("corrected", {"of": "e0", "values": {"technician": "Bea"}})
    left = asked("leave", events=log(("not-so", note), put_right))
    assert left["head"]["technician"] == "Bea"
    assert "Not so when we came to it: a cone is missing" in [each["text"] for each in left["did"]]


def test_a_prior_needs_two_visits_and_is_as_wide_as_a_visit_to_come() -> None:
    """By hand: -0.002 and -0.004, each known to 0.0006: mean -0.003, sd sqrt(0.0006^2/2 + 0.002^2/2)."""
    first, second = ({"per_s_per_half_turn": each, "sd": 0.0006} for each in (-0.002, -0.004))
    assert prior([first]) == {}
    found = prior([first, second])
    assert found["prior_slope_per_s_per_half_turn"] == pytest.approx(-0.003)
    assert found["prior_slope_sd_per_s_per_half_turn"] == pytest.approx(0.00147648230602334)
    alike = prior([first, first])
    assert alike["prior_slope_sd_per_s_per_half_turn"] == pytest.approx(0.0006 * 1.5**0.5)
    assert prior([{"per_s_per_half_turn": 0.001, "sd": 0.0006}] * 2) == {}


def test_next_days_are_a_calendar_that_others_read() -> None:
    """icalendar reads every day with its place, its reason over two lines, and the address of its door."""
    due = [
        {
            "place": "Müller; Söhne, door 3",
            "leveler": "hm-03",
            "job": "Weekly check " + "ü" * 60,
            "on": "2026-12-07",
            "why": "Every week.\nLast done: \\ today",
            "address": "https://book.example/visit.html?door=hm-03&sequence=weekly-check",
        },
        {
            "place": "Mill",
            "leveler": "hm-04",
            "job": "Time the lip",
            "on": "2027-02-28",
            "why": "",
            "address": "",
        },
    ]
    text = asked("calendar", due=due, made_on="2026-11-30")["calendar"]
    octets = text.encode()
    assert max(len(line) for line in octets.split(b"\r\n")) <= 75
    assert b"\n" not in octets.replace(b"\r\n", b"")
    calendar = Calendar.from_ical(octets)
    first, second = calendar.walk("VEVENT")
    assert [event.errors for event in (calendar, first, second)] == [[], [], []]
    assert str(first["SUMMARY"]) == "Müller; Söhne, door 3: Weekly check " + "ü" * 60
    assert str(first["DESCRIPTION"]) == "Every week.\nLast done: \\ today"
    assert str(first["URL"]) == due[0]["address"]
    assert (first["DTSTART"].dt, second["DTSTART"].dt) == (date(2026, 12, 7), date(2027, 2, 28))
    assert "URL" not in second and "DESCRIPTION" not in second
    assert first["UID"] != second["UID"]
    assert asked("calendar", due=due, made_on="2026-11-30")["calendar"] == text
    assert asked("calendar", due=[], made_on="2026-11-30") == {"calendar": None}

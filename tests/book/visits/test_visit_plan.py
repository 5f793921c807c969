"""The plan of the visits: it says of every page what the page says, and no sentence of it."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.book.book import Book, read_book
from build_tools.registers.fault_paths import GO
from build_tools.visits.jobs import visits_of
from build_tools.visits.plan import PLAN, plan_bytes, step_hash, step_texts

MOST_PACKED = 16_000
"""Bytes of the packed plan: a hundredth of what a phone keeps for reading."""
DELIVERED = {
    "set-a-leveler",
    "weekly-check",
    "quarterly-service",
    "yearly-inspection",
    "put-into-use",
    "after-a-hit",
}


@pytest.fixture(scope="module")
def book(project: Path) -> Book:
    """The real book."""
    return read_book(project)[0]


@pytest.fixture(scope="module")
def plan(site: Path) -> dict[str, Any]:
    """The plan as it is served."""
    found: dict[str, Any] = json.loads((site / PLAN).read_text(encoding="utf-8"))
    return found


def steps_on(page: BeautifulSoup) -> list[dict[str, Any]]:
    """What a built page shows of its steps, in its order: hazards and drawings before each, its words."""
    found: list[dict[str, Any]] = []
    hazards: list[str] = []
    drawing = False
    for part in page.select("aside[data-hazard], figure.ht-drawing, li[data-step]"):
        if part.find_parent("section"):  # a calculator and a fault path show cautions of their own
            continue
        if part.name == "aside":
            if str(part["data-hazard"]) not in hazards:
                hazards.append(str(part["data-hazard"]))
        elif part.name == "figure":
            drawing = bool(found)
        else:
            asks = str(part.get("data-asks", "")).split(",") if part.get("data-asks") else []
            row = {"id": part["data-step"], "asks": asks, "hazards": hazards, "hash": hash_of(part, hazards)}
            found.append(row | {"drawing": drawing})
            hazards, drawing = [], False
    return found


def hash_of(step: Tag, hazards: list[str]) -> str:
    """The hash of a step's words and the hazards before it, without its box to tick."""
    copy = BeautifulSoup(str(step), "html.parser")
    for box in copy.select(".ht-tick"):
        box.decompose()
    words = " ".join(
        re.sub(r"<[^>]+>", " ", copy.li.decode_contents(formatter=None) if copy.li else "").split()
    )
    return hashlib.sha256("\n".join([words, *hazards]).encode()).hexdigest()[:8]


def test_the_plan_is_that_of_the_pages(plan: dict[str, Any], pages: dict[str, BeautifulSoup]) -> None:
    """Every page of the plan has the steps of the built page: ids, asks, hazards, drawings and hashes."""
    assert len(plan["pages"]) > 20
    for address, told in plan["pages"].items():
        planned = [
            {
                "id": row["id"],
                "asks": row.get("asks", []),
                "hazards": row.get("hazards", []),
                "hash": row["hash"],
                "drawing": row.get("drawing", False),
            }
            for row in told["steps"]
        ]
        assert planned == steps_on(pages[address]), address


def test_a_hash_follows_words_and_hazards() -> None:
    """Another word, or another hazard before the step, gives another hash; its number and tick do not."""
    tick = '<label class="ht-tick">Step {0}</label>'
    html = f'<ol><li data-number="{{0}}" data-step="look">{tick}<p>{{1}}</p></li></ol>'
    rows = [(1, "Look up.", ()), (2, "Look up.", ()), (1, "Look  down.", ()), (1, "Look up.", ("lip-path",))]
    first, moved, reworded, warned = (
        step_hash(step_texts(html.format(number, words))["look"], hazards) for number, words, hazards in rows
    )
    assert first == moved
    assert len({first, reworded, warned}) == 3


def test_the_stops_are_counted(plan: dict[str, Any], pages: dict[str, BeautifulSoup]) -> None:
    """`stops` is how many items the list under "Stop and call" has, which "Not so" offers."""
    for address, told in plan["pages"].items():
        heading = next(h for h in pages[address].select("h2") if "Stop and call" in h.get_text())
        items = heading.find_next("ul")
        assert items is not None
        assert told["stops"] == len(items.find_all("li", recursive=False)) > 0, address


def test_no_sentence_stands_in_the_plan(plan: dict[str, Any], pages: dict[str, BeautifulSoup]) -> None:
    """Texts of steps and hazards stay on the pages, so that nothing is kept or written twice."""
    text = json.dumps({key: plan[key] for key in ("jobs", "pages", "paths", "hazards")}, ensure_ascii=False)
    sentences = {
        step.get_text(" ", strip=True)[:60]
        for address in plan["pages"]
        for step in pages[address].select("li[data-step] > p")
    }
    assert len(sentences) > 300
    assert [said for said in sentences if len(said) > 25 and said in text] == []


def test_it_is_small_and_the_same_each_time(site: Path, book: Book, plan: dict[str, Any]) -> None:
    """Packed it takes little of what a phone keeps, and the same book gives the same bytes."""
    served = (site / PLAN).read_bytes()
    assert len(gzip.compress(served, 9, mtime=0)) < MOST_PACKED
    assert plan_bytes(plan) == served
    assert visits_of(book) == visits_of(book)


def test_every_sequence_of_the_book_is_there(plan: dict[str, Any], book: Book) -> None:
    """The delivered sequences, and one for each fault path, each with a job that asks the path."""
    ids = {sequence["id"] for sequence in plan["sequences"]}
    assert ids == DELIVERED | {*book.registers.faults}
    asked = {job["path"] for job in plan["jobs"].values() if "path" in job}
    assert asked == {*book.registers.faults} == {*plan["paths"]}


def test_every_end_of_every_path_leads_somewhere(plan: dict[str, Any], book: Book) -> None:
    """Each reply that ends a path has its target, and each that stops says `stop` in both places."""
    for job in plan["jobs"].values():
        path = book.registers.faults.get(job.get("path", ""))
        if path is None:
            continue
        ends = {
            f"{question.id}/{number}"
            for question in path.questions
            for number, reply in enumerate(question.replies, start=1)
            if reply.kind != GO
        }
        assert {*job["ends"]} == ends, path.id


def test_a_path_that_moves_the_platform_works_the_moving(plan: dict[str, Any]) -> None:
    """Where a question wants a rise, a walk-down or the support first, a job with its cautions is worked."""
    works = {
        f"{name}/{question['id']}": question["work"]
        for name, path in plan["paths"].items()
        for question in path["questions"]
        if "work" in question
    }
    assert works["drifts-within-a-month/look-at-the-lines"] == "put-on-support"
    assert works["hard-to-walk-down/walk-it-down"] == "cycle-down"
    assert works["comes-up-hard/raise-and-listen"] == "cycle-from-rest", "the platform does not stay up"
    assert works["hard-to-walk-down/run-the-rise"] == "cycle-up"


def test_hazards_of_a_step_left_out_are_kept(plan: dict[str, Any]) -> None:
    """The caution before a step that the visit does itself stands before the next step that is worked."""
    assert "used-too-soon" in plan["jobs"]["return"]["at"]["show-the-dock-lead"]["hazards"]
    assert "write-the-record" not in plan["jobs"]["return"]["steps"]


def test_the_invented_customers(plan: dict[str, Any], book: Book) -> None:
    """Three invented customers with 24 doors in all, each door of a class that the register has."""
    doors = [door for customer in plan["customers"] for door in customer["doors"]]
    assert len(plan["customers"]) == 3
    assert all(customer["demo"] for customer in plan["customers"])
    assert len(doors) == len({door["id"] for door in doors}) == 24
    assert {door["leveler"] for door in doors} == {*book.registers.equipment}
    assert all(re.fullmatch(r"555-01\d\d", customer["site"]["phone"]) for customer in plan["customers"])


def test_figures_come_from_the_register(plan: dict[str, Any], book: Book) -> None:
    """What is enough, and how many runs are wanted, is the figure's number."""
    figures = book.registers.figures
    assert plan["jobs"]["time-lip"]["at"]["warm-up"]["enough"] == figures["warm-up-cycles"].part("value")
    assert plan["jobs"]["time-lip"]["at"]["time-it-again"]["until"] == figures["timing-runs"].part("value")
    assert plan["common"]["window_low_s"] == figures["lip-fold-time"].part("low")

"""The page of outside checks: each row is what the tests assert, and no difference hides."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.made_pages.checked_against import by_source, checked_page, outcomes
from build_tools.made_pages.outside_values import OutsideCheck, read_checks
from build_tools.registers.registers import Registers

CHECKS = read_checks()


@pytest.fixture(scope="module")
def page(site: Path) -> BeautifulSoup:
    """The page as it is deployed."""
    return BeautifulSoup((site / "checked.html").read_text(encoding="utf-8"), "html.parser")


@pytest.fixture(scope="module")
def rows(page: BeautifulSoup) -> dict[str, Tag]:
    """The page's rows by the check's id."""
    return {str(row["data-check"]): row for row in page.select("[data-check]")}


def _made(registers: Registers, *checks: OutsideCheck) -> BeautifulSoup:
    """The page made from a few checks alone."""
    text = checked_page(registers, outcomes(registers, checks), revised="2026-11-25")
    return BeautifulSoup(text, "html.parser")


def _check(id_: str) -> OutsideCheck:
    return next(check for check in CHECKS if check.id == id_)


def test_every_check_of_the_tests_has_its_row(rows: dict[str, Tag]) -> None:
    """What the tests assert is on the page, each once, and nothing else is."""
    assert sorted(rows) == sorted(check.id for check in CHECKS)


@pytest.mark.parametrize("check", CHECKS, ids=[check.id for check in CHECKS])
def test_a_row_is_what_the_test_asserts(check: OutsideCheck, rows: dict[str, Tag]) -> None:
    """Printed value, tolerance and provenance are those of the check; the rest is in words."""
    row = rows[check.id]
    expected = json.loads(str(row["data-expected"]))
    assert (tuple(expected) if isinstance(expected, list) else expected) == check.expected
    assert json.loads(str(row["data-tolerance"])) == check.tolerance
    assert row["data-mark"] == check.provenance
    assert check.what in row.get_text()
    above = row.find_previous("p", class_="ht-source")
    source = row.find_previous("h2")
    assert above is not None and check.clause[1:] in above.get_text()
    assert source is not None and check.source in source.get_text()


def test_our_values_are_asked_anew(registers: Registers, rows: dict[str, Tag]) -> None:
    """Ours on the page is what the code gives, to a tenth of what is left open, and so is the difference."""
    for outcome in outcomes(registers):
        row, check = rows[outcome.check.id], outcome.check
        shown = json.loads(str(row["data-ours"]))
        if check.unit == "date":
            assert tuple(shown) == outcome.ours, check.id
            continue
        ours = list(outcome.ours) if isinstance(outcome.ours, tuple) else outcome.ours
        assert shown == pytest.approx(ours, abs=check.tolerance / 10, rel=0), check.id
        apart = float(str(row["data-difference"]))
        assert apart == pytest.approx(check.difference(outcome.ours), abs=check.tolerance / 10), check.id


def test_the_page_counts_itself(page: BeautifulSoup, rows: dict[str, Tag]) -> None:
    """The number of checks and sources at the top is that of the rows and headings, and none differs."""
    counts = page.select_one("[data-checks]")
    assert counts is not None
    told = [int(str(counts[name])) for name in ("data-checks", "data-sources", "data-differing")]
    assert told == [len(rows), len(page.select("article h2")), 0]
    assert "All of them agree." in counts.get_text()
    assert page.select("[data-differs]") == []


def test_what_was_read_stands_before_what_was_not(registers: Registers) -> None:
    """Sources that somebody read come first, those from memory and own computations last."""
    marks = [{row.check.provenance for row in rows} for rows in by_source(outcomes(registers)).values()]
    assert "read" in marks[0]
    assert marks[-1] == {"computed"}


@pytest.mark.parametrize("id_", ["spring-rate-ex-10-1-force", "norris-slope", "gtc-five-low", "thread-unc-1"])
def test_a_wrong_printed_value_shows_as_a_difference(registers: Registers, id_: str) -> None:
    """A row that does not come out says so in capitals, with the difference, and the page's top counts it."""
    right = _check(id_)
    assert isinstance(right.expected, float)
    wrong = dataclasses.replace(right, expected=right.expected + 3 * right.tolerance)

    made = _made(registers, _check("student-5"), wrong)

    row = made.select_one(f"[data-check={id_}]")
    assert row is not None and row.has_attr("data-differs")
    assert "DIFFERS by" in row.get_text()
    assert float(str(row["data-difference"])) < -right.tolerance
    counts = made.select_one("[data-checks]")
    assert counts is not None
    assert (counts["data-differing"], "One of them differs." in counts.get_text()) == ("1", True)


def test_a_missing_day_shows_as_a_difference(registers: Registers) -> None:
    """A calendar that lacks a printed day, or has one more, is not the same."""
    right = _check("weekly-on-monday")
    assert isinstance(right.expected, tuple)
    fewer = dataclasses.replace(right, expected=tuple(str(day) for day in right.expected[1:]))
    more = dataclasses.replace(right, id="more", expected=(*map(str, right.expected), "2026-02-09"))

    made = _made(registers, right, fewer, more)

    told = [row.get_text() for row in made.select("[data-check]")]
    assert ["DIFFERS" in text for text in told] == [False, True, True]
    assert "2 of them differ." in made.get_text()


def test_days_beside_the_rule_are_told(rows: dict[str, Tag]) -> None:
    """Where the plan keeps a month that the printed rule leaves out, the row says which day."""
    text = rows["invalid-day-left-out"].get_text()
    assert "The same days." in text
    assert "The plan also keeps 2007-02-28" in text


def test_a_book_without_threads_has_no_checks_of_threads(registers: Registers) -> None:
    """A check about a thread is there only where the book's register has that thread."""
    bare = dataclasses.replace(registers, threads={})
    asked = [_check("thread-unc-1"), _check("student-1")]
    assert [outcome.check.id for outcome in outcomes(bare, asked)] == ["student-1"]
    assert len(outcomes(registers, asked)) == 2

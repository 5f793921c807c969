"""The pocket card: its table is the calculators' own, and its figures are the registers'."""

from __future__ import annotations

import json
from collections import Counter
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.blocks.pocket_card import NAME, pocket_card
from build_tools.blocks.pocket_card_rows import SEEN, TIMED, lip_inputs, mainspring_answer, mainspring_inputs
from build_tools.book.book import Book, read_book
from build_tools.reading.lines import listed
from build_tools.registers.registers import Registers
from build_tools.shown.marks import Marks
from calculators import answering

ADJUSTING = (
    "half-turn-step",
    "agreeing-cycles",
    "threads-kept",
    "half-turns-per-thread",
    "warm-up-cycles",
    "timing-runs",
    "least-response",
    "lip-fold-time",
)
CALCULATORS_OWN = {"hand-timing-uncertainty", "timing-confidence"}
"""Safety figures that the sheets fill in themselves; nobody decides by them at a dock."""
ELSEWHERE = {"load-upgrade-grade", "tag-reading-distance"}
"""Safety figures of one page each, which is open when they are needed."""


@pytest.fixture(scope="module")
def book(project: Path) -> Book:
    """The real book's sources."""
    return read_book(project)[0]


@pytest.fixture(scope="module")
def named(book: Book) -> list[str]:
    """The figures that the book's card names."""
    blocks = [block for page in book.pages.values() for block in page.scan.blocks if block.name == NAME]
    assert len(blocks) == 1
    return listed(blocks[0].argument)


@pytest.fixture(scope="module")
def card(named: list[str], registers: Registers) -> BeautifulSoup:
    """The card as it is on its page."""
    return BeautifulSoup(pocket_card(named, Marks(registers, "figures.html")), "html.parser")


def asked(calculator: str, inputs: dict[str, Any], registers: Registers) -> tuple[str, str | None]:
    """What a calculator answers: half turns to make now, and its reason to stop."""
    answer = json.loads(answering.run(calculator, json.dumps(inputs), registers.words))
    return str(answer["do_now"]), answer["stop"]


def said(row: Tag) -> tuple[str, str | None]:
    """What a row of the card says, as `asked` gives it."""
    return str(row["data-do-now"]), row.get("data-stop")


def test_every_cycle_stands_in_one_row() -> None:
    """Whatever a cycle shows, exactly one row of the card is about it."""
    cycles = Counter(json.dumps(cycle) for seen in SEEN for cycle in seen.cycles())
    assert set(cycles.values()) == {1}
    assert len(cycles) == len(list(product(("short", "gentle", "slams"), (True, False), range(3))))


@pytest.mark.parametrize("springs", [1, 2, 3])
def test_the_mainspring_rows_are_the_calculators(
    card: BeautifulSoup, registers: Registers, springs: int
) -> None:
    """Each row says what the calculator answers to every cycle in it, for any number of mainsprings."""
    rows = card.select("tr[data-asked=mainspring-plan]")
    assert len(rows) == len(SEEN)
    for seen, row in zip(SEEN, rows, strict=True):
        for cycle in seen.cycles():
            inputs = {**mainspring_inputs(cycle), "spring_count": springs}
            assert asked("mainspring-plan", inputs, registers) == said(row), cycle


def test_the_lip_rows_are_the_calculators(card: BeautifulSoup, registers: Registers) -> None:
    """Each row says what the calculator answers, in the window of any leveler class."""
    rows = card.select("tr[data-asked=turn-plan]")
    windows = [
        (row.figures["window_low_s"]["value"], row.figures["window_high_s"]["value"])
        for row in registers.equipment.values()
    ]
    assert len(windows) == 3
    for (told, offsets), row in zip(TIMED.items(), rows, strict=True):
        for low, high in windows:
            runs = [{"half_turns": 0, "fold_time_s": (low + high) / 2 + offset} for offset in offsets]
            inputs = {**lip_inputs(offsets), "readings": runs, "window_low_s": low, "window_high_s": high}
            assert asked("turn-plan", inputs, registers) == said(row), (told, low, high)


def test_the_ways_are_the_trades(registers: Registers) -> None:
    """Short, or lip not out: tighten. Slam, or no walk-down: loosen (common practice, no source)."""
    ways = {
        (seen.rise, seen.lips, seen.walks): mainspring_answer(seen, registers.words).action for seen in SEEN
    }
    assert ways == {
        ("short", (True, False), ("easy", "firm")): "tighten",
        ("short", (True, False), ("cannot",)): "stop",
        ("full-gentle", (False,), ("easy",)): "tighten",
        ("full-gentle", (False,), ("firm", "cannot")): "stop",
        ("full-gentle", (True,), ("cannot",)): "loosen",
        ("full-gentle", (True,), ("easy", "firm")): "leave",
        ("full-slams", (True,), ("easy", "firm", "cannot")): "loosen",
        ("full-slams", (False,), ("easy", "firm", "cannot")): "stop",
    }


def test_every_adjusting_figure_is_on_the_card(card: BeautifulSoup, registers: Registers) -> None:
    """Each figure by which somebody adjusts is on the card as in the register, its basis behind it."""
    shown = {part["data-figure"]: part for part in card.select("[data-figure]")}
    assert [id_ for id_ in ADJUSTING if id_ not in shown] == []
    for id_, part in shown.items():
        figure = registers.figures[str(id_)]
        assert part.get_text().startswith(figure.text())
        assert part["data-basis"] == figure.basis
        assert part.select_one("sup.ht-basis") is not None


def test_safety_figures_are_on_the_card_or_left_out_for_a_reason(
    card: BeautifulSoup, registers: Registers
) -> None:
    """A new figure that bears on safety comes onto the card, unless this test says why not."""
    shown = {part["data-figure"] for part in card.select("[data-figure]")}
    safety = {row.id for row in registers.figures.values() if row.safety}
    assert safety - shown == CALCULATORS_OWN | ELSEWHERE


def test_every_class_has_its_window_and_its_limits(card: BeautifulSoup, registers: Registers) -> None:
    """Window, walk-down limit and interval of each class are on the card as its register row has them."""
    for row in registers.equipment.values():
        cells = {
            cell.find_parent("tr")["data-about"]: cell.strong.get_text()
            for cell in card.select(f'td[data-leveler-class="{row.id}"]')
        }
        value = {name: figure["value"] for name, figure in row.figures.items()}
        assert cells == {
            "window": f"{value['window_low_s']} to {value['window_high_s']} s",
            "walk_down_limit_n": f"{value['walk_down_limit_n']} N",
            "longest_interval_months": str(value["longest_interval_months"]),
        }
        months = card.select_one("tr[data-about=longest_interval_months] th")
        assert months is not None and months.get_text().endswith(" (months)")
        nut = card.select_one(f'.ht-card-nut[data-leveler-class="{row.id}"]')
        assert row.adjusting_nut is not None and nut is not None
        assert row.adjusting_nut["see"] in nut.get_text()


def test_cautions_stand_whole_above_the_table(card: BeautifulSoup) -> None:
    """The card asks for turns and cycles, so their cautions come first, each in all its three parts."""
    side = card.select_one("[data-card=half-turns]")
    assert side is not None
    order = [part.get("data-hazard") or part.name for part in side.select("[data-hazard], table")]
    assert order == ["unsupported-leveler", "spring-energy", "people-clear", "lip-path", "table", "table"]
    for hazard in side.select("[data-hazard]"):
        assert all(hazard.select_one(part) for part in (".ht-signal", ".ht-hazard-what", ".ht-hazard-avoid"))


def test_the_card_stops_and_defers(card: BeautifulSoup, registers: Registers) -> None:
    """The line to stop and call and the line that puts the owner's manual first are on the card."""
    text = card.get_text(" ")
    assert registers.words["card.stop"] in text
    assert registers.words["book.defer"] in text

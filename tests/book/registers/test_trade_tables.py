"""Threads and spring wire: what the registers give, and what the page of figures shows of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_tools.registers.registers import Registers
from calculators.shared.decimal_text import fixed


@pytest.fixture(scope="module")
def page(site: Path) -> BeautifulSoup:
    """The page of figures."""
    return BeautifulSoup((site / "figures.html").read_text(encoding="utf-8"), "html.parser")


@pytest.mark.parametrize(
    ("thread", "pitch_m"), [("unc-1", 0.0254 / 8), ("unc-3-8", 0.0254 / 16), ("iso-m12", 0.00175)]
)
def test_a_pitch_is_in_meters(registers: Registers, thread: str, pitch_m: float) -> None:
    """Threads to the inch and pitches in millimeters both become meters."""
    assert registers.threads[thread].pitch_m == pytest.approx(pitch_m, rel=1e-15)


def test_each_thread_shows_what_half_a_turn_travels(registers: Registers, page: BeautifulSoup) -> None:
    """A row has its thread's name and half its pitch, in millimeters, and the table cites the source."""
    rows = page.select("tr[data-thread]")
    assert [str(row["data-thread"]) for row in rows] == list(registers.threads)
    for row in rows:
        thread = registers.threads[str(row["data-thread"])]
        label, _, travel = row.select("td")
        assert (label.get_text(), travel.get_text()) == (thread.label, f"{fixed(500 * thread.pitch_m, 3)} mm")
        cited = row.find_parent("div")
        assert cited is not None and cited.select_one(f'a[href="#source-{thread.source}"]') is not None


def test_each_wire_shows_every_value_with_its_source(registers: Registers, page: BeautifulSoup) -> None:
    """No value of a wire is left out, each is in GPa beside its source, and the spread is told."""
    for wire in registers.wires.values():
        row = page.select_one(f"section:has(> #wire-{wire.id})")
        assert row is not None
        values = row.select("li")
        shown = [(float(str(item["data-gpa"])), str(item.a["href"])) for item in values if item.a is not None]
        assert shown == [
            (pytest.approx(value.gpa, rel=1e-5), f"#source-{value.source}") for value in wire.moduli
        ]
        spread = {f"{value.gpa:.1f}" for value in wire.moduli}
        assert all(number in row.get_text() for number in spread), wire.id

"""What registers give to pages and calculators, and how a check is recorded."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from build_tools.checks.all_checks import check_book
from build_tools.reading.problems import render
from build_tools.registers.record_check import record_check
from build_tools.registers.registers import Registers, load_registers


@pytest.fixture
def registers(good_book: Path) -> Registers:
    """The registers of the good book."""
    found, problems = load_registers(good_book / "content/registers")
    assert problems == []
    return found


def test_a_figure_is_shown_as_it_is_typed(registers: Registers) -> None:
    """Trailing zeros stay, a range says "to", a pure number has no unit."""
    figures = registers.figures

    assert figures["hand-timing-uncertainty"].text() == "0.10 s"
    assert figures["lip-fold-time"].text() == "18 to 20 s"
    assert figures["lip-fold-time"].part_text("low") == "18 s"
    assert figures["timing-confidence"].text() == "0.95"


def test_a_part_that_is_not_there_is_a_key_error(registers: Registers) -> None:
    """A range has no value, and a single figure neither low nor high."""
    assert registers.figures["lip-fold-time"].part("high") == 20
    with pytest.raises(KeyError, match="value"):
        registers.figures["lip-fold-time"].part("value")
    with pytest.raises(KeyError, match="low"):
        registers.figures["timing-runs"].part("low")


def test_the_hash_is_that_of_the_row_as_it_is_typed(registers: Registers) -> None:
    """The hash covers id, value, low, high, unit, plausible limits and the check, joined by bars."""
    joined = "lip-fold-time||18|20|s|10|40|M. Tarrow|2026-11-20|18 to 20 s"

    assert registers.figures["lip-fold-time"].hash() == hashlib.sha256(joined.encode()).hexdigest()[:12]


def test_examples_come_with_figures_as_numbers(registers: Registers) -> None:
    """Braces in an example become the number of the figure or its part."""
    inputs = registers.examples["fold-time"]["inputs"]

    assert inputs == {
        "runs_s": [16.4, 16.7, 16.5],
        "window_low_s": 18,
        "window_high_s": 20,
        "timing_uncertainty_s": 0.10,
        "confidence": 0.95,
    }


def test_words_that_look_like_other_things_stay_text(tmp_path: Path) -> None:
    """Dates, `yes`, `no` and times of day are text, so that nothing is guessed."""
    (tmp_path / "content/registers/words").mkdir(parents=True)
    (tmp_path / "content/registers/words/en.yml").write_text('a: "b"\n', encoding="utf-8")
    (tmp_path / "content/registers/emergency.yml").write_text("number: 555-0100\n", encoding="utf-8")
    (tmp_path / "content/registers/terms.yml").write_text(
        "- {id: a, term: no, meaning: 12:30, say_not: [yes, 2026-11-24]}\n", encoding="utf-8"
    )

    found, problems = load_registers(tmp_path / "content/registers")

    assert problems == []
    term = found.terms["a"]
    assert (term.term, term.meaning, term.say_not) == ("no", "12:30", ("yes", "2026-11-24"))


def test_recording_a_check_lets_a_changed_figure_pass(
    good_book: Path, changed: Callable[[Path, str, str], None]
) -> None:
    """After a recorded check the book is without problem, and no other line of the file differs."""
    register = good_book / "content/registers/figures.yml"
    changed(register, "  high: 20\n", "  high: 21\n")
    before = register.read_text(encoding="utf-8").split("\n")
    assert "changed without a new check: was 18 to 20 s, now 18 to 21 s" in render(check_book(good_book))

    record_check(register, "lip-fold-time", "I. Pell", "2026-11-26")

    after = register.read_text(encoding="utf-8").split("\n")
    assert render(check_book(good_book)) == ""
    assert [new for old, new in zip(before, after, strict=True) if old != new] == [
        '  checked_by: "I. Pell"',
        "  checked_on: 2026-11-26",
        '  checked_value: "18 to 21 s"',
        f'  checked_hash: "{_hash(good_book, "lip-fold-time")}"',
    ]


def test_a_first_check_is_written_behind_the_rows_own_lines(
    good_book: Path, changed: Callable[[Path, str, str], None]
) -> None:
    """A row without a check gets its lines before the next row begins."""
    register = good_book / "content/registers/figures.yml"
    safety = "  note: How sure an answer must be.\n  safety: true\n  plausible_low: 0.5\n"
    safety += "  plausible_high: 0.999\n"
    changed(register, "  note: How sure an answer must be.\n", safety + "\n# Runs\n\n")

    record_check(register, "timing-confidence", "I. Pell", "2026-11-26")

    assert render(check_book(good_book)) == ""
    assert (
        f'{safety}  checked_by: "I. Pell"\n  checked_on: 2026-11-26\n  checked_value: "0.95"\n'
        f'  checked_hash: "{_hash(good_book, "timing-confidence")}"\n\n# Runs\n\n- id: timing-runs\n'
    ) in register.read_text(encoding="utf-8")


def _hash(book: Path, figure: str) -> str:
    found, _ = load_registers(book / "content/registers")
    return found.figures[figure].hash()

"""What is in a work sheet's form before anybody typed: figures with a source, and nothing unasked."""

from __future__ import annotations

import dataclasses
import json

import pytest

from build_tools.registers.registers import Registers
from calculators.answering import NAMES
from tests.book.sheets.work_sheet import sheet


def test_common_practice_is_offered_and_never_filled_in(registers: Registers) -> None:
    """The window starts empty; one button, which says how far to trust it, holds the register's values."""
    for name in ("fold-time", "turn-plan"):
        section = sheet(name, registers)
        figure = registers.figures["lip-fold-time"]
        assert figure.basis == "common practice"
        for field in ("window_low_s", "window_high_s"):
            entry = section.select_one(f'input[name="{field}"]')
            assert entry is not None
            assert entry.get("value") is None
        offers = section.select("button[data-offer]")
        assert [offer["data-offer"] for offer in offers] == ["lip-fold-time"]
        assert json.loads(str(offers[0]["data-fill"])) == {
            "window_low_s": figure.written["low"],
            "window_high_s": figure.written["high"],
        }
        assert offers[0].get_text() == (
            f"Use {figure.text()}: common practice, no source, only if the owner's manual gives none"
        )


@pytest.mark.parametrize("name", NAMES)
def test_limits_of_this_leveler_start_empty(name: str, registers: Registers) -> None:
    """What only this leveler or its manual can say holds nothing, not even "not measured"."""
    section = sheet(name, registers)
    own = (
        "half_turns_min",
        "half_turns_max",
        "walk_down_limit_n",
        "spring_count",
        "window_low_s",
        "window_high_s",
    )
    entries = [entry for field in own for entry in section.select(f'input[name="{field}"]')]
    assert [entry.get("value") for entry in entries] == [None] * len(entries)
    assert section.select("input[checked]") == []


def test_a_sourced_figure_is_filled_in_with_basis_and_source(registers: Registers) -> None:
    """A published or company figure is in its field as written, with what it rests on."""
    section = sheet("fold-time", registers)
    for field, id_ in (
        ("timing_uncertainty_s", "hand-timing-uncertainty"),
        ("confidence", "timing-confidence"),
    ):
        entry = section.select_one(f'input[name="{field}"]')
        mark = section.select_one(f'[data-input="{field}"] span[data-figure="{id_}"]')
        assert entry is not None
        assert mark is not None
        assert entry["value"] == registers.figures[id_].written["value"]
        assert mark["data-basis"] == registers.figures[id_].basis
        assert mark.select(f'a[href="../figures.html#figure-{id_}"]') != []


def test_a_figure_that_loses_its_source_is_no_longer_filled_in(registers: Registers) -> None:
    """The basis in the register alone decides: as common practice the same figure becomes an offer."""
    figure = dataclasses.replace(registers.figures["timing-confidence"], basis="common practice")
    changed = dataclasses.replace(registers, figures={**registers.figures, "timing-confidence": figure})
    section = sheet("fold-time", changed)
    entry = section.select_one('input[name="confidence"]')
    assert entry is not None
    assert entry.get("value") is None
    assert [offer["data-offer"] for offer in section.select("button[data-offer]")] == [
        "lip-fold-time",
        "timing-confidence",
    ]

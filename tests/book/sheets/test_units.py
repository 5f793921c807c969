"""Units that a reader may choose: exact, there and back, and never the reason for another verdict."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from build_tools.places import PROJECT
from build_tools.registers.registers import Registers
from build_tools.sheets.section import render
from build_tools.shown.units import SYSTEMS, TABLE, UNITS, from_wire, range_in, shown_units
from calculators import answering
from calculators.shared.fields import Field
from tests.to_wire import to_wire

INCH, FOOT, POUND = Fraction("0.0254"), Fraction("0.3048"), Fraction("0.45359237")
"""As the international yard and pound agreement of 1959 defines them, in m and kg."""
GRAVITY = Fraction("9.80665")
"""Standard gravity, m/s2: it makes a pound of force of a pound."""
POUND_FORCE = POUND * GRAVITY
EXACT = {
    "m": Fraction(1),
    "cm": Fraction(1, 100),
    "mm": Fraction(1, 1000),
    "in": INCH,
    "ft": FOOT,
    "kg": Fraction(1),
    "lb": POUND,
    "N": Fraction(1),
    "lbf": POUND_FORCE,
    "N/m": Fraction(1),
    "N/mm": Fraction(1000),
    "lbf/in": POUND_FORCE / INCH,
    "N·m": Fraction(1),
    "lbf·ft": POUND_FORCE * FOOT,
    "Pa": Fraction(1),
    "MPa": Fraction(10**6),
    "GPa": Fraction(10**9),
    "ksi": 1000 * POUND_FORCE / INCH**2,
    "Mpsi": 10**6 * POUND_FORCE / INCH**2,
}


def all_fields(fields: tuple[Any, ...]) -> list[Any]:
    """Every declaration, columns of rows included."""
    return [each for field in fields for each in (field, *all_fields(field.fields))]


EVERY = [
    (name, field)
    for name in answering.NAMES
    for field in all_fields((*answering.module(name).INPUTS, *answering.module(name).OUTPUTS))
]
CHANGING = [(name, field) for name, field in EVERY if shown_units(field.unit, field.name)]
RANGED = [(name, field) for name, field in CHANGING if isinstance(field, Field)]


def test_every_factor_is_exact() -> None:
    """A unit is the very fraction that its definition gives, not a rounded decimal of it."""
    assert {name: Fraction(unit.times, unit.over) for name, unit in UNITS.items()} == EXACT
    assert [name for name, unit in UNITS.items() if max(unit.times, unit.over) >= 2**53] == []


def test_the_table_names_nothing_that_is_not_there() -> None:
    """Each unit and name of the table is one that some calculator uses, and its units fit it."""
    assert set(TABLE["shown"]) == {field.unit for _, field in CHANGING}
    assert set(TABLE["shown_by_name"]) <= {field.name for _, field in EVERY}
    for _, field in CHANGING:
        units = shown_units(field.unit, field.name)
        assert [UNITS[unit].of for unit in units] == [field.unit] * len(SYSTEMS), field.name
    assert {UNITS[shown].of == UNITS[told].of for shown, told in TABLE["told"].items()} == {True}


@given(st.integers(-(10**12) + 1, 10**12 - 1), st.integers(-9, 9), st.sampled_from(sorted(UNITS)))
def test_a_number_comes_back_as_it_left(digits: int, power: int, unit: str) -> None:
    """Choosing units and choosing back changes none of the 12 digits that travel: no verdict can change."""
    value = float(f"{digits}e{power}")
    assert to_wire(from_wire(value, unit), unit) == value


@given(st.floats(1e-9, 1e9), st.sampled_from(sorted(UNITS)))
def test_a_conversion_is_right_to_twelve_digits(value: float, unit: str) -> None:
    """A number in any unit goes over the wire as the exact product, rounded once."""
    exact = Fraction(value) * EXACT[unit]
    assert abs(Fraction(to_wire(value, unit)) - exact) <= abs(exact) * Fraction(6, 10**12)


@pytest.mark.parametrize(("name", "field"), RANGED, ids=[f"{name}: {field.name}" for name, field in RANGED])
def test_what_is_told_as_allowed_is_allowed(name: str, field: Field) -> None:
    """Both ends of a range, told in any unit, lie inside what the calculator takes, and close to its end."""
    assert field.low is not None
    assert field.high is not None
    for unit in shown_units(field.unit, field.name):
        low, high = range_in(field.low, field.high, unit)
        assert low is not None
        assert high is not None
        assert field.low <= to_wire(low, unit) < to_wire(high, unit) <= field.high
        assert to_wire(low, unit) == pytest.approx(field.low, rel=1e-3, abs=0)
        assert to_wire(high, unit) == pytest.approx(field.high, rel=1e-3, abs=0)


def through(system: int, value: Any, path: tuple[str, ...], fields: dict[str, Any]) -> Any:
    """The same inputs, written in the units of a system and read back."""
    if isinstance(value, dict):
        return {key: through(system, item, (*path, key), fields) for key, item in value.items()}
    if isinstance(value, list):
        return [through(system, item, path, fields) for item in value]
    units = shown_units(fields[path[-1]].unit, path[-1])
    if not units or not isinstance(value, (int, float)) or isinstance(value, bool):
        return value
    return to_wire(from_wire(value, units[system]), units[system])


CASES = [
    case
    for name in sorted({name for name, _ in RANGED})
    for case in json.loads((PROJECT / "tests/cases" / f"{name}.json").read_text(encoding="utf-8"))
    if isinstance(case["input"], dict) and "errors" not in str(case["expect"])
]


@pytest.mark.parametrize("case", CASES, ids=[f"{case['calculator']}: {case['name']}" for case in CASES])
def test_units_never_change_an_answer(case: dict[str, Any], registers: Registers) -> None:
    """Each case, written in pounds and inches, is answered to the last character as in newtons and meters."""
    fields = {field.name: field for field in all_fields(answering.module(case["calculator"]).INPUTS)}
    for system in range(len(SYSTEMS)):
        inputs = through(system, case["input"], (), fields)
        assert answering.run(case["calculator"], json.dumps(inputs), registers.words) == answering.run(
            case["calculator"], json.dumps(case["input"]), registers.words
        )


@pytest.mark.parametrize("name", answering.NAMES)
def test_one_control_where_units_change(name: str, registers: Registers) -> None:
    """A sheet has the control just where something on it changes; metric is taken until somebody chooses."""
    section = BeautifulSoup(render(name, registers, root=".."), "html.parser")
    buttons = section.select("[data-units-choice]")
    pressed = {str(button["data-units-choice"]): str(button["aria-pressed"]) for button in buttons}
    changing = {calculator for calculator, _ in CHANGING}
    assert pressed == ({"n-mm-m": "true", "lbf-in-ft": "false"} if name in changing else {})
    assert changing == {"mainspring-plan", "counterbalance", "spring-rate", "dock-slope", "rod-length"}


def test_every_text_has_both_units(registers: Registers) -> None:
    """Units, ranges and examples hold a text for each system, and show the first."""
    for name in ("mainspring-plan", "counterbalance", "spring-rate", "dock-slope"):
        section = BeautifulSoup(render(name, registers, root=".."), "html.parser")
        parts = section.select("[data-by-units]")
        texts = [json.loads(str(part["data-by-units"])) for part in parts]
        assert [len(pair) for pair in texts] == [2] * len(parts)
        assert [part.get_text() for part in parts] == [pair[0] for pair in texts]
    limit = BeautifulSoup(render("dock-slope", registers, root=".."), "html.parser").select_one(
        '[data-input="dock_height_m"]'
    )
    assert limit is not None
    assert json.loads(str(limit["data-units"])) == ["mm", "in"]
    assert json.loads(str(limit["data-allowed"])) == ["0 to 3000 mm", "0 to 118.1 in"]
    assert (limit["data-low"], limit["data-high"], limit["data-wire-unit"]) == ("0", "3", "m")

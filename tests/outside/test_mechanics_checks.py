"""The registers of threads and wires, and the units of the outside checks, against printed tables."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from build_tools.made_pages.outside_values import read_checks
from build_tools.places import PROJECT
from build_tools.registers.printed_quantities import FACTORS, in_si

REGISTERS = PROJECT / "content/registers"


def rows(path: Path) -> list[dict[str, Any]]:
    """Read a list of rows."""
    found: list[dict[str, Any]] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return found


THREADS = {row["id"]: row for row in rows(REGISTERS / "threads.yml")}
WIRES = {row["id"]: row for row in rows(REGISTERS / "wires.yml")}
MARKS = ("read", "read-secondary", "memory")


@pytest.mark.parametrize(
    ("unit", "exact", "printed"),
    # Exact to all digits from the definitions of inch, pound and standard gravity (computed, pint agrees);
    # printed as in Wikibooks, Engineering Statics, appendix on conversion factors (read).
    [
        ("lbf", 4.4482216152605, 4.4482),
        ("lbf/in", 175.12683524647638, 175.13),
        ("lbf.ft", 1.3558179483314004, 1.3558),
        ("lbf.in", 0.1129848290276167, 0.11298),
        ("psi", 6894.757293168361, 6894.8),
    ],
)
def test_units_of_the_checks(unit: str, exact: float, printed: float) -> None:
    """The factors by which printed inputs become SI are the exact ones, and agree with a printed table."""
    assert FACTORS[unit] == pytest.approx(exact, rel=1e-15)
    assert float(f"{FACTORS[unit]:.5g}") == printed


def test_every_thread_is_checked() -> None:
    """Each thread of the register has a printed half turn, and gives one pitch, a source and a mark."""
    assert {check.how["thread"] for check in read_checks() if "thread" in check.how} == set(THREADS)
    for row in THREADS.values():
        assert len({"threads_per_inch", "pitch_mm"} & row.keys()) == 1
        assert row["source"] in ("asme-b1-1", "iso-261")
        assert row["mark"] in MARKS


def moduli(wire: str) -> list[float]:
    """Return what sources say of a wire's shear modulus, GPa, in the register's order."""
    said_of = WIRES[wire]["shear_modulus"]
    return [in_si(f"{said['value']} {said['unit']}") / FACTORS["GPa"] for said in said_of]


def test_wires_convert_as_printed_tables_do() -> None:
    """Mpsi become the GPa of check tables (computed), and 11.5 Mpsi is the 79.293 GPa of another table."""
    music = moduli("music-wire")
    table = [79.290, 82.737, 81.013, 79.293, 82.737, 81.703, 81.013, 79.979]
    assert music == pytest.approx(table, abs=0.0006)
    assert music[0] == pytest.approx(music[3], rel=1e-4)


def test_every_wire_names_its_sources() -> None:
    """Each value of a wire's shear modulus has a source and a mark, and lies where spring wire can lie."""
    for id_, row in WIRES.items():
        assert all(said["mark"] in MARKS and said["source"] for said in row["shear_modulus"]), id_
        assert all(60 < modulus < 90 for modulus in moduli(id_)), id_

"""Rows of the trade's tables: adjusting threads by their pitch, spring wires by their shear modulus."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import Key, Shape, check_shape
from build_tools.registers.printed_quantities import FACTORS
from build_tools.registers.rows import SOURCE_SHAPE

_PITCHES = ("threads_per_inch", "pitch_mm")
"""A thread has one of these keys."""
_SOURCED: Shape = {
    "source": Key("id", "a reader must be able to look it up", "asme-b1-1"),
    "mark": SOURCE_SHAPE["mark"],
}
THREAD_SHAPE: Shape = {
    "id": Key("id", "checks name a thread by its id", "unc-1"),
    "label": Key("text", "a technician finds the thread by its usual name", "1-8 UNC"),
    "threads_per_inch": Key("number", "an inch thread is given so", "8", required=False),
    "pitch_mm": Key("number", "a metric thread is given so", "2.5", required=False),
    **_SOURCED,
}
WIRE_SHAPE: Shape = {
    "id": Key("id", "rows are linked by their id", "music-wire"),
    "label": Key("text", "a parts list names the wire so", "Music wire, ASTM A228"),
    "shear_modulus": Key(
        "rows", "sources differ, so each value stands with its own", "[{value: 11.5, unit: Mpsi, ...}]"
    ),
}
MODULUS_SHAPE: Shape = {
    "value": Key("number", "the rate is worked out from it", "11.5"),
    "unit": Key("text", "a modulus without its unit misleads", "Mpsi", choices=("Mpsi", "GPa")),
    "above_in": Key("number", "some sources give thick wire another value", "0.1", required=False),
    "up_to_in": Key("number", "some sources give thin wire another value", "0.1", required=False),
    **_SOURCED,
}


@dataclass(frozen=True, slots=True)
class Thread:
    """An adjusting thread with one start. `printed` is its pitch as the source prints it."""

    id: str
    label: str
    printed: str
    unit: str
    """What `printed` counts: "threads_per_inch" or "pitch_mm"."""
    source: str
    provenance: str
    file: str
    line: int

    @property
    def pitch_m(self) -> float:
        """How far the nut travels in a whole turn, m."""
        number = float(self.printed)
        return FACTORS["in"] / number if self.unit == "threads_per_inch" else number * FACTORS["mm"]


@dataclass(frozen=True, slots=True)
class Modulus:
    """A wire's shear modulus by one source, for wire sizes above and up to a limit in inches, if any."""

    printed: str
    unit: str
    above_in: str | None
    up_to_in: str | None
    source: str
    provenance: str
    file: str
    line: int

    @property
    def gpa(self) -> float:
        """The modulus in GPa."""
        return float(self.printed) * FACTORS[self.unit] / FACTORS["GPa"]


@dataclass(frozen=True, slots=True)
class Wire:
    """A spring wire, with every value of its shear modulus as its source prints it."""

    id: str
    label: str
    moduli: tuple[Modulus, ...]


def thread_from(row: Node, file: str) -> Thread:
    """Make a Thread of a row that passed THREAD_SHAPE and check_thread."""
    unit = next(key for key in _PITCHES if _given(row, key))
    texts = {key: row.value[key].written for key in ("id", "label", "source")}
    printed, provenance = row.value[unit].written, row.value["mark"].written
    return Thread(**texts, printed=printed, unit=unit, provenance=provenance, file=file, line=row.line)


def wire_from(row: Node, file: str) -> Wire:
    """Make a Wire of a row that passed WIRE_SHAPE and check_wire."""
    moduli = tuple(_modulus_from(item, file) for item in row.value["shear_modulus"].value)
    return Wire(row.value["id"].written, row.value["label"].written, moduli)


def _modulus_from(row: Node, file: str) -> Modulus:
    above, up_to = (row.value[key].written if _given(row, key) else None for key in ("above_in", "up_to_in"))
    unit, source, provenance = (row.value[key].written for key in ("unit", "source", "mark"))
    printed = row.value["value"].written
    return Modulus(printed, unit, above, up_to, source, provenance, file, row.line)


def check_thread(row: Node, file: str, subject: str) -> list[Problem]:
    """Return what is wrong with a thread's pitch: neither key, both keys, or a number that is not above 0."""
    given = [key for key in _PITCHES if _given(row, key)]
    if len(given) != 1:
        what = f"{subject} has {'both' if given else 'neither'} of {' and '.join(_PITCHES)}"
        why = "a thread has one pitch, given as its standard gives it"
        return [Problem(file, row.line, what, why, "give one of the two")]
    return _not_above_zero(row, given, file, subject)


def check_wire(row: Node, file: str, subject: str) -> list[Problem]:
    """Return what is wrong with a wire's values: none at all, wrong keys, or sizes upside down."""
    values = row.value["shear_modulus"]
    if not values.value:
        what, why = f"{subject} has no value of its shear modulus", "no rate can be worked out from it"
        return [Problem(file, values.line, what, why, "give at least one value with its source")]
    found = []
    for number, item in enumerate(values.value, start=1):
        of_value = f"{subject}, value {number}"
        problems = check_shape(item, MODULUS_SHAPE, file=file, subject=of_value)
        found += problems or _value_problems(item, file, of_value)
    return found


def _value_problems(row: Node, file: str, subject: str) -> list[Problem]:
    sizes = [key for key in ("above_in", "up_to_in") if _given(row, key)]
    found = _not_above_zero(row, ["value", *sizes], file, subject)
    if found or len(sizes) < 2 or row.value["above_in"].value < row.value["up_to_in"].value:
        return found
    what = f"{subject}: above_in {row.value['above_in'].written} is not below up_to_in"
    return [Problem(file, row.line, what, "no wire has such a size", "swap them, or correct the wrong one")]


def _not_above_zero(row: Node, keys: list[str], file: str, subject: str) -> list[Problem]:
    why = "no thread, wire or modulus has such a size"
    return [
        Problem(
            file,
            row.value[key].line,
            f"{subject}: {key} {row.value[key].written} is not above 0",
            why,
            "look it up again",
        )
        for key in keys
        if row.value[key].value <= 0
    ]


def check_sources(
    threads: Iterable[Thread], wires: Iterable[Wire], sources: Collection[str]
) -> list[Problem]:
    """Return a problem for each row that names a source missing from sources.yml."""
    rows: list[tuple[str, Thread | Modulus]] = [(f"thread '{row.id}'", row) for row in threads]
    rows += [(f"wire '{wire.id}'", value) for wire in wires for value in wire.moduli]
    return [
        Problem(
            row.file,
            row.line,
            f"{subject} names an unknown source '{row.source}'",
            "content/registers/sources.yml has no such id",
            suggestion(row.source, sources, otherwise="add it to sources.yml"),
        )
        for subject, row in rows
        if row.source not in sources
    ]


def _given(row: Node, key: str) -> bool:
    return key in row.value and row.value[key].value is not None

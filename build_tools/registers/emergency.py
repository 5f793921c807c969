"""The number to call where somebody is caught: a register of its own, without a default."""

from __future__ import annotations

from dataclasses import dataclass

from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Key, Shape, check_shape
from build_tools.registers.reader import RegisterReader

EMERGENCY = "emergency.yml"
_SHAPE: Shape = {
    "number": Key("text", "who finds somebody caught calls it from the first page", "555-0199"),
    "note": Key("text", "it stands beside the button", "Not a real number.", required=False),
}


@dataclass(frozen=True, slots=True)
class Emergency:
    """The emergency number as a person dials it, and a note that stands beside it, or ""."""

    number: str
    note: str


def read_emergency(reader: RegisterReader) -> Emergency | None:
    """Read emergency.yml; None, with the problem told, where it is missing or has no number."""
    root = reader.read(EMERGENCY)
    file = reader.file(EMERGENCY)
    if root is None or root.value is None:
        what, why = "there is no emergency number", "who finds somebody caught must not have to search for it"
        fix = "write `number: ` and the number that your people call where the levelers stand"
        reader.problems.append(Problem(file, 1, what, why, fix))
        return None
    found = check_shape(root, _SHAPE, file=file, subject=EMERGENCY)
    reader.problems += found
    if found:
        return None
    note = root.value.get("note")
    return Emergency(root.value["number"].written, note.written if note is not None else "")

"""One row of the figures register: a value, its basis, its source and its check."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Key, Shape
from calculators.shared.decimal_text import marked

BASES = ("published", "common practice", "company", "owner's manual")
PARTS = ("value", "low", "high")
_CHECK = "a figure that bears on safety stands only with a named person's check of it"

FIGURE_SHAPE: Shape = {
    "id": Key("id", "pages name a figure by its id", "lip-fold-time"),
    "label": Key("text", "the register page names the figure by its label", "Lip fold time"),
    "value": Key("number", "a figure is one number, or low and high", "3", required=False),
    "low": Key("number", "a range is shown from low to high", "18", required=False),
    "high": Key("number", "a range is shown from low to high", "20", required=False),
    "unit": Key("text", "a number without its unit misleads; a pure number has the unit 1", "s"),
    "basis": Key(
        "text", "the technician must see how far to trust a figure", "common practice", choices=BASES
    ),
    "source": Key("id", "a source is named by its id in sources.yml", "amjphys-2019", required=False),
    "holds_for": Key(
        "id",
        "it is not offered for a leveler that has another way of the thing",
        "damped-lip",
        required=False,
    ),
    "note": Key(
        "text", "one sentence says what the figure is for", "From the first movement of the lip to its stop."
    ),
    "safety": Key("flag", "figures that bear on safety need a check", "true", required=False),
    "plausible_low": Key("number", _CHECK, "10", required=False),
    "plausible_high": Key("number", _CHECK, "40", required=False),
    "checked_by": Key("text", _CHECK, "M. Tarrow", required=False),
    "checked_on": Key("date", _CHECK, "2026-11-20", required=False),
    "checked_value": Key("text", _CHECK, "18 to 20 s", required=False),
    "checked_hash": Key("text", _CHECK, "3f9ab2c41d07", required=False),
}
CHECK_KEYS = ("plausible_low", "plausible_high", "checked_by", "checked_on", "checked_value", "checked_hash")
_HASHED = (
    "id",
    "value",
    "low",
    "high",
    "unit",
    "plausible_low",
    "plausible_high",
    "checked_by",
    "checked_on",
    "checked_value",
)


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as the register has it. Either `value` is a number, or `low` and `high` are."""

    id: str
    label: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    basis: str
    source: str | None
    holds_for: str | None
    """The only way, a row of ways.yml, for which it holds."""
    note: str
    safety: bool
    plausible_low: float | None
    plausible_high: float | None
    checked_by: str | None
    checked_on: str | None
    checked_value: str | None
    checked_hash: str | None
    written: dict[str, str]
    """Each key's value exactly as typed, so that 0.10 stays 0.10."""
    lines: dict[str, int]
    """Each key's line in the file."""
    file: str
    line: int
    between: str = "{low} to {high}"
    """How the book's language writes a range."""
    decimal_mark: str = "."
    """What the book's language writes before decimals."""

    def text(self) -> str:
        """Return the figure as a page shows it: "18 to 20 s", "3 months", "0.95"."""
        if self.value is not None:
            return self.part_text("value")
        range_ = self.between.format(low=self.number_text("low"), high=self.number_text("high"))
        return with_unit(range_, self.unit)

    def number_text(self, key: str) -> str:
        """Return the number of a key as typed, 0.10 with both decimals, with the language's decimal mark."""
        return marked(self.written[key], self.decimal_mark)

    def part(self, name: str) -> float:
        """Return the number of the part "value", "low" or "high", in the figure's unit.

        Raises:
            KeyError: the figure has no such part.
        """
        number = {"value": self.value, "low": self.low, "high": self.high}.get(name)
        if number is None:
            raise KeyError(name)
        return number

    def part_text(self, name: str) -> str:
        """Return one part as a page shows it: "18 s".

        Raises:
            KeyError: the figure has no such part.
        """
        self.part(name)
        return with_unit(self.number_text(name), self.unit)

    def parts(self) -> tuple[str, ...]:
        """Return the names of the figure's parts: ("value",) or ("low", "high")."""
        return ("value",) if self.value is not None else ("low", "high")

    def is_plausible(self, part: str) -> bool:
        """Return whether a part lies within the plausible limits; a missing limit excludes nothing."""
        number = self.part(part)
        above = self.plausible_low is None or number >= self.plausible_low
        below = self.plausible_high is None or number <= self.plausible_high
        return above and below

    def key_line(self, key: str) -> int:
        """Return the line of a key, or that of the row where the row lacks the key."""
        return self.lines.get(key, self.line)

    def hash(self) -> str:
        """Return the first 12 hex digits of the SHA-256 of what was checked, its limits, by whom and when."""
        joined = "|".join(self.written.get(key, "") for key in _HASHED)
        return hashlib.sha256(joined.encode()).hexdigest()[:12]


def with_unit(number: str, unit: str) -> str:
    """Return a written number with its unit; "1", the unit of a pure number, is not shown."""
    if unit == "1":
        return number
    return f"{number}%" if unit == "%" else f"{number} {unit}"


def figure_from(row: Node, file: str) -> Figure:
    """Make the Figure of a row that passed `check_shape` and `check_numbers`."""
    plain = row.plain()
    written = {key: node.written for key, node in row.value.items() if node.value is not None}
    texts: dict[str, Any] = {
        key: written.get(key)
        for key in ("source", "holds_for", "checked_by", "checked_on", "checked_value", "checked_hash")
    }
    numbers: dict[str, Any] = {key: plain.get(key) for key in (*PARTS, "plausible_low", "plausible_high")}
    return Figure(
        id=written["id"],
        label=written["label"],
        unit=written["unit"],
        basis=written["basis"],
        note=written["note"],
        safety=plain.get("safety") is True,
        written=written,
        lines={key: node.line for key, node in row.value.items()},
        file=file,
        line=row.line,
        **texts,
        **numbers,
    )


def check_numbers(row: Node, file: str, subject: str) -> list[Problem]:
    """Return the problems of a row's numbers: neither one value nor a range, or low above high."""
    has = {part for part in PARTS if part in row.value and row.value[part].value is not None}
    if has not in ({"value"}, {"low", "high"}):
        given = ", ".join(part for part in PARTS if part in has) or "none of them"
        return [
            Problem(
                file,
                row.line,
                f"{subject} has {given} of value, low and high",
                "a figure is either one number or a range",
                "give either `value`, or both `low` and `high`",
            )
        ]
    found = []
    for low, high in (("low", "high"), ("plausible_low", "plausible_high")):
        if low in row.value and high in row.value and row.value[low].value > row.value[high].value:
            found.append(
                Problem(
                    file,
                    row.value[low].line,
                    f"{subject}: {low} {row.value[low].written} is above {high} {row.value[high].written}",
                    "a range upside down holds nothing",
                    "swap them, or correct the wrong one",
                )
            )
    return found

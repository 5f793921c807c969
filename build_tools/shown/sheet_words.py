"""The words of a calculator's work sheet: labels, choices, settings and units in the book's language."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from build_tools.registers.registers import Registers
from build_tools.shown.marks import Marks
from build_tools.shown.units import shown_units
from calculators.shared.decimal_text import fixed, marked, plain
from calculators.shared.fields import Field, Output
from calculators.shared.words import DECIMAL_MARK, say

GIVEN_DIGITS = 6
"""Significant digits of a number that a person gave, which may have come from another unit."""


@dataclass(frozen=True, slots=True)
class SheetWords:
    """The words of calculator `name` on one page. `root` is the path from that page to the site's root."""

    name: str
    registers: Registers
    root: str

    def say(self, code: str, **values: object) -> str:
        """Return the sentence of a code, its placeholders filled with `values`.

        Raises:
            LookupError: the words have no such sentence.
        """
        return say(self.registers.words, code, values)

    def known(self, code: str) -> str | None:
        """Return the sentence of a code, or None where the words have none."""
        return self.say(code) if code in self.registers.words else None

    @property
    def marks(self) -> Marks:
        """Figures and hazard messages as everywhere in the book, for this page."""
        return Marks(self.registers, self.address("figures.html"))

    def label(self, field: Field | Output, path: str) -> str:
        """Return a field's label: the words' own where they have one, else the declaration's."""
        return self.known(f"{self.name}.{path}.label") or field.label

    def help(self, field: Field | Output, path: str) -> str:
        """Return a field's sentence of help, found in the same way."""
        return self.known(f"{self.name}.{path}.help") or field.help

    def choice(self, path: str, choice: object) -> str:
        """Return what a person reads for one choice of a field.

        They are looked up by the field's whole path, by its last name, and then among the general choices.

        Raises:
            LookupError: the words have none of these.
        """
        last = path.rpartition(".")[2]
        own = self.known(f"{self.name}.{path}.{choice}") or self.known(f"{self.name}.{last}.{choice}")
        return own or self.say(f"page.choice.{choice}")

    def unit(self, unit: str) -> str:
        """Return a unit as written after a number: "" for pure numbers, and for settings, said in words."""
        return "" if unit in ("", "1", "half turn") else unit

    def units(self, field: Field | Output) -> tuple[str, ...]:
        """Return a field's unit in each unit system, or the only one where all systems show it alike."""
        return shown_units(field.unit, field.name) or (self.unit(field.unit),)

    def by_units(self, texts: Sequence[str]) -> str | None:
        """Return a text in each unit system, as JSON for the page's script; None for a single text."""
        return json.dumps(texts, ensure_ascii=False) if len(texts) > 1 else None

    def number(self, value: float) -> str:
        """Return a number as it was given, with the language's decimal mark and never with an exponent."""
        text = fixed(value, 0) if abs(value) >= 1e6 else plain(value, GIVEN_DIGITS)
        return marked(text, self.registers.words[DECIMAL_MARK])

    def setting(self, half_turns: int) -> str:
        """Return a setting in words: "as found", or how many half turns tighter (above 0) or looser."""
        return self.say(setting_code(half_turns), count=abs(half_turns))

    def address(self, page: str) -> str:
        """Return the relative address of a page; `page` is its address from the site's root."""
        return f"{self.root.rstrip('/')}/{page}" if self.root not in ("", ".") else page


def setting_code(half_turns: int) -> str:
    """Return the code of the sentence for a setting; `half_turns` counts from the setting as found."""
    if half_turns == 0:
        return "page.setting.as-found"
    number = "one" if abs(half_turns) == 1 else "many"
    return f"page.setting.{'tighter' if half_turns > 0 else 'looser'}.{number}"

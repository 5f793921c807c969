"""The words of one picture: sentences by code, and how numbers are written in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from calculators.shared.decimal_text import marked, plain
from calculators.shared.fields import rounded
from calculators.shared.words import DECIMAL_MARK, say


@dataclass(frozen=True, slots=True)
class PlotWords:
    """The words of one calculator's picture.

    `confidence` is that of its intervals, 1. `units` maps an SI unit to the unit that the reader has chosen
    in its place: (its name, its size in SI units).
    """

    name: str
    words: Mapping[str, str]
    confidence: float = 0.0
    units: Mapping[str, tuple[str, float]] = field(default_factory=dict)

    @property
    def decimal_mark(self) -> str:
        """The language's decimal mark."""
        return self.words.get(DECIMAL_MARK, ".")

    @property
    def percent(self) -> float:
        """The confidence in percent."""
        return rounded(100 * self.confidence)

    def say(self, code: str, **values: object) -> str:
        """Return a sentence of this picture. Raises LookupError where the words have none."""
        return say(self.words, f"{self.name}.picture.{code}", values)

    def setting(self, half_turns: int) -> str:
        """Return a setting in half turns as text, with a true minus."""
        return marked(plain(half_turns), self.decimal_mark)

    def limits(self, lowest: int | None, highest: int | None) -> str:
        """Return the sentence on how much adjustment is left, as far as it was measured."""
        known = {"lowest": lowest, "highest": highest}
        shown = {key: self.setting(value) for key, value in known.items() if value is not None}
        return self.say("limits-" + ("-".join(shown) or "unknown"), **shown)

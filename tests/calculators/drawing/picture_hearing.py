"""Words that say nothing but their code and values, so that a test hears what a picture was to say."""

from __future__ import annotations

import re

from calculators.drawing.plot_words import PlotWords

Told = tuple[str, dict[str, str]]
"""A code, and its values as they were given."""


class Heard(PlotWords):
    """Stands in for the words of a picture."""

    def say(self, code: str, **values: object) -> str:
        """Write a code and its values so that they can be read back."""
        return "<" + "|".join([code, *(f"{name}={value}" for name, value in values.items())]) + ">"


class Terse(PlotWords):
    """Says one letter, so that no words are moved for want of room."""

    def say(self, code: str, **values: object) -> str:
        """Write the first letter of a code."""
        return code[0]


def heard(text: str) -> list[Told]:
    """Read back what was said, in order."""
    found = [part.split("|") for part in re.findall(r"<([^>]*)>", text)]
    return [(code, dict(value.split("=") for value in values)) for code, *values in found]


def codes(text: str) -> list[str]:
    """The codes alone."""
    return [code for code, _ in heard(text)]

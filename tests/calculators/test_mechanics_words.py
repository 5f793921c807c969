"""The mechanics' words: docstrings that name the inputs, examples that print, sentences that are reached."""

from __future__ import annotations

import doctest
import importlib
import inspect

import pytest

from tests.calculators.asking import WORDS

MECHANICS = ("counterbalance", "spring-rate", "dock-slope")
SENTENCES = {
    "counterbalance": [
        *(
            f"headline.{up}-{down}"
            for up in ("rises", "stalls", "stays")
            for down in ("easy", "hard", "alone")
        ),
        *(
            f"reason.{code}"
            for code in (
                "rises",
                "stalls-above-level",
                "stalls-below-level",
                "stays",
                "easy",
                "hard",
                "alone",
                "slack",
                "pulls-down",
                "band",
                "never-rises",
                "never-walks",
                "never-either",
                "never-both",
                "half-turn",
                "no-springs",
                "no-order",
            )
        ),
    ],
    "spring-rate": [
        "headline.rate",
        *(
            f"reason.{code}"
            for code in (
                "dimensions",
                "unusual-index",
                "points",
                "pull",
                "stress",
                "half-turn",
                "measuring",
                "replacement",
            )
        ),
    ],
    "dock-slope": [
        *(f"headline.{code}" for code in ("within-both", "too-steep", "out-of-reach", "out-of-both")),
        *(
            f"reason.{code}"
            for code in (
                "level",
                "uphill",
                "downhill",
                "within-limit",
                "beyond-limit",
                "within-reach",
                "beyond-reach",
                "changes",
                "not-decided",
            )
        ),
    ],
}
"""Every sentence; the tests of each calculator bring each of them about."""


@pytest.mark.parametrize("name", MECHANICS)
def test_examples_of_the_docstrings(name: str) -> None:
    """The worked example of each docstring prints what it says."""
    module = importlib.import_module(f"calculators.{name.replace('-', '_')}.calculator")
    assert doctest.testmod(module) == (0, 4 if name == "counterbalance" else 2)


@pytest.mark.parametrize("name", MECHANICS)
def test_docstrings_name_the_inputs(name: str) -> None:
    """The Args of each docstring name the declared inputs, in order, each with its unit."""
    module = importlib.import_module(f"calculators.{name.replace('-', '_')}.calculator")
    told = (inspect.getdoc(module.calculate) or "").partition("Args:\n")[2].partition("\n\nReturns:")[0]
    lines = [line.strip() for line in told.splitlines() if line.startswith("    ") and line[4] != " "]
    assert [line.partition(":")[0] for line in lines] == [field.name for field in module.INPUTS]
    scalars = [(field, line) for field, line in zip(module.INPUTS, lines, strict=True) if field.unit]
    assert [field.name for field, line in scalars if f", {field.unit};" not in line] == []


@pytest.mark.parametrize("name", MECHANICS)
def test_every_sentence_is_reached(name: str) -> None:
    """The words file has a sentence for each code, and none that nothing says."""
    told = {code for code in WORDS if code.startswith((f"{name}.headline.", f"{name}.reason."))}
    assert told == {f"{name}.{code}" for code in SENTENCES[name]}
    assert f"{name}.title" in WORDS

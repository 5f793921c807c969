"""The steps of a working as a test reads them."""

from __future__ import annotations

from typing import Any

import pytest

from calculators.workings import working
from tests.calculators.asking import ask


def steps(name: str, inputs: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """The steps of an answer, each as the last part of its code, with its values."""
    found = working(name, inputs, ask(name, inputs))
    return [(line["code"].rpartition(".working.")[2], line["values"]) for line in found]


def codes(name: str, inputs: dict[str, Any]) -> list[str]:
    """The steps alone."""
    return [code for code, _ in steps(name, inputs)]


def values(name: str, inputs: dict[str, Any], code: str) -> dict[str, Any]:
    """The values of the first step of a code."""
    return next(values for each, values in steps(name, inputs) if each == code)


def shown(expected: float, digits: int = 5) -> Any:
    """A number as it is to be shown: equal to its rounding."""
    return pytest.approx(float(f"{expected:.{digits - 1}e}"), rel=1e-12)

"""The working of rod-length: the change that the count asks for, beside the one that was measured."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.rod_length.calculator import CONFIDENCE
from calculators.shared.fields import rounded
from calculators.shared.statistics import normal_quantile
from calculators.shared.working_lines import Line, line, shown


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for inputs as on the wire and their answer."""
    factor = shown(normal_quantile((1 + CONFIDENCE) / 2))
    root = shown(2**0.5)
    values = {
        "half_turns": inputs["half_turns"],
        "pitch_mm": rounded(1000 * inputs["thread_pitch_m"]),
        "found_mm": rounded(1000 * inputs["length_found_m"]),
        "now_mm": rounded(1000 * inputs["length_now_m"]),
        "expected_mm": rounded(1000 * answer["expected_m"]),
        "change_mm": rounded(1000 * answer["change_m"]),
        "reading_mm": inputs["reading_uncertainty_mm"],
        "factor": factor,
        "root": root,
        "least_mm": shown(factor * root * inputs["reading_uncertainty_mm"]),
        "apart_mm": rounded(1000 * (answer["change_m"] - answer["expected_m"])),
        "witness_from": answer["witness_from"],
    }
    codes = ("expected", "change", "apart", "least", "witness")
    return [line(f"rod-length.working.{code}", **values) for code in codes]

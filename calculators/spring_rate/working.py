"""The working of spring-rate: the rate from dimensions or points, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.shared.working_lines import Line, line, shown
from calculators.spring_rate.fields import DIMENSIONS, OUTPUTS


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for inputs as on the wire and their answer."""
    found = {
        field.name: shown(answer[field.name])
        for field in OUTPUTS
        if field.kind == "number" and answer[field.name] is not None
    }
    given = {name: value for name, value in inputs.items() if name != "points"}
    values = {**given, **_points(inputs), **found}
    by_points = inputs[DIMENSIONS[0]] is None
    codes = ["rate-points"] if by_points else ["mean-diameter", "rate"]
    codes += ["force"] if "force_n" in found else []
    codes += [] if by_points else ["index", "wahl"]
    codes += ["stress"] if "shear_stress_pa" in found else []
    codes += ["half-turn-extension", "half-turn-force"] if "half_turn_force_n" in found else []
    return [line(f"spring-rate.working.{code}", **values) for code in codes]


def _points(inputs: Mapping[str, Any]) -> dict[str, float]:
    """Return the measured points by the names in the formula, the shorter length first."""
    rows = sorted(inputs["points"] or (), key=lambda row: float(row["length_m"]))
    return {f"{name}_{i + 1}": row[name] for i, row in enumerate(rows) for name in ("length_m", "force_n")}

"""The working of counterbalance: all moments at the angle with the least net moment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.shared.leveler_moments import GRAVITY
from calculators.shared.spring_geometry import TAUT_M, turned
from calculators.shared.working_lines import Line, line
from calculators.shared.working_lines import shown as rounded_to

DIGITS = 7
"""Significant digits. An extension is a small difference of two lengths, so these have more than others."""


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for inputs as on the wire and their answer."""
    row = min(answer["curve"], key=lambda each: each["net_rising_nm"])
    moments = {name: shown(value) for name, value in row.items() if name != "angle_deg"}
    values = {**inputs, "gravity": GRAVITY, "angle_deg": row["angle_deg"], **moments, **_spring(inputs, row)}
    pull = "pull" if values["extension_m"] > TAUT_M else "pull-none"
    down = "walk-down" if row["net_walking_nm"] > 0 else "walk-down-none"
    codes = (
        "angle",
        "anchor-x",
        "anchor-y",
        "length",
        "extension",
        pull,
        "spring-moment",
        "gravity-rising",
        "net-rising",
        "gravity-walking",
        "net-walking",
        down,
    )
    return [line(f"counterbalance.working.{code}", **values) for code in codes]


def shown(value: float) -> float:
    """Return a computed number rounded to the digits shown here."""
    return rounded_to(value, DIGITS)


def _spring(inputs: Mapping[str, Any], row: Mapping[str, float]) -> dict[str, float]:
    """Return the anchor's position and the spring's length, extension and force at the row's angle."""
    anchor = (inputs["platform_anchor_x_m"], inputs["platform_anchor_y_m"])
    x, y = turned(anchor, row["angle_deg"])
    length = ((inputs["frame_anchor_x_m"] - x) ** 2 + (inputs["frame_anchor_y_m"] - y) ** 2) ** 0.5
    extension = length - inputs["free_length_m"] + inputs["half_turns"] * inputs["thread_pitch_m"] / 2
    taut = extension > TAUT_M
    force = inputs["initial_tension_n"] + inputs["spring_rate_n_per_m"] * extension if taut else 0.0
    found = {"turned_x_m": x, "turned_y_m": y, "length_m": length, "extension_m": extension, "force_n": force}
    return {name: shown(value) for name, value in found.items()}

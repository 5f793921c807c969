"""The working of dock-slope: height over length, as an angle and as a slope."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.shared.fields import rounded
from calculators.shared.working_lines import Line, line, shown


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for inputs as on the wire and their answer."""
    values = {
        **inputs,
        "rise_m": rounded(inputs["bed_height_m"] - inputs["dock_height_m"]),
        "board_m": rounded(inputs["platform_length_m"] + inputs["lip_length_m"]),
        "slope_percent": shown(answer["slope_percent"]),
        "steep_percent": shown(abs(answer["slope_percent"])),
        "angle_deg": shown(answer["angle_deg"]),
    }
    values["sine"] = shown(values["rise_m"] / values["board_m"])
    limit = "within-limit" if answer["within_limit"] else "beyond-limit"
    reach = "within-reach" if answer["within_reach"] else "beyond-reach"
    codes = ("rise", "board", "sine", "angle", "slope", limit, reach)
    return [line(f"dock-slope.working.{code}", **values) for code in codes]

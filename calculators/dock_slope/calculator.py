"""How steep does the board lie from dock to truck bed, is that within the limit, and within the reach?

The platform and its extended lip are taken as one straight board, hinged at dock height, its end on the bed:

    h = bed height - dock height     sin t = h / (platform length + lip length)     slope = 100 tan t, %

Uphill to the truck counts above 0. It is within the limit where the slope, either way, is no more than the
limit, and within reach where h lies between minus the reach below and the reach above.

Limits: the lip's end touches the bed; a lip that lies farther in, a crowned platform, a bed that leans, and
the truck's springs under load all change the slope. Says nothing of grip, weather, load or who may drive.

Source: geometry. DGUV Regel 108-006, 4.4.1 (withdrawn 2023, used as state of the art, read), gives 12.5 %, or
about 7 degrees, as the limit for such boards; the owner's manual and the site's own rules come first.
"""

from __future__ import annotations

import math
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, Output, rounded
from calculators.shared.half_turns import sentence

NAME = "dock-slope"

INPUTS = (
    Field(
        name="dock_height_m",
        kind="number",
        unit="m",
        low=0,
        high=3,
        label="Height of the dock",
        help="From the driveway to the dock floor at the hinge.",
    ),
    Field(
        name="bed_height_m",
        kind="number",
        unit="m",
        low=0,
        high=3,
        label="Height of the truck bed",
        help="From the same driveway to the bed at its rear edge, as loaded now.",
    ),
    Field(
        name="platform_length_m",
        kind="number",
        unit="m",
        low=0.2,
        high=6,
        label="Length of the platform",
        help="From the hinge at the dock to the hinge of the lip.",
    ),
    Field(
        name="lip_length_m",
        kind="number",
        unit="m",
        low=0,
        high=2,
        label="Length of the lip",
        help="From its hinge to its end.",
    ),
    Field(
        name="slope_limit_percent",
        kind="number",
        unit="%",
        low=0.1,
        high=100,
        figure="dock-slope-limit",
        label="Steepest slope allowed",
        help="Rise over level distance, from the owner's manual.",
    ),
    Field(
        name="reach_above_m",
        kind="number",
        unit="m",
        low=0,
        high=2,
        label="Reach above the dock",
        help="How far above the dock floor the bed may stand, from the owner's manual.",
    ),
    Field(
        name="reach_below_m",
        kind="number",
        unit="m",
        low=0,
        high=2,
        label="Reach below the dock",
        help="How far below the dock floor the bed may stand, from the owner's manual; no minus sign.",
    ),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(
        name="slope_percent",
        kind="number",
        unit="%",
        label="Slope",
        help="Rise over level distance; uphill to the truck above 0.",
    ),
    Output(name="angle_deg", kind="number", unit="°", label="Angle", help="From level; uphill above 0."),
    Output(name="within_limit", kind="flag", label="Within the slope limit", help="Uphill or downhill."),
    Output(
        name="within_reach",
        kind="flag",
        label="Within reach",
        help="Whether the bed's height is one that the leveler is made to reach.",
    ),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
)


def calculate(
    *,
    dock_height_m: float,
    bed_height_m: float,
    platform_length_m: float,
    lip_length_m: float,
    slope_limit_percent: float,
    reach_above_m: float,
    reach_below_m: float,
) -> dict[str, Any]:
    """Return the slope, and whether it is within the limit and the reach.

    Args:
        dock_height_m: dock floor above the driveway, m; 0 to 3.
        bed_height_m: truck bed above the same driveway, m; 0 to 3.
        platform_length_m: dock hinge to lip hinge, m; 0.2 to 6.
        lip_length_m: lip hinge to the lip's end, m; 0 to 2.
        slope_limit_percent: steepest slope allowed, %; 0.1 to 100.
        reach_above_m: how far above the dock the bed may stand, m; 0 to 2.
        reach_below_m: how far below, m; 0 to 2.

    Returns:
        Every name of OUTPUTS: slope in %, angle in °, both above 0 uphill to the truck.

    Raises:
        BadInput: the bed farther above or below the dock than the board is long.

    Example:
        A slope of 1:8 is 12.5 %, 7.125 degrees; over a board of 2 m it rises 0.248069 m.

        >>> answer = calculate(
        ...     dock_height_m=1.2,
        ...     bed_height_m=1.448069,
        ...     platform_length_m=1.6,
        ...     lip_length_m=0.4,
        ...     slope_limit_percent=12.5,
        ...     reach_above_m=0.3,
        ...     reach_below_m=0.3,
        ... )
        >>> f"{answer['slope_percent']:.3f}", f"{answer['angle_deg']:.3f}", answer["within_reach"]
        ('12.500', '7.125', True)
    """
    rise, board = rounded(bed_height_m - dock_height_m), platform_length_m + lip_length_m
    if abs(rise) >= board:
        raise BadInput(
            InputProblem(
                "bed_height_m",
                bed_height_m,
                "bed-beyond-board",
                {"apart_mm": 1000 * abs(rise), "board_mm": 1000 * board},
            )
        )
    angle = math.asin(rise / board)
    slope = rounded(100 * math.tan(angle))
    within_limit = abs(slope) <= slope_limit_percent
    within_reach = -reach_below_m <= rise <= reach_above_m
    values = {
        "steep_percent": abs(slope),
        "limit_percent": slope_limit_percent,
        "apart_cm": 100 * abs(rise),
        "reach_above_cm": 100 * reach_above_m,
        "reach_below_cm": 100 * reach_below_m,
        "board_cm": 100 * board,
    }
    case = _case(within_limit, within_reach)
    codes = (
        f"headline.{case}",
        f"reason.{_way(rise)}",
        f"reason.{_limit(within_limit)}",
        f"reason.{_reach(within_reach)}",
        "reason.changes",
        "reason.not-decided",
    )
    headline, *reasons = (sentence(f"dock-slope.{code}", **values) for code in codes)
    return {
        "headline": headline,
        "slope_percent": slope,
        "angle_deg": math.degrees(angle),
        "within_limit": within_limit,
        "within_reach": within_reach,
        "reasons": reasons,
    }


def _case(within_limit: bool, within_reach: bool) -> str:
    if within_reach:
        return "within-both" if within_limit else "too-steep"
    return "out-of-reach" if within_limit else "out-of-both"


def _way(rise: float) -> str:
    return "level" if rise == 0 else "uphill" if rise > 0 else "downhill"


def _limit(within: bool) -> str:
    return "within-limit" if within else "beyond-limit"


def _reach(within: bool) -> str:
    return "within-reach" if within else "beyond-reach"

"""The inputs of counterbalance and the columns of its curve: lengths from the hinge, angles from level."""

from __future__ import annotations

import dataclasses

from calculators.shared.fields import Field, Output
from calculators.shared.half_turns import FARTHEST

_REACH_M = 8.0
"""No part of a dock leveler is farther from its hinge, m."""


def _place(name: str, label: str, help_: str) -> Field:
    return Field(name=name, kind="number", unit="m", low=-_REACH_M, high=_REACH_M, label=label, help=help_)


_MASSES = (
    Field(
        name="platform_mass_kg",
        kind="number",
        unit="kg",
        low=1,
        high=5000,
        label="Mass of the platform",
        help="Without the lip.",
    ),
    Field(
        name="platform_centre_m",
        kind="number",
        unit="m",
        low=0,
        high=6,
        label="Platform's center of mass",
        help="Distance from the hinge, along the platform.",
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
        name="lip_mass_kg",
        kind="number",
        unit="kg",
        low=0,
        high=1000,
        label="Mass of the lip",
        help="With everything that swings with it.",
    ),
    _place("lip_stored_x_m", "Hanging lip, along", "Its center of mass from the hinge, along the platform."),
    _place("lip_stored_y_m", "Hanging lip, up", "Its center of mass square to the platform; below is minus."),
    _place("lip_extended_x_m", "Lip out, along", "Its center of mass from the hinge, along the platform."),
    _place("lip_extended_y_m", "Lip out, up", "Its center of mass square to the platform; below is minus."),
)

_SPRINGS = (
    Field(
        name="spring_count",
        kind="whole",
        unit="1",
        low=0,
        high=12,
        label="Mainsprings",
        help="All alike and set alike; 0 shows the leveler without them.",
    ),
    Field(
        name="spring_rate_n_per_m",
        kind="number",
        unit="N/m",
        low=1,
        high=1e6,
        label="Rate of one spring",
        help="How much harder it pulls, the longer it is drawn.",
    ),
    Field(
        name="initial_tension_n",
        kind="number",
        unit="N",
        low=0,
        high=20_000,
        label="Initial tension",
        help="Pull at which the coils just begin to open; 0 if they stand open.",
    ),
    Field(
        name="free_length_m",
        kind="number",
        unit="m",
        low=0.01,
        high=_REACH_M,
        label="Free length",
        help="Distance of the two anchors at which the spring just begins to pull, at half turn 0.",
    ),
)

_ANCHORS = (
    _place("frame_anchor_x_m", "Anchor on the frame, along", "Toward the lip; behind the hinge is minus."),
    _place("frame_anchor_y_m", "Anchor on the frame, up", "Below the hinge is minus."),
    _place("platform_anchor_x_m", "Anchor on the platform, along", "As it lies with the platform level."),
    _place("platform_anchor_y_m", "Anchor on the platform, up", "As it lies with the platform level."),
)

_NUT = (
    Field(
        name="thread_pitch_m",
        kind="number",
        unit="m",
        low=0.0002,
        high=0.02,
        label="Pitch of the thread",
        help="Travel of the nut for a full turn; measured over several turns if in doubt.",
    ),
    Field(
        name="half_turns",
        kind="whole",
        unit="half turn",
        low=-FARTHEST,
        high=FARTHEST,
        label="Half turns made",
        help="From where the free length was measured; tightened counts up.",
    ),
)

_USE = (
    Field(
        name="friction_moment_nm",
        kind="number",
        unit="N·m",
        low=0,
        high=10_000,
        label="Friction moment",
        help="About the hinge, against any motion; half of what lies between just up and just down.",
    ),
    Field(
        name="angle_low_deg",
        kind="number",
        unit="°",
        low=-80,
        high=80,
        label="Lowest angle",
        help="Of the travel; below level is minus.",
    ),
    Field(
        name="angle_high_deg",
        kind="number",
        unit="°",
        low=-80,
        high=80,
        label="Highest angle",
        help="Of the travel, where the platform meets its upper stop.",
    ),
    Field(
        name="walk_down_x_m",
        kind="number",
        unit="m",
        low=0.1,
        high=6,
        label="Where the person stands",
        help="Distance from the hinge, along the platform.",
    ),
    Field(
        name="walk_down_limit_n",
        kind="number",
        unit="N",
        low=1,
        high=5000,
        label="Walk-down limit",
        help="Most weight that is to be needed there, from the owner's manual.",
    ),
)

INPUTS = (
    *(dataclasses.replace(each, group="weights") for each in _MASSES),
    *(dataclasses.replace(each, group="springs") for each in _SPRINGS),
    *(dataclasses.replace(each, group="anchors") for each in _ANCHORS),
    *(dataclasses.replace(each, group="nut") for each in _NUT),
    *(dataclasses.replace(each, group="use") for each in _USE),
)

CURVE = Output(
    name="curve",
    kind="rows",
    label="Moments over the travel",
    help="Upward above 0; the springs' own moment, then weight and net for the way up and the way down.",
    fields=(
        Output(name="angle_deg", kind="number", unit="°", label="Angle", help="From level, upward."),
        Output(
            name="spring_moment_nm",
            kind="number",
            unit="N·m",
            label="Springs",
            help="Of all springs together.",
        ),
        Output(
            name="gravity_rising_nm",
            kind="number",
            unit="N·m",
            label="Weight, lip hanging",
            help="Below 0, since it pulls down.",
        ),
        Output(
            name="net_rising_nm",
            kind="number",
            unit="N·m",
            label="Left to lift",
            help="Springs and weight with the lip hanging, less friction; it rises above 0.",
        ),
        Output(
            name="gravity_walking_nm",
            kind="number",
            unit="N·m",
            label="Weight, lip out",
            help="Below 0, since it pulls down.",
        ),
        Output(
            name="net_walking_nm",
            kind="number",
            unit="N·m",
            label="To be walked down",
            help="Springs and weight with the lip out, and friction; it comes down alone below 0.",
        ),
        Output(
            name="walk_down_force_n",
            kind="number",
            unit="N",
            label="Weight to walk it down",
            help="Of a person at the stated place; 0 where it comes down by itself.",
        ),
    ),
)

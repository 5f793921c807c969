"""A leveler of our own, for tests of the counterbalance, its pictures and its workings."""

from __future__ import annotations

from typing import Any

BALANCED: dict[str, Any] = {
    "platform_mass_kg": 300,
    "platform_centre_m": 0.9,
    "platform_length_m": 1.8,
    "lip_mass_kg": 40,
    "lip_stored_x_m": 1.82,
    "lip_stored_y_m": -0.2,
    "lip_extended_x_m": 2.0,
    "lip_extended_y_m": 0,
    "spring_count": 2,
    "spring_rate_n_per_m": 10_000,
    "initial_tension_n": 200,
    "free_length_m": 0.8,
    "frame_anchor_x_m": 1.2,
    "frame_anchor_y_m": -0.3,
    "platform_anchor_x_m": -0.2,
    "platform_anchor_y_m": -0.3,
    "thread_pitch_m": 0.0025,
    "half_turns": 0,
    "friction_moment_nm": 40,
    "angle_low_deg": -8,
    "angle_high_deg": 12,
    "walk_down_x_m": 1.5,
    "walk_down_limit_n": 300,
}
"""A leveler of our own: weights and springs that balance within a few hundred N m."""
FALLING: dict[str, Any] = {
    "spring_rate_n_per_m": 5000,
    "initial_tension_n": 300,
    "free_length_m": 0.6,
    "frame_anchor_x_m": 1.4,
    "frame_anchor_y_m": -0.4,
    "platform_anchor_x_m": 0.1,
    "platform_anchor_y_m": -0.42,
}
"""Springs whose moment falls off on the way up, so that it stalls part-way."""
LOOSE = BALANCED | {"free_length_m": 1.4}
"""Springs that hang loose on the way up."""

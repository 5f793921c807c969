"""A leveler told a second way: by potential energy, and by moments in arrays. Shares no code with ours."""

from __future__ import annotations

import random
from typing import Any

import mpmath
import numpy as np

G = 9.80665


def any_leveler(seed: int) -> dict[str, Any]:
    """Draw a leveler: anchors anywhere, over center or behind the hinge; springs slack, tight or none."""
    draw = random.Random(seed).uniform
    low = draw(-40, 10)
    return {
        "platform_mass_kg": draw(50, 900),
        "platform_centre_m": draw(0.4, 1.5),
        "platform_length_m": 2.5,
        "lip_mass_kg": draw(0, 120),
        "lip_stored_x_m": draw(1.5, 2.5),
        "lip_stored_y_m": draw(-0.4, 0.1),
        "lip_extended_x_m": draw(2.0, 3.0),
        "lip_extended_y_m": draw(-0.1, 0.1),
        "spring_count": seed % 5,
        "spring_rate_n_per_m": draw(2_000, 60_000),
        "initial_tension_n": draw(0, 1_500) if seed % 3 else 0.0,
        "free_length_m": draw(0.3, 1.1),
        "frame_anchor_x_m": draw(-0.5, 1.5),
        "frame_anchor_y_m": draw(-0.7, 0.7),
        "platform_anchor_x_m": draw(-0.4, 0.4),
        "platform_anchor_y_m": draw(-0.7, -0.1),
        "thread_pitch_m": draw(0.001, 0.005),
        "half_turns": random.Random(seed + 1).randint(-30, 30),
        "friction_moment_nm": draw(0, 300),
        "angle_low_deg": low,
        "angle_high_deg": low + draw(5, 60),
        "walk_down_x_m": draw(0.8, 2.4),
        "walk_down_limit_n": draw(100, 900),
    }


def liftable(seed: int) -> dict[str, Any]:
    """Draw a leveler that springs can balance: an arm below the hinge, pulled toward the lip."""
    draw = random.Random(seed).uniform
    leveler = any_leveler(seed)
    mass, center, arm, travel = draw(100, 400), draw(0.5, 1.0), draw(0.3, 0.5), draw(10, 25)
    pull, stretch = mass * G * center / arm, draw(0.3, 0.9)
    return leveler | {
        "platform_mass_kg": mass,
        "platform_centre_m": center,
        "lip_mass_kg": draw(0, 10),
        "spring_count": 1,
        "spring_rate_n_per_m": pull / stretch,
        "initial_tension_n": 0.0,
        "free_length_m": 1.5 - stretch,
        "frame_anchor_x_m": 1.5,
        "frame_anchor_y_m": -arm,
        "platform_anchor_x_m": draw(-0.2, 0.1),
        "platform_anchor_y_m": -arm,
        "half_turns": 0,
        "friction_moment_nm": draw(0, 60),
        "angle_low_deg": -travel / 2,
        "angle_high_deg": travel / 2,
        "walk_down_limit_n": draw(200, 900),
    }


def energy(leveler: dict[str, Any], angle: Any, lip: str) -> Any:
    """Return the potential energy, J, at an angle in radians: springs stretched, weights lifted."""
    sine, cosine = mpmath.sin(angle), mpmath.cos(angle)
    x, y = leveler["platform_anchor_x_m"], leveler["platform_anchor_y_m"]
    across = x * cosine - y * sine - leveler["frame_anchor_x_m"]
    up = x * sine + y * cosine - leveler["frame_anchor_y_m"]
    free = leveler["free_length_m"] - leveler["half_turns"] * leveler["thread_pitch_m"] / 2
    stretch = max(mpmath.mpf(0), mpmath.sqrt(across**2 + up**2) - free)
    spring = leveler["initial_tension_n"] * stretch + leveler["spring_rate_n_per_m"] * stretch**2 / 2
    lip_up = leveler[f"lip_{lip}_x_m"] * sine + leveler[f"lip_{lip}_y_m"] * cosine
    platform_up = leveler["platform_centre_m"] * sine
    weights = leveler["platform_mass_kg"] * platform_up + leveler["lip_mass_kg"] * lip_up
    return leveler["spring_count"] * spring + G * weights


def moment(leveler: dict[str, Any], angle_deg: float, lip: str) -> float:
    """Return minus the slope of the energy, N m, by mpmath's own derivative at 40 digits."""
    with mpmath.workdps(40):
        angle = mpmath.radians(mpmath.mpf(angle_deg))
        return float(-mpmath.diff(lambda at: energy(leveler, at, lip), angle, h=mpmath.mpf("1e-15")))


def nets(leveler: dict[str, Any], degrees: Any, half_turns: int) -> tuple[Any, Any]:
    """Return the net moments on the way up and on the way down, N m, over an array of angles.

    The spring's arm is its distance from the hinge: that of a line through two points, by its normal.
    """
    angle = np.radians(degrees)
    turn = np.exp(1j * angle)
    pin = complex(leveler["frame_anchor_x_m"], leveler["frame_anchor_y_m"])
    moving = turn * complex(leveler["platform_anchor_x_m"], leveler["platform_anchor_y_m"])
    along = pin - moving
    free = leveler["free_length_m"] - half_turns * leveler["thread_pitch_m"] / 2
    stretch = np.abs(along) - free
    pull = (leveler["initial_tension_n"] + leveler["spring_rate_n_per_m"] * stretch) * (stretch > 0)
    springs = leveler["spring_count"] * pull * np.imag(np.conj(moving) * along / np.abs(along))
    platform = leveler["platform_mass_kg"] * leveler["platform_centre_m"] * np.cos(angle)
    friction = leveler["friction_moment_nm"]
    down = {
        lip: G
        * (
            platform
            + leveler["lip_mass_kg"]
            * np.real(turn * complex(leveler[f"lip_{lip}_x_m"], leveler[f"lip_{lip}_y_m"]))
        )
        for lip in ("stored", "extended")
    }
    return springs - down["stored"] - friction, springs - down["extended"] + friction

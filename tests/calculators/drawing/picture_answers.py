"""Inputs and answers of pictures, made by hand, and a picture of them that says only codes and values."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from tests.calculators.drawing.picture_hearing import Heard
from tests.calculators.drawing.picture_reading import Drawn, parsed

WINDOW = {"window_low_s": 18.0, "window_high_s": 20.0}
TIMED = {"timing_uncertainty_s": 0.1, "confidence": 0.95}
"""No way of timing has a row, so no habit is taken off and every run stands where it was read."""
LIMITS = {"half_turns_min": -2, "half_turns_max": 3}


def drawn(plot: Any, inputs: dict[str, Any], answer: dict[str, Any]) -> tuple[Drawn, str]:
    """The picture of a hand-made answer, and its alternative; both say only codes and values."""
    svg, alternative = plot.draw(inputs, answer, Heard("test", {}, 0.95))
    shown = parsed(svg)
    assert shown.root.get("aria-label") == alternative
    assert re.fullmatch(r"<[^>]*>( <[^>]*>)*", alternative)
    return shown, alternative


FOLDS = {"runs_s": (17.6, 16.4, 17.0), **WINDOW, **TIMED}
MEAN = {"mean_s": 17.1, "low_s": 16.5, "high_s": 17.5, "verdict": "too-quick"}

READINGS = [{"half_turns": n, "fold_time_s": t} for n, t in ((0, 16.0), (-1, 15.2), (1, 17.0))]
PREDICTED = [
    {"half_turns": n, "fold_time_s": t, "low_s": t - 0.5, "high_s": t + 0.5}
    for n, t in ((0, 16.0), (1, 17.0), (2, 18.1), (3, 19.4))
]
VISIT = {"readings": READINGS, **WINDOW, **TIMED, **LIMITS}
LINE = {
    "predictions": PREDICTED,
    "rate_intercept": 1 / 16,
    "rate_slope": -1 / 272,
    "half_turns_to_go": 2,
    "do_now": 1,
}


def cycle(half_turns: int, rise: str, *, lip: bool = True) -> dict[str, Any]:
    """One observed cycle, easily walked down."""
    return {
        "half_turns": half_turns,
        "rise": rise,
        "lip_extended": lip,
        "walk_down": "easy",
        "walk_down_effort_n": None,
    }


CYCLES = [cycle(-1, "short"), cycle(0, "short"), cycle(0, "full-gentle"), cycle(1, "full-slams")]
BAND = [
    {"shows": "too-low", "half_turns": [-1]},
    {"shows": "good", "half_turns": [0]},
    {"shows": "too-high", "half_turns": [1, 2]},
]
SPRINGS = {"cycles": CYCLES, "walk_down_limit_n": None, **LIMITS}


def moments(*rows: tuple[float, float, float]) -> list[dict[str, float]]:
    """A curve from angles and both net moments."""
    return [{"angle_deg": angle, "net_rising_nm": up, "net_walking_nm": down} for angle, up, down in rows]


CURVE: dict[str, Any] = {
    "curve": moments((-8, 40, 90), (0, 20, 130), (12, -30, 110)),
    "stall_angle_deg": 5.0,
    "slack": [12.0],
    "peak_walk_down_force_n": 87.0,
}
TRAVEL = {"angle_low_deg": -8.0, "angle_high_deg": 12.0, "walk_down_x_m": 1.5, "walk_down_limit_n": 300.0}


def visit(day: str, time: float | None, run: int, line: float | None = None) -> dict[str, Any]:
    """One row of a series."""
    low, high = (None, None) if line is None else (line - 0.3, line + 0.3)
    return {"date": day, "fold_time_s": time, "run": run, "line_s": line, "low_s": low, "high_s": high}


SERIES = [
    visit("2026-01-10", 17.0, 1),
    visit("2026-02-10", 18.5, 2, 18.4),
    visit("2026-03-12", 18.7, 2, 18.8),
    visit("2026-04-11", 19.3, 2, 19.2),
    visit("2026-05-11", None, 2, 19.6),
]
TREND = {
    "series": SERIES,
    "next_check_by": "2026-05-11",
    "leaves_window_on": "2026-06-10",
    "earliest": "2026-05-20",
    "latest": "2026-07-10",
    "slope_s_per_30_days": 0.4,
}
VISITS = {"visits": [{"date": date(2026, 1, 10), "adjusted_half_turns": 0}], **WINDOW}

"""Every case that has a picture, and that picture as a test reads it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.pictures import DRAWN, picture
from tests.calculators.any_question import Question, answered_cases
from tests.calculators.asking import WORDS, ask
from tests.calculators.drawing.picture_reading import Drawn, parsed
from tests.calculators.leveler import LOOSE

STIFF = {"spring_count": 12, "spring_rate_n_per_m": 1e6, "free_length_m": 0.8}
WINDOW = {"window_low_s": 18, "window_high_s": 20, "timing_uncertainty_s": 0.1, "confidence": 0.95}
LEVEL = {
    "readings": [{"half_turns": n, "fold_time_s": 17.0} for n in (0, 0, 1, 1)],
    **WINDOW,
    "half_turns_min": -2,
    "half_turns_max": 2,
    "least_response_s": 0.5,
}
VISIT = {
    "visits": [{"date": "2026-01-31", "fold_time_s": 19, "adjusted_half_turns": 0}],
    **WINDOW,
    "longest_interval_months": 3,
}
FURTHER = [
    ("counterbalance", LOOSE),
    ("counterbalance", LOOSE | STIFF),
    ("turn-plan", LEVEL),
    ("counterbalance", LOOSE | STIFF | {"frame_anchor_x_m": 6, "platform_anchor_y_m": -2}),
    ("fold-trend", VISIT),
]
"""What no case of tests/cases brings into a picture."""
CASES = [question for question in answered_cases() if question[0] in DRAWN]
CASES += [(name, inputs, ask(name, inputs)) for name, inputs in FURTHER]
IDS = [f"{name}-{i}" for i, (name, _, _) in enumerate(CASES)]
ROUNDING = 0.051
"""Places are written to a tenth of a unit."""


def drawn(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> Drawn:
    """The parsed picture of an answer."""
    found = picture(name, inputs, answer, WORDS)
    assert found is not None
    return parsed(found["svg"])


def of(name: str) -> list[Question]:
    """The cases of one calculator."""
    return [question for question in CASES if question[0] == name]

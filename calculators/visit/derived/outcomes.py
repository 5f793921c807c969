"""What each calculator's answer can come to in a visit: the outcomes that a job's `answers` name.

lip-in, lip-back, lip-still-in and opposite-turns are of the visit's own: see lip_in.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.mainspring_plan.rules import STOPS as MAINSPRING_STOPS
from calculators.rod_length.calculator import VERDICTS
from calculators.turn_plan.stops import STOPS as TURN_STOPS

CYCLE = "cycle-right"
"""No calculator: whether the last operating cycle was right, where a job asks for a right one."""
OUTCOMES: Mapping[str, tuple[str, ...]] = {
    "mainspring-plan": ("tighten", "loosen", "cycle-again", "measure-first", "leave", *MAINSPRING_STOPS),
    "turn-plan": (
        *("tighten", "loosen", "time-again", "measure-first", "leave", *TURN_STOPS),
        *("lip-in", "lip-back", "lip-still-in", "opposite-turns"),
    ),
    "fold-time": (
        *("add-half-turn", "remove-half-turn", "leave", "time-again", "inspect"),
        *("lip-in", "opposite-turns"),
    ),
    "rod-length": VERDICTS,
    CYCLE: ("right", "not-right"),
}
QUIET = (("rod-length", "go-on"), ("mainspring-plan", "cycle-again"), (CYCLE, "right"))
"""Answers that need no screen of their own: what they say stands on the next one."""
ALWAYS_STOP = ("cannot-answer", "uneven")
"""Outcomes of the visit's own, where no calculator can be asked: they stop, whatever a job says."""
TURNS = {1: "tighten", -1: "loosen"}
SPRING_OF = {"mainspring-plan": "mainspring", "turn-plan": "lip-assist"}
"""The spring that a plan of half turns is for."""


def outcome_of(calculator: str, answer: Mapping[str, Any]) -> str:
    """Return the outcome of an answer that has no question left."""
    if "errors" in answer:
        return "cannot-answer"
    if calculator == "fold-time":
        return str(answer["next_action"])
    if calculator == "rod-length":
        return str(answer["verdict"])
    if answer["stop"]:
        return str(answer["stop"])
    if answer["do_now"]:
        return TURNS[answer["do_now"]]
    said = str(answer["headline"]["code"]).rpartition(".")[2]
    return "leave" if said == "leave-for-now" else said

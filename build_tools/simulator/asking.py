"""The one module that asks the calculators: what a visit has seen, as JSON, and what they answer."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any

from build_tools.simulator.hands import STARTS, STOPS
from build_tools.simulator.levelers import WINDOW
from build_tools.simulator.observer import Seen
from build_tools.simulator.platforms import Platform
from build_tools.simulator.visit import Visit
from calculators.answering import run
from calculators.shared.words import read_words

WORDS = Path(__file__).resolve().parents[2] / "content/registers/words/en.yml"
REGISTERED: dict[str, Any] = {
    "window_low_s": WINDOW[0],
    "window_high_s": WINDOW[1],
    "timing_uncertainty_s": 0.10,
    "confidence": 0.95,
    "least_response_s": 0.6,
    "repeatability": 0.007,
    "repeatability_df": 4,
    "inspect_limit": 0.025,
    "stick_s": 1.0,
    "free_drop_share": 0.3,
    "cold_below_c": 5.0,
    "hot_above_c": 35.0,
    "timing": [
        {"way": name, "bias_s": way.habit, "bias_uncertainty_s": way.registered, "scatter_s": way.scatter}
        for name, way in (STARTS | STOPS).items()
    ],
}
"""What a company has registered. Inputs of their own: the book's figures may change, this series stays."""
HISTORY = 0.15
"""How well a leveler's slope is known from its history, as a share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What the turn plan says. do_now in half turns; predictions by setting, low and high in s."""

    do_now: int
    stop: str | None
    leave: bool
    for_now: bool
    """True where it is left as it is without being closed as right."""
    question: Mapping[str, Any] | None
    predictions: Mapping[int, tuple[float, float | None]]


def advice(visit: Visit) -> Advice:
    """Ask the turn plan about a visit. Raises ValueError where it refuses the input."""
    answer = _answer("turn-plan", _inputs(visit))
    headline = answer["headline"]["code"]
    return Advice(
        do_now=answer["do_now"],
        stop=answer["stop"],
        leave=headline in ("turn-plan.headline.leave", "turn-plan.headline.leave-for-now"),
        for_now=headline == "turn-plan.headline.leave-for-now",
        question=answer["question"],
        predictions={row["half_turns"]: (row["low_s"], row["high_s"]) for row in answer["predictions"]},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MainspringAdvice:
    """What the mainspring plan says. do_now in half turns."""

    do_now: int
    stop: str | None
    leave: bool


def mainspring_advice(
    platform: Platform, seen: Sequence[tuple[int, Seen]], *, springs: int
) -> MainspringAdvice:
    """Ask the mainspring plan about the cycles seen, by setting. Raises ValueError where it refuses them."""
    answer = _answer(
        "mainspring-plan",
        {
            "cycles": [{"half_turns": setting, **asdict(words)} for setting, words in seen],
            "half_turns_min": platform.half_turns_min,
            "half_turns_max": platform.half_turns_max,
            "spring_count": springs,
        },
    )
    leave = answer["headline"]["code"] == "mainspring-plan.headline.leave"
    return MainspringAdvice(do_now=answer["do_now"], stop=answer["stop"], leave=leave)


def _answer(name: str, inputs: Mapping[str, Any]) -> Any:
    answer = json.loads(run(name, json.dumps(inputs), _words()))
    if "errors" in answer:
        raise ValueError(f"{name} refuses {inputs}: {answer['errors']}")
    return answer


def registered_habit(visit: Visit) -> float:
    """Return what the company takes readings to be off by, s."""
    return STARTS[visit.hands.started].habit + STOPS[visit.hands.stopped].habit


def _inputs(visit: Visit) -> dict[str, Any]:
    return {
        **REGISTERED,
        **(_history(visit) if visit.condition.history else {}),
        "readings": [
            {"half_turns": each.half_turns, "fold_time_s": each.seconds, "started": each.started}
            for each in visit.runs
        ],
        "stopped": visit.hands.stopped,
        "temperature_c": visit.condition.temperature_c,
        "half_turns_min": visit.leveler.half_turns_min,
        "half_turns_max": visit.leveler.half_turns_max,
        "aim": "middle" if visit.condition.middle else "first-inside",
        "answers": [
            {"question": question, "field": field, "answer": answer}
            for (question, field), answer in visit.answers.items()
        ],
    }


def _history(visit: Visit) -> dict[str, float]:
    """Return the slope of this lip about its window, as visits before have shown it."""
    times = visit.leveler.times
    at = min(times, key=lambda n: abs(times[n] - sum(WINDOW) / 2))
    other = at - 1 if at - 1 in times else at + 1
    slope = (1 / times[at] - 1 / times[other]) * (at - other)
    return {
        "prior_slope_per_s_per_half_turn": slope * (1 + HISTORY * visit.luck),
        "prior_slope_sd_per_s_per_half_turn": HISTORY * abs(slope),
    }


@cache
def _words() -> Mapping[str, str]:
    return read_words(WORDS.read_text(encoding="utf-8"))

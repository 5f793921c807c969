"""The half-turn table of the pocket card: every row is asked of the calculators, so that both agree."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from build_tools.book.asking import ask

MAINSPRING, LIP = "mainspring-plan", "turn-plan"
SPRINGS = 2
"""How many mainsprings the table is asked for; the way to turn is the same for any number."""
ENOUGH = 6
"""Half turns left both ways where the table is asked: it tells the way, never how much is left."""
LIPS = (True, False)
WALKS = ("easy", "firm", "cannot")

Words = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Seen:
    """What a technician may see in an operating cycle: all that the row stands for."""

    rise: str
    lips: tuple[bool, ...]
    walks: tuple[str, ...]

    def cycles(self) -> Iterator[dict[str, Any]]:
        """Return each single cycle that the row stands for, at the setting as found."""
        for lip, walk in product(self.lips, self.walks):
            yield {"half_turns": 0, "rise": self.rise, "lip_extended": lip, "walk_down": walk}


SEEN = (
    Seen("short", LIPS, ("easy", "firm")),
    Seen("short", LIPS, ("cannot",)),
    Seen("full-gentle", (False,), ("easy",)),
    Seen("full-gentle", (False,), ("firm", "cannot")),
    Seen("full-gentle", (True,), ("cannot",)),
    Seen("full-gentle", (True,), ("easy", "firm")),
    Seen("full-slams", (True,), WALKS),
    Seen("full-slams", (False,), WALKS),
)
"""Every cycle there is, each in one row, in the order in which a technician sees it."""

TIMED = {
    "too-quick": (-3.0, -3.1, -2.9),
    "too-slow": (3.0, 3.1, 2.9),
    "in-window": (0.0, 0.1, -0.1),
    "spread": (-3.0, 0.0, 3.0),
}
"""Timings by what is told of them, in seconds from the middle of a window two seconds wide."""
_WINDOW_S = (18.0, 20.0)


class CardRefused(ValueError):
    """A calculator gives no single answer for a row; the message names the row."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the calculator asks for: do_now half turns, or the reason to stop."""

    do_now: int
    stop: str | None

    @property
    def way(self) -> str:
        """Name it: tighten, loosen, leave or stop."""
        if self.stop:
            return "stop"
        return {1: "tighten", -1: "loosen", 0: "leave"}[self.do_now]


def mainspring_answer(seen: Seen, words: Words) -> Answer:
    """Ask for every cycle that a row stands for. Raises CardRefused where the answers differ."""
    answers = {_ask(MAINSPRING, mainspring_inputs(cycle), words) for cycle in seen.cycles()}
    if len(answers) != 1:
        raise CardRefused(f"{MAINSPRING} gives {len(answers)} different answers for {seen}")
    return answers.pop()


def mainspring_inputs(cycle: Mapping[str, Any]) -> dict[str, Any]:
    """Return the question of two such cycles, with adjustment left both ways."""
    return {"cycles": [cycle, cycle], "spring_count": SPRINGS, **_limits()}


def lip_answer(told: str, words: Words) -> Answer:
    """Ask for one kind of timings; `told` is a key of TIMED."""
    return _ask(LIP, lip_inputs(TIMED[told]), words)


def lip_inputs(offsets_s: Sequence[float]) -> dict[str, Any]:
    """Return the question of runs so far from the middle of the window, all at the setting as found."""
    low, high = _WINDOW_S
    runs = [{"half_turns": 0, "fold_time_s": (low + high) / 2 + offset} for offset in offsets_s]
    window = {"window_low_s": low, "window_high_s": high}
    timing = {"timing_uncertainty_s": 0.1, "confidence": 0.95, "least_response_s": 0.5}
    return {"readings": runs, **window, **timing, **_limits()}


def _limits() -> dict[str, int]:
    return {"half_turns_min": -ENOUGH, "half_turns_max": ENOUGH}


def _ask(calculator: str, inputs: Mapping[str, Any], words: Words) -> Answer:
    answer = json.loads(ask(calculator, json.dumps(inputs), words))
    if "errors" in answer:
        raise CardRefused(f"{calculator} refuses the card's question: {answer['errors']}")
    headline = answer["headline"]["code"].rpartition(".")[2]
    if not answer["stop"] and answer["do_now"] == 0 and headline != "leave":
        raise CardRefused(f"{calculator} asks for more before it answers: {headline}")
    return Answer(answer["do_now"], answer["stop"])

"""The half-turn table of the pocket card: each row is what the calculators answer, so that both agree."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from build_tools.book.asking import ask

MAINSPRING, LIP = "mainspring-plan", "turn-plan"
SPRINGS = 2
"""The number of mainsprings in the questions; the direction to turn is the same for any number."""
ENOUGH = 6
"""Half turns left in both directions in the questions: the table says which way, never how much is left."""
LIPS = (True, False)
WALKS = ("easy", "firm", "cannot")

Words = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Seen:
    """What a technician may see in an operating cycle: every combination that one row covers."""

    rise: str
    lips: tuple[bool, ...]
    walks: tuple[str, ...]

    def cycles(self) -> Iterator[dict[str, Any]]:
        """Yield each cycle that the row covers, as in mainspring-plan's `cycles`, at the setting as found."""
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
"""Every possible cycle, each in one row, in the order in which a technician notices it."""

TIMED = {
    "too-quick": (-3.0, -3.1, -2.9),
    "too-slow": (3.0, 3.1, 2.9),
    "in-window": (0.0, 0.1, -0.1),
    "spread": (-3.0, 0.0, 3.0, -3.0, 3.0),
}
"""Runs by what they show, in seconds from the middle of a window that is two seconds wide."""
_WINDOW_S = (18.0, 20.0)


class CardRefused(ValueError):
    """A calculator has no single answer for a row; the message names the row."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the calculator asks for: `do_now` half turns (1 tightens), or the reason to stop."""

    do_now: int
    stop: str | None

    @property
    def action(self) -> str:
        """The action: "tighten", "loosen", "leave" or "stop"."""
        if self.stop:
            return "stop"
        return {1: "tighten", -1: "loosen", 0: "leave"}[self.do_now]


def mainspring_answer(seen: Seen, words: Words) -> Answer:
    """Return the one answer to all cycles that a row covers.

    Raises:
        CardRefused: mainspring-plan refuses a cycle, or its answers differ.
    """
    answers = {_ask(MAINSPRING, mainspring_inputs(cycle), words) for cycle in seen.cycles()}
    if len(answers) != 1:
        raise CardRefused(f"{MAINSPRING} gives {len(answers)} different answers for {seen}")
    return answers.pop()


def mainspring_inputs(cycle: Mapping[str, Any]) -> dict[str, Any]:
    """Return mainspring-plan's inputs for three such cycles, with adjustment left in both directions."""
    return {"cycles": [cycle] * 3, "spring_count": SPRINGS, **_limits()}


def lip_answer(timing: str, words: Words) -> Answer:
    """Return the answer to one kind of runs; `timing` is a key of TIMED.

    Raises:
        CardRefused: turn-plan refuses the runs, or asks for more before it answers.
    """
    return _ask(LIP, lip_inputs(TIMED[timing]), words)


def lip_inputs(offsets_s: Sequence[float]) -> dict[str, Any]:
    """Return turn-plan's inputs for runs at the setting as found, `offsets_s` from the window's middle."""
    low, high = _WINDOW_S
    runs = [{"half_turns": 0, "fold_time_s": (low + high) / 2 + offset} for offset in offsets_s]
    window = {"window_low_s": low, "window_high_s": high}
    timing = {
        "timing_uncertainty_s": 0.1,
        "confidence": 0.95,
        "least_response_s": 0.5,
        "inspect_limit": 0.025,
    }
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

"""What a technician's hands do on each screen of the reference visit, as moves on the page's own buttons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from build_tools.measuring.visit_taps import Leveler, is_one_tap, to_enter
from build_tools.visit_trials.page import Move

TECHNICIAN = "Ana"
SEQUENCE = "set-a-leveler"
LEVELER_CLASS = "brackenlow-a1"
MAIN = ".ht-visit-acts .ht-visit-main"
WATCH = "dialog[data-stopwatch][open]"
PRESS = f"{WATCH} [data-press]"
BEYOND_REST_MS = 600
"""Past every pause in which a page takes a second touch for a bounce."""


@dataclass
class Hands:
    """The technician of the reference visit: which leveler is in hand, and what the watch has shown so far."""

    leveler: Leveler = field(default_factory=Leveler)
    sound_tried: bool = False
    """Whether this page's stopwatch has been heard: until then its first press tries the sound."""

    def moves(self, screen: Mapping[str, Any], runs: int = 0) -> list[Move]:
        """Return the moves that work a screen; `runs` is how many runs the visit has timed.

        Raises RuntimeError for a kind of screen that the reference visit does not come to.
        """
        kind = screen["kind"]
        if kind in ("answer", "changed"):
            return [*rest(), ("tap", MAIN)]
        if kind == "leave":
            return [("tap", "[data-act=close]")]
        if kind == "runs":
            return [*rest(), *self._timed(screen, runs)]
        if kind == "steps":
            return [*rest(), *self._entered(screen)]
        raise RuntimeError(f"a {kind} in the reference visit: {screen}")

    def _entered(self, screen: Mapping[str, Any]) -> Iterator[Move]:
        wanted = to_enter(screen)
        for entry in wanted:
            typed, value = self.leveler.entry(screen, entry)
            at = f'.ht-visit-entry[data-ask="{entry["ask"]}"]'
            if entry["kind"] in ("choice", "flag"):
                yield ("tap", f"{at} .ht-visit-choice:nth-child({choice_number(entry, value)})")
            else:
                yield ("type", f"{at} input", typed)
        if not is_one_tap(wanted):
            yield ("tap", MAIN)

    def _timed(self, screen: Mapping[str, Any], runs: int) -> Iterator[Move]:
        """Time as many runs as are wanted: a tap begins the countdown, a tap stops the run."""
        if screen["least"]:
            yield ("tap", MAIN)  # opens the stopwatch
            if not self.sound_tried:
                yield ("tap", PRESS)
                yield ("skip", BEYOND_REST_MS)
                yield ("tap", PRESS)
                self.sound_tried = True
        for number in range(1, screen["least"] + 1):
            if number > 1:
                yield ("tap", PRESS)
            yield ("see", f"{WATCH}[data-state=running]")
            yield ("skip", 1000 * self.leveler.fold_shown_s(screen, runs + number))
            yield ("tap", PRESS)
            yield ("see", f"{WATCH}[data-state=stopped]")
            yield ("see", f"{WATCH} .ht-stopwatch-runs li:nth-child({len(screen['runs']) + number})")
            yield ("skip", BEYOND_REST_MS)
        yield ("tap", f"{WATCH} .ht-visit-runs-done" if screen["least"] else MAIN)


def begin(plan: Mapping[str, Any], leveler_class: str = LEVELER_CLASS) -> list[Move]:
    """Return the moves that begin the reference visit at the first customer's first door of this class."""
    customer = plan["customers"][0]
    door = next(at for at, row in enumerate(customer["doors"], 1) if row["leveler"] == leveler_class)
    asked = next(at for at, row in enumerate(plan["sequences"], 1) if row["id"] == SEQUENCE)
    line = "[data-choose={}] li:nth-child({}) button"
    return [
        ("tap", line.format("customer", 1)),
        ("tap", line.format("door", door)),
        ("tap", line.format("asked", asked)),
        ("type", "[data-field=technician]", TECHNICIAN),
        ("tap", "[data-act=begin]"),
    ]


def rest() -> Iterator[Move]:
    """The pause in which a thumb that bounces answers nothing."""
    yield ("skip", BEYOND_REST_MS)


def choice_number(entry: Mapping[str, Any], value: Any) -> int:
    """Return which of an entry's buttons stands for a value, counted from 1."""
    values = [choice["value"] for choice in entry.get("choices") or ()] or [True, False]
    return values.index(value) + 1


def taps_of(moves: list[Move]) -> int:
    """Count the taps among moves."""
    return sum(what == "tap" for what, *_ in moves)


def typed_in(moves: list[Move]) -> int:
    """Count the characters typed."""
    return sum(len(text) for what, *given in moves if what == "type" for text in given[1:])

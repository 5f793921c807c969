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
MAIN = ".ht-visit-acts .ht-visit-main:last-child"
WATCH = "dialog[data-stopwatch][open]"
PRESS = f"{WATCH} [data-press]"
BEYOND_REST: Move = ("skip", 600)
"""Past every pause in which a page takes a second touch for a bounce."""
JUST_BEFORE_THE_TONE: Move = ("skip", 9_900)
"""The book's shortest countdown is 10 s."""


@dataclass(frozen=True)
class Act:
    """One thing that a screen is told: its moves, and as the door takes it; a run `stays` there."""

    moves: list[Move]
    told: dict[str, Any]
    stays: bool = False


@dataclass
class Hands:
    """The technician of the reference visit: which leveler is in hand, and whether the watch was heard."""

    leveler: Leveler = field(default_factory=Leveler)
    sound_tried: bool = False
    """Whether this page's stopwatch has been heard: until then its first press tries the sound."""

    def acts(self, screen: Mapping[str, Any], runs: int = 0) -> list[Act]:
        """Return the acts that work a screen; `runs` is how many runs the visit has timed.

        Raises RuntimeError for a kind of screen that the reference visit does not come to.
        """
        kind = screen["kind"]
        if kind in ("answer", "changed"):
            return [Act([BEYOND_REST, ("tap", MAIN)], {"do": "answer" if kind == "answer" else "go-on"})]
        if kind == "leave":
            told = {"do": "close", "how": "closing-cycle", "why": "", "signed": TECHNICIAN}
            return [Act([("tap", "[data-act=close]")], told)]
        if kind == "runs":
            return [*self._timed(screen, runs)]
        if kind == "steps":
            return [self._entered(screen)]
        raise RuntimeError(f"a {kind} in the reference visit: {screen}")

    def _entered(self, screen: Mapping[str, Any]) -> Act:
        wanted = to_enter(screen)
        moves: list[Move] = [BEYOND_REST]
        known = [entry for entry in screen["entries"] if entry["value"] is not None]
        entries = {entry["ask"]: entry["value"] for entry in known}
        for entry in wanted:
            typed, entries[entry["ask"]] = self.leveler.entry(screen, entry)
            at = f'.ht-visit-entry[data-ask="{entry["ask"]}"]'
            if entry["kind"] in ("choice", "flag"):
                number = choice_number(entry, entries[entry["ask"]])
                moves.append(("tap", f"{at} .ht-visit-choice:nth-child({number})"))
            else:
                moves.append(("type", f"{at} input", typed))
        if not is_one_tap(wanted):
            moves.append(("tap", MAIN))
        return Act(moves, {"do": "done", "entries": entries})

    def _timed(self, screen: Mapping[str, Any], runs: int) -> Iterator[Act]:
        """Time as many runs as are wanted: a tap begins the countdown, a tap stops the run."""
        for number in range(1, screen["least"] + 1):
            fold_s = self.leveler.fold_shown_s(screen, runs + number)
            moves = [
                *(self._opened() if number == 1 else [BEYOND_REST, ("tap", PRESS)]),
                ("see", f"{WATCH}[data-state=counting]"),
                JUST_BEFORE_THE_TONE,
                ("see", f"{WATCH}[data-state=running]"),
                ("skip", 1000 * fold_s),
                ("tap", PRESS),
                ("see", f"{WATCH}[data-state=stopped]"),
                ("see", f"{WATCH} .ht-stopwatch-runs li:nth-child({len(screen['runs']) + number})"),
            ]
            yield Act(moves, {"do": "run", "fold_time_s": fold_s, "started": "countdown"}, stays=True)
        last = f"{WATCH} .ht-visit-runs-done" if screen["least"] else MAIN
        yield Act([BEYOND_REST, ("tap", last)], {"do": "done", "entries": {}})

    def _opened(self) -> list[Move]:
        """Open the stopwatch; its countdown begins with it once its sound was heard."""
        was_tried, self.sound_tried = self.sound_tried, True
        tried: list[Move] = [("tap", PRESS), BEYOND_REST, ("tap", PRESS)]
        return [BEYOND_REST, ("tap", MAIN), *([] if was_tried else tried)]


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


def choice_number(entry: Mapping[str, Any], value: Any) -> int:
    """Return which of an entry's buttons stands for a value, counted from 1."""
    values = [choice["value"] for choice in entry.get("choices") or ()] or [True, False]
    return values.index(value) + 1

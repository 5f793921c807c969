"""The taps and the typed characters of a whole visit, worked through the visit's one door.

The leveler is that of the reference visit: its lip does not come all the way out. Two cycles as found, half a
turn of each mainspring, the lip timed, two half turns of the lip-assist spring, the closing cycle. A Done, an
answer, a choice is one tap; a timed run is two. What is typed counts by its characters, lengths in mm.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calculators.visiting import run

MOST_SCREENS = 400
LEVELER = {"sequence": "set-a-leveler", "door": "3", "asked_for": "the lip stays in", "technician": "Ana"}


@dataclass
class Leveler:
    """A leveler as a technician meets it: what it shows at each setting, and what is typed about it."""

    threads: Mapping[str, str] = field(default_factory=lambda: {"tighten": "6", "loosen": "5"})
    rod_mm: float = 41
    pitch_mm: float = 2.54
    lip_out_from: int = 1
    """The half turns of the mainspring from which on its lip comes all the way out."""
    folds_s: tuple[float, ...] = (12.4, 13.5, 14.9)
    """The fold at each half turn of the lip-assist spring, s."""
    temperature: str = "18"
    lead: str = "Kim"

    def entry(self, screen: Mapping[str, Any], entry: Mapping[str, Any]) -> tuple[str, Any]:
        """Return what is typed for an entry, "" for a choice, and its value."""
        ledger = screen["ledger"]
        spring = entry["spring"] or "mainspring"
        net = ledger.get(spring, {}).get("net") or 0
        out = (ledger.get("mainspring", {}).get("net") or 0) >= self.lip_out_from
        taps = {"rise": "full-gentle", "lip": out, "walk-down": "easy", "tool": "rule"}
        if entry["of"] in taps or entry["ask"] in taps:
            return "", taps[entry["ask"] if entry["ask"] in taps else entry["of"]]
        if entry["of"].startswith("threads"):
            text = self.threads[entry["of"].rpartition("-")[2]]
            return text, int(text)
        if entry["of"] in ("rod-found", "rod-now"):
            text = f"{self.rod_mm + round(2 * net * self.pitch_mm / 2) / 2:g}"
            return text, float(text) / 1000
        if entry["of"] == "temperature":
            return self.temperature, float(self.temperature)
        if entry["of"] == "lead":
            return self.lead, self.lead
        raise RuntimeError(f"nobody said what to enter for {entry}")

    def fold_shown_s(self, screen: Mapping[str, Any], number: int) -> float:
        """Return what the stopwatch shows at the setting of a screen, the `number`th run of the visit, s."""
        setting = screen["ledger"].get("lip-assist", {}).get("net") or 0
        fold = self.folds_s[min(setting, len(self.folds_s) - 1)]
        return round(fold + 0.11 + (-0.06, 0.05, 0.01)[number % 3], 2)


@dataclass
class Count:
    """What a visit took."""

    taps: int = 0
    typed: int = 0
    screens: int = 0
    shown: list[tuple[str, str, str]] = field(default_factory=list)
    """Each screen in order: its kind, its job, its steps."""
    events: list[dict[str, Any]] = field(default_factory=list)


def count_visit(
    plan: str, words: Mapping[str, str], leveler_class: str, leveler: Leveler | None = None
) -> Count:
    """Work the reference visit to its close.

    Args:
        plan: the text of the visits' plan.
        words: sentences by code.
        leveler_class: the class of the leveler in hand.
        leveler: what it shows; the reference's for None.

    Raises:
        RuntimeError: a screen that cannot be worked, with what it said; or a visit without end.
    """
    work = _Work(plan, words, leveler or Leveler())
    work.append([{"kind": "opened", "values": {**LEVELER, "leveler_class": leveler_class}}])
    for _ in range(MOST_SCREENS):
        screen = work.call("screen", {})["screen"]
        work.count.screens += 1
        work.count.shown.append((screen["kind"], screen["job"], " ".join(screen["steps"])))
        if screen["kind"] == "closed":
            return work.count
        work.do(screen)
    raise RuntimeError(f"no end after {MOST_SCREENS} screens: {work.count.shown[-5:]}")


def to_enter(screen: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return the entries of a screen that nothing is known of yet and that it does not go on without."""
    return [entry for entry in screen["entries"] if entry["value"] is None and not entry["optional"]]


def is_one_tap(wanted: Sequence[Mapping[str, Any]]) -> bool:
    """Tell whether one choice is all that a screen asks for: its tap is its Done."""
    return len(wanted) == 1 and wanted[0]["kind"] in ("choice", "flag")


class _Work:
    def __init__(self, plan: str, words: Mapping[str, str], leveler: Leveler) -> None:
        self.plan, self.words, self.leveler = plan, words, leveler
        self.count = Count()
        self.runs = 0

    def call(self, what: str, more: Mapping[str, Any]) -> dict[str, Any]:
        request = {"plan": self.plan, "events": self.count.events, **more}
        found: dict[str, Any] = json.loads(run(what, json.dumps(request), self.words))
        if "errors" in found:
            raise RuntimeError(f"{found['errors']} at {self.count.shown[-1:]} for {more}")
        return found

    def append(self, events: list[dict[str, Any]]) -> None:
        for event in events:
            seq = len(self.count.events)
            self.count.events.append({**event, "v": 1, "id": f"{seq:08x}", "seq": seq, "at": ""})

    def act(self, do: str, **values: Any) -> None:
        self.append(self.call("act", {"act": {"do": do, **values}})["append"])

    def tap(self, do: str, **values: Any) -> None:
        self.count.taps += 1
        self.act(do, **values)

    def do(self, screen: Mapping[str, Any]) -> None:
        """Work one screen: one tap, and what it asks for."""
        kind = screen["kind"]
        if kind == "answer":
            self.tap("answer")
        elif kind == "leave":
            self.tap("close", how="closing-cycle")
        elif kind == "runs":
            self.time(screen)
            self.done(screen)
        elif kind == "steps":
            self.done(screen)
        else:
            raise RuntimeError(f"a {kind} in the reference visit: {screen}")

    def time(self, screen: Mapping[str, Any]) -> None:
        for _ in range(screen["least"]):
            self.runs += 1
            self.count.taps += 2
            shown = self.leveler.fold_shown_s(screen, self.runs)
            self.act("run", fold_time_s=shown, started="countdown", stopped="sharp")

    def done(self, screen: Mapping[str, Any]) -> None:
        entries = {}
        wanted = to_enter(screen)
        for entry in wanted:
            typed, value = self.leveler.entry(screen, entry)
            self.count.typed += len(typed)
            entries[entry["ask"]] = value
        choices = [entry for entry in wanted if entry["kind"] in ("choice", "flag")]
        self.count.taps += len(choices) + (0 if is_one_tap(wanted) else 1)
        self.act("done", entries=entries)

"""The visit's own Python beside the browser: what a log leads to, what an act comes to, of one edition."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from build_tools.places import PROJECT
from calculators.shared.words import read_words
from calculators.visiting import run

WORDS = PROJECT / "content" / "registers" / "words" / "en.yml"
PLAN = "half-turn/visit_plan.json"
Log = Sequence[Mapping[str, Any]]


@dataclass(frozen=True)
class Engine:
    """The door to visits, with the plan of one edition."""

    plan: str
    words: Mapping[str, str]

    @classmethod
    def of(cls, site: Path) -> Engine:
        """Return the engine of a finished book."""
        return cls((site / PLAN).read_text("utf-8"), read_words(WORDS.read_text("utf-8")))

    def ask_plan(self) -> dict[str, Any]:
        """Return the plan as an object."""
        plan: dict[str, Any] = json.loads(self.plan)
        return plan

    def screen(self, log: Log) -> dict[str, Any]:
        """Return the screen that a log leads to."""
        screen: dict[str, Any] = self.ask("screen", events=log)["screen"]
        return screen

    def ask(self, what: str, **given: Any) -> dict[str, Any]:
        """Ask the door. Raises RuntimeError with what it refused."""
        found: dict[str, Any] = json.loads(run(what, json.dumps({"plan": self.plan, **given}), self.words))
        if "errors" in found:
            raise RuntimeError(f"{what}: {found['errors']}")
        return found

"""One visit to one leveler: what a person there can do, what it shows, and how it ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from build_tools.simulator import damper
from build_tools.simulator.conditions import Condition
from build_tools.simulator.hands import Hands, drawn_hands
from build_tools.simulator.levelers import Leveler, drawn_leveler

SETTLES_AFTER = 8.0
"""Runs after which most of the warming is done."""
STICKS = 1 / 3
MISTYPED = 0.04


@dataclass(slots=True)
class Run:
    """One timed run as entered, and what nobody at the dock can know: its true setting and reading, s."""

    half_turns: int
    seconds: float
    started: str
    true_setting: int
    read: float


@dataclass(slots=True, kw_only=True)
class Visit:
    """A visit under way. `entered` is the setting on the sheet, `nut` the true one."""

    leveler: Leveler
    hands: Hands
    condition: Condition
    chance: np.random.Generator
    nut: int = 0
    entered: int = 0
    turns: int = 0
    turns_away: int = 0
    """Turns that led further from as found."""
    folds: int = 0
    runs: list[Run] = field(default_factory=list)
    answers: dict[tuple[str, str], str] = field(default_factory=dict)
    """What was answered, by question and place on the sheet."""
    asked: int = 0
    """Questions answered so far."""
    luck: float = 0.0
    """How far the history kept of this leveler is off, in its own standard deviations."""
    ended: str = ""
    """How it ended: "left", or the name of the stop."""
    foretold: tuple[int, int, Mapping[int, tuple[float, float | None]]] | None = None
    """The latest predictions: loosest and tightest setting timed by then, and low and high by setting, s."""

    def true_time(self, half_turns: int | None = None) -> float:
        """Return the fold time at a true setting, s, as the manual means it: damper warm, no scatter."""
        setting = self.nut if half_turns is None else half_turns
        return self.leveler.lip.fold_time(0 if self.condition.dead else setting)

    def time_a_run(self) -> Run:
        """Fold the lip once and write its time down."""
        seconds = self.true_time() * self._thickness()
        seconds *= 1 + self.condition.repeatability * float(self.chance.standard_normal())
        if self.condition.stick_s and self.chance.random() < STICKS:
            seconds += self.condition.stick_s
        read = self.hands.reading(min(seconds, 600.0), self.chance)
        typed = read
        if self.condition.ten_fold and self.chance.random() < MISTYPED:
            typed = round(read * float(self.chance.choice([0.1, 10.0])), 2)
        self.folds += 1
        run = Run(self.entered, min(600.0, max(0.2, typed)), self.hands.started, self.nut, read)
        self.runs.append(run)
        return run

    def turn(self, way: int) -> None:
        """Turn the nut half a turn; +1 tightens, as far as the person knows."""
        self.turns += 1
        self.turns_away += self.entered * way >= 0
        forgotten = self.condition.forgets_turn and self.turns == 1
        self.entered += 0 if forgotten else way
        self.nut += -way if self.condition.wrong_way else way

    def at(self, half_turns: int) -> list[Run]:
        """Return the runs entered at a setting."""
        return [run for run in self.runs if run.half_turns == half_turns]

    def _thickness(self) -> float:
        end_c, more_c = self.condition.temperature_c, damper.degrees_for(self.condition.drift)
        return damper.thickness(
            damper.warmed(end_c - more_c, self.folds, by_c=more_c, settles_after=SETTLES_AFTER)
        )


def begin(condition: Condition, chance: np.random.Generator) -> Visit:
    """Draw a visit: a leveler, a person, and the first run still to be made."""
    hands = drawn_hands(condition.started, condition.stopped, chance, habit_off=condition.habit_off)
    return Visit(
        leveler=drawn_leveler(chance),
        hands=hands,
        condition=condition,
        chance=chance,
        luck=float(chance.uniform(-1.5, 1.5)),
    )

"""What a step can ask for, and which calculator's input each thing entered becomes.

An ask is written beside a step's id. Each has one entry or a few; an entry is a field, declared as a
calculator's is, and its name in the act and on the screen. Asks without entries are recorded by doing.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from calculators.mainspring_plan.calculator import INPUTS as MAINSPRING
from calculators.rod_length.calculator import INPUTS as ROD
from calculators.shared.fields import Field
from calculators.turn_plan.calculator import INPUTS as TURN


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to enter. The field's name is the value's name in the event."""

    name: str
    """Its name on the screen and in an act; one a spring has "/2" and so on behind it."""
    field: Field
    tied: str = ""
    """The input that it becomes, "" where it is the record's own."""
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """What a step asks for."""

    entries: tuple[Entry, ...] = ()
    each_spring: bool = False
    """True where every mainspring has one of its own."""


def _field(fields: tuple[Field, ...], name: str) -> Field:
    return next(field for field in fields if field.name == name)


_CYCLE = _field(MAINSPRING, "cycles").fields
_THREADS = Field(
    name="threads", kind="whole", low=0, high=200, unit="1", label="Full threads", help="Counted by eye."
)
_LENGTH = dataclasses.replace(_field(ROD, "length_now_m"), name="length_m", label="Rod")
_TOOL = Field(
    name="tool", kind="choice", choices=("rule", "caliper"), label="Measured with", help="One tool."
)
_TEXT = Field(name="text", kind="text", least=1, most=200, label="Text", help="In your own words.")

ASKS: dict[str, Ask] = {
    "rise": Ask((Entry("rise", _field(_CYCLE, "rise"), "mainspring-plan.cycles.rise"),)),
    "lip": Ask((Entry("lip", _field(_CYCLE, "lip_extended"), "mainspring-plan.cycles.lip_extended"),)),
    "walk-down": Ask(
        (
            Entry("walk-down", _field(_CYCLE, "walk_down"), "mainspring-plan.cycles.walk_down"),
            Entry(
                "walk-down-effort",
                _field(_CYCLE, "walk_down_effort_n"),
                "mainspring-plan.cycles.walk_down_effort_n",
                optional=True,
            ),
        )
    ),
    "threads-to-tighten": Ask((Entry("threads-to-tighten", _THREADS, "half_turns_max"),), each_spring=True),
    "threads-to-loosen": Ask((Entry("threads-to-loosen", _THREADS, "half_turns_min"),), each_spring=True),
    "limits": Ask(),
    "rod-found": Ask(
        (Entry("rod-found", _LENGTH, "rod-length.length_found_m"), Entry("tool", _TOOL)), each_spring=True
    ),
    "rod-now": Ask(
        (Entry("rod-now", _LENGTH, "rod-length.length_now_m"), Entry("tool", _TOOL)), each_spring=True
    ),
    "half-turn": Ask(),
    "which-way": Ask(),
    "nuts-tried": Ask(),
    "runs": Ask(),
    "temperature": Ask(
        (Entry("temperature", _field(TURN, "temperature_c"), "fold-time.temperature_c", optional=True),)
    ),
    "window": Ask(
        (
            Entry("window-low", _field(TURN, "window_low_s"), "fold-time.window_low_s"),
            Entry("window-high", _field(TURN, "window_high_s"), "fold-time.window_high_s"),
        )
    ),
    "springs": Ask(
        (
            Entry(
                "springs",
                dataclasses.replace(_field(MAINSPRING, "spring_count"), name="spring_count"),
                "mainspring-plan.spring_count",
            ),
        )
    ),
    "lock-on": Ask(),
    "lock-off": Ask(),
    "lead": Ask((Entry("lead", dataclasses.replace(_TEXT, label="Dock lead")),)),
    "note": Ask((Entry("note", dataclasses.replace(_TEXT, label="Note"), optional=True),)),
    "photo": Ask(),
}
"""Every ask by name. `springs` is asked by the engine itself where nobody gave the number."""

FIELDS = {entry.name: entry for ask in ASKS.values() for entry in ask.entries}
"""Every entry by its name."""

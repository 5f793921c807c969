"""What both plans share: the adjustment that is left, and the answer to what the next half turn is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import Field, InputProblem, Output
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING

FARTHEST = 100
"""Half turns from the as-found setting, in either direction; no adjusting nut of this kind has so many."""

HALF_TURNS = Field(
    name="half_turns",
    kind="whole",
    unit="half turn",
    low=-FARTHEST,
    high=FARTHEST,
    label="Half turns from as found",
    help="0 is the setting as found; tightened counts up, loosened counts down.",
)

LIMITS = (
    Field(
        name="half_turns_min",
        kind="whole",
        unit="half turn",
        low=-FARTHEST,
        high=0,
        may_be_null=True,
        label="Loosest setting allowed",
        help="Half turns you can loosen from as found, as a minus figure; empty where not measured.",
    ),
    Field(
        name="half_turns_max",
        kind="whole",
        unit="half turn",
        low=0,
        high=FARTHEST,
        may_be_null=True,
        label="Tightest setting allowed",
        help="Half turns you can tighten from as found, by the thread that shows; empty where not measured.",
    ),
)


def sentence(code: str, **values: object) -> dict[str, Any]:
    """Return one sentence as data: its code in the words, and the values that it names."""
    return {"code": code, "values": values}


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to do now and why. do_now is -1 (loosen), 0 or +1 (tighten); stop is None or the stop's name."""

    headline: dict[str, Any]
    reasons: tuple[dict[str, Any], ...] = ()
    do_now: int = 0
    stop: str | None = None
    question: Mapping[str, Any] | None = None
    """What is asked before anything else; then nothing is turned."""
    to_go: int | None = None
    """Half turns likely to go in all, where the plan can predict it."""
    at_the_springs: bool = False
    """True where the action brings someone to the springs: a turn, a lock nut, a measurement there."""
    moves_the_leveler: bool = False
    """True where the action is a cycle or a timing."""

    def outputs(self) -> dict[str, Any]:
        """Return the outputs that every plan has, by name."""
        return {
            "headline": self.headline,
            "do_now": self.do_now,
            "stop": self.stop,
            "before_turning": BEFORE_TURNING if self.at_the_springs else (),
            "before_cycling": BEFORE_CYCLING if self.moves_the_leveler else (),
            "reasons": self.reasons,
        }


def decision_outputs(stops: tuple[str, ...]) -> tuple[Output, ...]:
    """Return the declaration of a Decision's outputs, for a plan with these stops."""
    return (
        Output(name="headline", kind="sentence", label="Answer", help="What to do now, to be read aloud."),
        Output(
            name="do_now",
            kind="whole",
            unit="half turn",
            label="Half turn to make now",
            help="+1 tightens, -1 loosens, 0 turns nothing.",
        ),
        Output(
            name="stop",
            kind="choice",
            choices=stops,
            may_be_null=True,
            label="Stop",
            help="Why the adjusting ends here; none where it does not.",
        ),
        Output(
            name="before_turning",
            kind="hazards",
            label="Before anyone is at the springs",
            help="Hazards to deal with before a turn; empty where nobody goes there.",
        ),
        Output(
            name="before_cycling",
            kind="hazards",
            label="Before the leveler moves",
            help="Hazards to deal with before a cycle; empty where none is asked for.",
        ),
        Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
    )


def outside_limits(
    settings: Iterable[int], at: str, half_turns_min: int | None, half_turns_max: int | None
) -> list[InputProblem]:
    """Return a problem for each setting outside the adjustment that is left; `at` is the list's name.

    Where a limit was not measured (None) it is FARTHEST.
    """
    low = -FARTHEST if half_turns_min is None else half_turns_min
    high = FARTHEST if half_turns_max is None else half_turns_max
    return [
        InputProblem(f"{at}[{i}].half_turns", setting, "outside-limits", {"lowest": low, "highest": high})
        for i, setting in enumerate(settings)
        if not low <= setting <= high
    ]

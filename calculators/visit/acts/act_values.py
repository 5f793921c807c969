"""What each act brings with it, declared as a calculator declares its inputs."""

from __future__ import annotations

import dataclasses

from calculators.shared.fields import Field
from calculators.turn_plan.calculator import INPUTS as TURN
from calculators.visit.log.events import CLOSINGS, DIRECTIONS, LONGEST, SPRINGS


def text(name: str, least: int = 0, most: int = LONGEST, *, optional: bool = False) -> Field:
    """A line of text."""
    return Field(name=name, kind="text", least=least, most=most, optional=optional, label="", help="")


def whole(name: str, low: int, high: int, *, optional: bool = False) -> Field:
    """A whole number from low to high."""
    return Field(name=name, kind="whole", low=low, high=high, optional=optional, label="", help="")


def choice(name: str, *choices: str, optional: bool = False) -> Field:
    """One of several."""
    return Field(name=name, kind="choice", choices=choices, optional=optional, label="", help="")


def flag(name: str) -> Field:
    """Yes or no."""
    return Field(name=name, kind="flag", label="", help="")


_READING = {field.name: field for field in next(each for each in TURN if each.name == "readings").fields}

RUN = (
    _READING["fold_time_s"],
    dataclasses.replace(_READING["started"], optional=False),
    choice("stopped", "sharp", "no-longer-moves", optional=True),
)

TURNED = (
    choice("spring", *SPRINGS),
    whole("which", 1, 12, optional=True),
    choice("direction", *DIRECTIONS),
    text("unordered", 1),
)

PART = (text("name", 1, 200), whole("count", 1, 1000), flag("used"))

LOCK = (text("person", 1, 200), text("place", 1, 200), flag("on"))

PHOTO = (
    text("hash", 1, 128),
    whole("bytes", 0, 10**9),
    whole("width", 1, 100_000),
    whole("height", 1, 100_000),
)

CLOSE = (choice("how", *CLOSINGS), text("why", optional=True), text("signed", optional=True))

NAME = (text("name", 1, 200),)
KEEP = dataclasses.replace(flag("keep"), optional=True)
BY = Field(name="by", kind="date", optional=True, label="", help="")

"""The control of a work sheet that chooses its unit system."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.units import SYSTEMS
from calculators.shared.fields import Field, Output


def units_choice(fields: Sequence[Field | Output], words: SheetWords) -> Markup | None:
    """Return the control, hidden until the page's script runs; None where all systems show the same units."""
    if not any(_changes(field, words) for field in fields):
        return None
    name = f"{words.name}-units"
    buttons = [
        tag(
            "button",
            words.say(f"page.units.{system}"),
            type="button",
            data_units_choice=system,
            aria_pressed="true" if system == SYSTEMS[0] else "false",
        )
        for system in SYSTEMS
    ]
    title = tag("span", words.say("page.units"), id=name)
    return tag("p", title, *buttons, class_="ht-units", role="group", aria_labelledby=name, hidden=True)


def _changes(field: Field | Output, words: SheetWords) -> bool:
    return len(words.units(field)) > 1 or any(_changes(column, words) for column in field.fields)

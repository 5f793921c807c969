"""To which leveler and visit a work sheet belongs, and the question before it is used for another."""

from __future__ import annotations

from markupsafe import Markup

from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords

BELONGS = {
    "fold-time": "visit",
    "turn-plan": "visit",
    "mainspring-plan": "visit",
    "fold-trend": "leveler",
}
"""The sheets that hold what was counted or timed at one leveler; a visit's sheet also belongs to its day."""


def belonging_place(words: SheetWords) -> Markup | None:
    """Return the line that names leveler and day, with the choices for a sheet that may be another's."""
    if words.name not in BELONGS:
        return None
    choices = tag(
        "span",
        tag("button", words.say("page.belonging.keep"), type="button", data_act="keep-sheet"),
        tag("button", words.say("page.belonging.new"), type="button", data_act="new-sheet"),
        tag("button", type="button", data_act="own-sheet", hidden=True),
        class_="ht-sheet-actions",
        data_belonging_choices=True,
        hidden=True,
    )
    return tag(
        "div",
        tag("p", data_belonging_text=True, role="status"),
        choices,
        class_="ht-belonging",
        data_part="belonging",
        data_search_exclude=True,
        hidden=True,
    )

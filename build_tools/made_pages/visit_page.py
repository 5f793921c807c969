"""The page on which visits are worked: a place for its script, and what is said where that cannot run."""

from __future__ import annotations

import json

from build_tools.registers.registers import Registers
from build_tools.shown.html_parts import tag
from build_tools.shown.marks import Marks


def visit_page(registers: Registers, *, revised: str) -> str:
    """Return the page as Markdown; `revised` is its date (YYYY-MM-DD)."""
    marks = Marks(registers, "")
    without = tag("p", marks.say("visit.without-script"), data_part="without-script")
    place = tag("div", without, class_="ht-visit", data_visit="", data_search_exclude=True)
    return (
        f"---\ntitle: {json.dumps(marks.say('visit.title'))}\nkind: reference\n"
        f"summary: {json.dumps(marks.say('visit.summary'))}\nrevised: {revised}\n---\n\n"
        f"# {marks.say('visit.title')}\n\n{place}\n"
    )

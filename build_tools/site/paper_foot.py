"""The foot of every printed sheet: page name, company, office and edition, as attributes of the page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from build_tools.shown.marks import Marks


def foot_attributes(name: str, extra: Mapping[str, Any], marks: Marks) -> Markup:
    """Return the attributes of `<html>`. Only from there can the margin of a sheet take its words.

    Args:
        name: what the page is called.
        extra: `extra` of mkdocs.yml with the edition's date; what it leaves out is left out.
        marks: the book's own words.
    """
    office = " ".join(str(extra[key]) for key in ("office", "office_phone") if extra.get("office_phone"))
    date = extra.get("edition_date")
    edition = marks.say("changes.edition", date=date) if date else ""
    parts = [str(part) for part in (extra.get("company"), office, edition) if part]
    return Markup(' data-paper-name="{}" data-paper-foot="{}"').format(name, " · ".join(parts))

"""What the line about keeping says before any script runs, and the age from which an edition is old."""

from __future__ import annotations

from collections.abc import Mapping

from build_tools.book.book import OLD_AFTER
from build_tools.registers.registers import Registers
from build_tools.shown.html_parts import tag

EMPTY = '<p data-status="offline"></p>'
"""As authors and the theme write it."""


def with_first_words(html: str, words: Mapping[str, str]) -> str:
    """Fill each empty status line with what holds until a script fills it, or for good where none can run."""
    told = tag(
        "p",
        tag("span", words["page.offline.untold"], class_="ht-untold"),
        tag("span", words["page.offline.from-disk"], class_="ht-from-disk"),
        data_status="offline",
    )
    return html.replace(EMPTY, str(told))


def old_after_days(registers: Registers) -> int | None:
    """Return the figure's days, or None where the book has none."""
    figure = registers.figures.get(OLD_AFTER)
    return None if figure is None or figure.value is None else int(figure.value)

"""What the line about keeping says before any script runs, and the age from which an edition is old."""

from __future__ import annotations

from collections.abc import Mapping

from build_tools.book.book import Book
from build_tools.shown.html_parts import tag
from build_tools.reading.problems import Problem
from build_tools.registers.registers import Registers

EMPTY = '<p data-status="offline"></p>'
"""As authors and the theme write it."""
OLD_AFTER = "edition-old-after"
"""The figure of the company, in days; a book without it never calls itself old."""


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
    """Give the figure's days, or None where the book has none."""
    figure = registers.figures.get(OLD_AFTER)
    return None if figure is None or figure.value is None else int(figure.value)


def check_age(book: Book) -> list[Problem]:
    """Give the problem of a figure that no phone can count days by."""
    figure = book.registers.figures.get(OLD_AFTER)
    if figure is None or (figure.unit == "days" and figure.value is not None and figure.value % 1 == 0):
        return []
    what = f"the figure '{OLD_AFTER}' is not a whole number of days"
    why = "phones count the days since the edition's date to tell its reader that it is old"
    return [Problem(figure.file, figure.line, what, why, "write `value: 90` and `unit: days` (an example)")]

"""Figures in use: every id and part exists, and no number with a unit is typed straight into a procedure."""

from __future__ import annotations

import re
from collections.abc import Iterable

from build_tools.book.book import Book
from build_tools.reading.lines import FIGURE_USE, line_of
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.registers import Registers

_NUMBER = r"(?:\d+(?:[.,/]\d+)*|\d*[½¼¾])"
_UNITS = (
    r"%|°(?:\s?[CF])?|(?:"
    r"s|secs?|seconds?|min|mins|minutes?|h|hrs?|hours?|days?|weeks?|months?|years?|"
    r"mm|cm|m|km|met(?:er|re)s?|ft|foot|feet|inch(?:es)?|yards?|"
    r"N|kN|newtons?|kg|kilograms?|lbs?|lbf|pounds?|psi|bar|"
    r"percent|degrees?|half[ -]turns?|turns?|cycles?|runs?|threads?"
    r")(?![\w-])"
    # "in" is a unit only where it does not lead on to something that is inside something.
    r"|in(?=\.?(?:\s*$|[.,;:)]|\s+(?:of|or|and|long|wide|deep|high|thick|clear)\b))"
)
BARE_FIGURE = re.compile(
    rf"(?<![\w.,/#-]){_NUMBER}(?:\s?(?:to|or|and|-|\u2013|\u2014|\u2212|±)\s?{_NUMBER})?"
    rf"[ \u00a0-]?(?:{_UNITS})",
    re.M,
)
_LINK_TARGET = re.compile(r"\]\([^)\n]*\)|<[^>\n]*>|^ {0,3}\[[^\]]+\]:.*$", re.M)
_LINK_TEXT = re.compile(r"\[[^\[\]]*\](?=\()")
_STEP_OR_BLOCK = re.compile(r"\{#[^}\n]*\}|^ *//{2,}.*$", re.M)


def check_figures(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every problem with figures in pages."""
    found = []
    for page in pages:
        for use in page.scan.figure_uses:
            found += use_problems(book.registers, page.file, use.line, use.id, use.part)
        found += _stray_braces(page)
        if page.kind == "procedure":
            found += _bare_figures(page)
    return found


def use_problems(registers: Registers, file: str, line: int, id_: str, part: str) -> list[Problem]:
    """Return what is wrong with one `{{ id }}` or `{{ id.part }}`."""
    figure = registers.figures.get(id_)
    if id_ in registers.left_out:
        return []
    if figure is None:
        fix = suggestion(id_, registers.figures, otherwise="add it to the register")
        return [
            Problem(
                file, line, f"unknown figure '{id_}'", "content/registers/figures.yml has no such id", fix
            )
        ]
    if part and part not in figure.parts():
        return [
            Problem(
                file,
                line,
                f"figure '{id_}' has no part '{part}'",
                f"the figure is {figure.text()}, its parts: {', '.join(figure.parts())}",
                f"write '{{{{ {id_} }}}}' or '{{{{ {id_}.{figure.parts()[0]} }}}}'",
            )
        ]
    return []


def bare_figures(text: str) -> Iterable[tuple[int, str]]:
    """Return (offset, words) of each number with a unit in a text whose code is blanked out.

    Figure braces, link texts and targets, step ids and block lines do not count.
    """
    for pattern in (FIGURE_USE, _LINK_TEXT, _LINK_TARGET, _STEP_OR_BLOCK):
        # A dot, not a space, so that words on both sides do not run together into a new figure.
        text = pattern.sub(lambda found: re.sub(r"[^\n]", ".", found[0]), text)
    return [(found.start(), found[0].strip()) for found in BARE_FIGURE.finditer(text)]


def _bare_figures(page: Page) -> list[Problem]:
    masked = page.scan.masked
    return [
        Problem(
            page.file,
            line_of(masked, at),
            f"'{words}' is typed straight into a procedure",
            "a figure lives once, in the register, with its basis and its check",
            "add it to content/registers/figures.yml and write its id here: {{ the-id }}",
        )
        for at, words in bare_figures(masked)
    ]


def _stray_braces(page: Page) -> list[Problem]:
    rest = FIGURE_USE.sub(lambda use: "." * len(use[0]), page.scan.masked)
    why = "the reader would see the braces"
    fix = "write {{ figure-id }} whole and on one line, or put the braces in backticks"
    return [
        Problem(page.file, line_of(rest, found.start()), f"'{found[0]}' opens or closes no figure", why, fix)
        for found in re.finditer(r"\{\{|\}\}", rest)
    ]


def check_register_figures(book: Book) -> list[Problem]:
    """Return every problem with figures in the sentences of registers."""
    registers = book.registers
    rows = [(row.file, row.line, f"{row.what} {row.avoid}") for row in registers.hazards.values()]
    rows += [(row.file, row.line, row.meaning) for row in registers.terms.values()]
    return [
        problem
        for file, line, text in rows
        for use in FIGURE_USE.finditer(text)
        for problem in use_problems(registers, file, line, use["id"], use["part"] or "")
    ]

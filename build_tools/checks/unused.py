"""Rows of the registers that nothing in the book uses: a warning, since a page to come may want them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from build_tools.blocks.pocket_card_block import figures_on_cards
from build_tools.book.book import REGISTERS, Book
from build_tools.book.fault_words import path_texts
from build_tools.checks.drawings import terms_shown
from build_tools.reading.lines import FIGURE_USE
from build_tools.reading.problems import Problem
from build_tools.registers.figures import Figure
from build_tools.registers.rows import Hazard, Source, Term
from build_tools.sheets.given import figure_ids
from build_tools.sheets.timing.own_timing import FIGURES as OWN_TIMING
from calculators.answering import NAMES, module
from calculators.shared import hazards

STOPWATCH_FIGURES = ("warm-up-cycles", "timing-runs")
"""The work sheets name these by id."""


def check_unused(book: Book) -> list[Problem]:
    """Return a warning for each figure, hazard, term and source that nothing uses."""
    registers = book.registers
    written = _register_texts(book)
    used = {
        "figure": _used_figures(book, written),
        "hazard": _used_hazards(book),
        "term": _used_terms(book),
        "source": _used_sources(book, written),
    }
    rows: dict[str, Iterable[Figure | Hazard | Term | Source]] = {
        "figure": registers.figures.values(),
        "hazard": registers.hazards.values(),
        "term": registers.terms.values(),
        "source": registers.sources.values(),
    }
    return [
        _unused(noun, row.id, row.file, row.line)
        for noun, found in rows.items()
        for row in found
        if row.id not in used[noun]
    ]


def _unused(noun: str, id_: str, file: str, line: int) -> Problem:
    what = f"nothing uses the {noun} '{id_}'"
    why = "a row that no page shows is never looked at again, and grows old"
    return Problem(file, line, what, why, "use it on a page, or take the row out", warning=True)


def _register_texts(book: Book) -> dict[str, str]:
    folder = book.docs / REGISTERS
    files = [path for path in sorted(folder.rglob("*.yml")) if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_text("utf-8", errors="replace") for path in files}


def _used_figures(book: Book, written: dict[str, str]) -> set[str]:
    on_pages = {use.id for page in book.pages.values() for use in page.scan.figure_uses}
    taken = {page.text("takes") for page in book.pages.values()} | figures_on_cards(book.pages.values())
    in_registers = {use["id"] for text in written.values() for use in FIGURE_USE.finditer(text)}
    offered = {field.figure.partition(".")[0] for name in NAMES for field in module(name).INPUTS}
    given = {*figure_ids(), *STOPWATCH_FIGURES, *OWN_TIMING.values()}
    return on_pages | taken | in_registers | offered | given | _linked(book, "figure")


def _used_hazards(book: Book) -> set[str]:
    shown = {
        block.argument for page in book.pages.values() for block in page.scan.blocks if block.name == "hazard"
    }
    shown |= {id_ for path in book.registers.faults.values() for id_ in path.all_cautions()}
    return shown | {*hazards.BEFORE_TURNING, *hazards.BEFORE_CYCLING} | _linked(book, "hazard")


def _used_terms(book: Book) -> set[str]:
    read = [page.passages for page in book.pages.values()]
    told = [sentence.text for found in read for passage in found for sentence in passage.sentences]
    told += [f"{row.title} {row.what} {row.avoid}" for row in book.registers.hazards.values()]
    told += [text.text for path in book.registers.faults.values() for text in path_texts(path)]
    told += [page.text(key) for page in book.pages.values() for key in ("title", "summary")]
    text = _simple(" ".join([*told, *book.registers.words.values()]))
    terms = book.registers.terms.values()
    named = {row.id for row in terms if row.leads_to or _simple(row.term) in text}
    return named | terms_shown(book.pages.values(), book.registers) | _linked(book, "term")


def _simple(text: str) -> str:
    return re.sub(r"[\s-]+", " ", text.lower())


def _used_sources(book: Book, written: dict[str, str]) -> set[str]:
    """Every register names its sources under a key `source`, so that one reading finds them all."""
    rest: Iterable[str] = (text for name, text in written.items() if name != "sources.yml")
    named = re.compile(r"(?:^[\s-]*|[{,][ \t]*)source:[ \t]*[\"']?([a-z0-9-]+)", re.M)
    return {id_ for text in rest for id_ in named.findall(text)} | _linked(book, "source")


def _linked(book: Book, noun: str) -> set[str]:
    start = f"#{noun}-"
    targets = (link.target for page in book.pages.values() for link in page.scan.links)
    return {target.partition(start)[2] for target in targets if start in target}

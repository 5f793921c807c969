"""What an edition said: the sentences of every page, in content/registers/editions/, one file an edition.

DATE.json is the last edition of its day; where a day has more, DATE.1.json is its first, and so on.

A record holds each page's sentences as a reader saw them, with figures and hazard messages filled in, and a
hash of the author's own words. So a changed figure is listed as a change but needs no new `revised` date.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, astuple, dataclass
from pathlib import Path

from build_tools.book.book import REGISTERS, Book
from build_tools.book.fault_words import path_words, shown_lines
from build_tools.book.figure_words import figure_lines
from build_tools.reading.lines import listed
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem
from build_tools.reading.prose import CODE
from build_tools.reading.shapes import is_date
from build_tools.registers.figures import Figure
from build_tools.registers.registers import Registers
from build_tools.shown.marks import plain_text

EDITIONS = "editions"


@dataclass(frozen=True, slots=True)
class PageRecord:
    """One page of one edition. `words` is the hash of what its author wrote, 12 hex digits."""

    title: str
    revised: str
    read_first: bool
    words: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EditionRecord:
    """An edition by its date (2026-11-20); `pages` by path in the docs folder."""

    date: str
    pages: dict[str, PageRecord]


def record_of(book: Book, date: str) -> EditionRecord:
    """Return the record of the book as it is now; `date` is that of the edition."""
    return EditionRecord(date, {src: _kept_record(page, book) for src, page in sorted(book.pages.items())})


def read_records(book: Book) -> tuple[list[EditionRecord], list[Problem]]:
    """Return the editions recorded so far, oldest first, and a problem for each file that cannot be read."""
    records, problems = [], []
    for path in sorted((book.docs / REGISTERS / EDITIONS).glob("*.json"), key=order_of_record):
        try:
            records.append(_read(path))
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            what = f"the record of an edition cannot be read: {error}"
            why = "nobody can tell any more what changed since then"
            fix = "take the file back from the version before; `build_tools publish` alone writes it"
            problems.append(Problem(book.file(path), 1, what, why, fix))
    return records, problems


def order_of_record(path: Path) -> tuple[str, float]:
    """Return by what records are sorted, oldest first: their day, and their number within it."""
    date, _, number = path.stem.partition(".")
    return date, int(number) if number.isdigit() else math.inf


def write_record(book: Book, record: EditionRecord) -> Path:
    """Write a record with one sentence on each line, so that versions compare well; return its path."""
    path = book.docs / REGISTERS / EDITIONS / f"{record.date}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(asdict(record), ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    return path


def _read(path: Path) -> EditionRecord:
    data = json.loads(path.read_text(encoding="utf-8"))
    date = path.name.partition(".")[0]
    if data["date"] != date or not is_date(date):
        raise ValueError(f"its date is {data['date']}, its name {path.name}")
    pages = {
        src: PageRecord(**{**page, "sentences": tuple(page["sentences"])})
        for src, page in data["pages"].items()
    }
    return EditionRecord(data["date"], pages)


def _kept_record(page: Page, book: Book) -> PageRecord:
    depends = (book.key, page.src, page.scan.text)
    title, revised, read_first, words, shown = book.kept.of(
        "record", depends, lambda: astuple(_page_record(page, book))
    )
    return PageRecord(title, revised, read_first, words, tuple(shown))


def _page_record(page: Page, book: Book) -> PageRecord:
    figures = book.registers.figures
    read_first = page.fields.get("read_first")
    return PageRecord(
        title=plain_text(page.text("title"), figures),
        revised=page.text("revised"),
        read_first=read_first is not None and read_first.value is True,
        words=_hash([*_own_words(page), *path_words(page, book.registers)]),
        sentences=tuple(_as_read(sentence, figures) for sentence in _shown(page, book)),
    )


def _as_read(sentence: str, figures: Mapping[str, Figure]) -> str:
    """Return a sentence with its figures filled in, but for code, which a page shows as it is written."""
    parts = []
    end = 0
    for code in CODE.finditer(sentence):
        parts += [plain_text(sentence[end : code.start()], figures), code[0]]
        end = code.end()
    return "".join([*parts, plain_text(sentence[end:], figures)])


def _own_words(page: Page) -> Iterator[str]:
    yield from (page.text(key) for key in ("title", "summary", "who"))
    yield from page.tools
    yield from (f"{block.name} {block.argument}" for block in page.scan.blocks)
    yield from (sentence.text for passage in page.passages for sentence in passage.sentences)


def _shown(page: Page, book: Book) -> list[str]:
    """Return what a reader sees: the page's facts, then its sentences, hazards and terms in page order."""
    lines = [(item.line, item.text) for passage in page.passages for item in passage.sentences]
    lines += _from_registers(page, book.registers)
    lines += shown_lines(page, book.registers)
    facts = [text for text in (page.text("summary"), page.text("who"), *page.tools) if text]
    return [*facts, *(text for _, text in sorted(lines, key=lambda item: item[0]))]


def _from_registers(page: Page, registers: Registers) -> Iterator[tuple[int, str]]:
    """Yield (line of the block, sentence) for what blocks show from the registers."""
    for block in page.scan.blocks:
        if block.name == "hazard" and block.argument in registers.hazards:
            hazard = registers.hazards[block.argument]
            yield from ((block.line, text) for text in (f"{hazard.title}.", hazard.what, hazard.avoid))
        yield from ((block.line, text) for text in figure_lines(block, registers))
        for name in listed(block.argument) if block.name == "terms" else ():
            if name in registers.terms:
                yield block.line, registers.terms[name].meaning


def _hash(lines: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:12]

"""Begin a procedure page, with a hint at every place that wants words; the checks name each that is left."""

from __future__ import annotations

import argparse
import datetime
import json
import posixpath
import re
import sys
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import Path, PurePosixPath

from build_tools.book.book import Book, read_book
from build_tools.checks.all_checks import find_problems
from build_tools.checks.prose import left_hints
from build_tools.faults import Fault
from build_tools.made_pages.made_pages import all_titles
from build_tools.places import PROJECT
from build_tools.reading.pages import CLOSING_HERE, CLOSING_NOT_NEEDED, SECTIONS
from build_tools.reading.problems import has_errors, render
from build_tools.reading.step_ids import fresh_id
from calculators.shared.words import say

FOLDER = "procedures"
HAZARD = "people-clear"
REVIEW_AFTER = datetime.timedelta(days=182)

PLAIN_TITLE = re.compile(r"[A-Za-z][A-Za-z0-9 '-]*")
"""A title that YAML takes without quotes."""

PAGE = """\
---
title: {title}
kind: procedure
summary: {summary}
who: {who}
takes: {takes}
tools:
  - {tool}
hazards:
  {hazard}: {first_id}
{closing_key}revised: {revised}
review_by: {review_by}
---

# {heading}

{not_for}

## {before}

- {manual_at_hand}
- {bay_closed}

## {steps}

/// hazard | {hazard}
///

/// steps
1. {first_step} {{#{first_id}}}
2. {second_step} {{#{second_id}}}
    {reason}
{closing_step}///

## {stop}

{stop_intro}

- {stop_other}
- {stop_manual}

## {record}

- {record_facts}
- {record_work}
"""
SENTENCES = (
    "summary",
    "who",
    "tool",
    "not-for",
    "manual-at-hand",
    "bay-closed",
    "first-step",
    "second-step",
    "reason",
    "stop-intro",
    "stop-other",
    "stop-manual",
    "record-facts",
    "record-work",
)
"""The words "book.new." and one of these; a hyphen is an underscore in PAGE."""
CLOSING_STEP = "book.new.closing-step"

TAKEN = "choose another title, or change that page."

NEXT = """\
{file} is there.
Next:
  1. Write over the hints; check names each that is left: {hints}.
     Name each hazard before the step that needs it.
  2. Give the figure after 'takes:' a row of its own in figures.yml ({takes} stands in for it).
  3. Put the page into the menu: a line '- {src}' under nav: in mkdocs.yml.
  4. python3 -m build_tools serve shows it while you write."""


def run(arguments: Sequence[str]) -> int:
    """Write the page and say what comes next. Raises Fault where its title or file is there already."""
    parser = argparse.ArgumentParser(prog="build_tools new", description=__doc__)
    parser.add_argument("title", help='in quotes: "Grease the hinge"')
    parser.add_argument("--in", dest="folder", help="the folder of the content, such as repair")
    given = parser.parse_args(arguments)
    book, _ = read_book(PROJECT)
    path = begin(book, given.title.strip(), folder=given.folder, today=datetime.date.today())
    fresh, problems = read_book(PROJECT)
    file = book.file(path)
    src = path.relative_to(book.docs).as_posix()
    hints = left_hints(fresh, fresh.pages[src])
    ours = {problem for problem in [*problems, *find_problems(fresh)] if problem.file == file} - {*hints}
    if has_errors(ours):
        print(render(ours), file=sys.stderr)
        return 1
    lines = ", ".join(f"line {hint.line}" for hint in sorted(hints))
    print(NEXT.format(file=file, src=src, takes=stand_in(book), hints=lines))
    return 0


def begin(book: Book, title: str, *, today: datetime.date, folder: str | None = None) -> Path:
    """Write the new page and return its path; a file that is there is never touched."""
    folder = chosen_folder(book, folder)
    refuse_taken_words(book, title)
    path = book.docs / folder / f"{slug(title)}.md"
    text = page_text(book, title, folder=folder, today=today)
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError as error:
        raise Fault(f"{book.file(path)} is there already.", TAKEN) from error
    return path


def refuse_taken_words(book: Book, title: str) -> None:
    """Raise Fault where a page has that title or heading already: menu and search would show two alike."""
    wanted = _alike(title)
    for src, taken in all_titles(book).items():
        if _alike(taken) == wanted:
            raise Fault(f"The page {src} has the title '{taken}' already.", TAKEN)
    for page in book.pages.values():
        for heading in page.scan.headings:
            if _alike(heading.text) == wanted:
                what = f"{page.file}:{heading.line} has the heading '{heading.text}' already."
                raise Fault(what, TAKEN)


def _alike(title: str) -> str:
    return " ".join(title.split()).casefold()


def page_text(book: Book, title: str, *, folder: str, today: datetime.date) -> str:
    """Return the new page in the words of the book's language."""
    words = book.registers.words
    refuse_missing_words(words)
    told = {code.replace("-", "_"): words[f"book.new.{code}"] for code in SENTENCES}
    first_id = fresh_id(told["first_step"], ())
    second_id = fresh_id(told["second_step"], (first_id,))
    closing = closing_page(book, folder)
    return PAGE.format(
        title=title if PLAIN_TITLE.fullmatch(title) else json.dumps(title, ensure_ascii=False),
        heading=title,
        takes=stand_in(book),
        hazard=first_hazard(book),
        first_id=first_id,
        second_id=second_id,
        closing_key="" if closing else f"closing_cycle: {CLOSING_NOT_NEEDED}\n",
        closing_step=closing_step(words, closing, (first_id, second_id)) if closing else "",
        **told,
        **{code: words[f"book.section.{code}"] for code in SECTIONS},
        revised=today.isoformat(),
        review_by=(today + REVIEW_AFTER).isoformat(),
    )


def refuse_missing_words(words: Mapping[str, str]) -> None:
    """Raise Fault where the book's language lacks a sentence of the new page."""
    needed = [*(f"book.new.{name}" for name in SENTENCES), CLOSING_STEP]
    missing = [code for code in needed if code not in words]
    if missing:
        raise Fault(
            f"The book's sentences lack {', '.join(missing)}.", "add them to its file under registers/words/."
        )


def closing_step(words: Mapping[str, str], link: str, taken: Sequence[str]) -> str:
    """Return the line of the step that ends with the operating cycle."""
    step = say(words, CLOSING_STEP, {"link": link})
    return f"3. {step} {{#{fresh_id(step, taken)}}}\n"


def chosen_folder(book: Book, wanted: str | None) -> str:
    """Name the folder of the new page: the wanted one, or the one where new procedures go."""
    kept = sorted({str(PurePosixPath(src).parent) for src in book.pages if "/" in src})
    if wanted is not None:
        if wanted in kept:
            return wanted
        raise Fault(f"The content has no folder '{wanted}'.", f"--in one of these: {', '.join(kept)}")
    if FOLDER in kept:
        return FOLDER
    procedures = [
        str(PurePosixPath(src).parent) for src, page in book.pages.items() if page.kind == "procedure"
    ]
    return max(sorted(set(procedures)), key=procedures.count, default=FOLDER)


def slug(title: str) -> str:
    """Make a file name of a title: "grease-the-hinge" of "Grease the hinge". Raises Fault without letters."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode("ascii").lower()
    words = re.findall(r"[a-z0-9]+", plain.replace("'", ""))
    if not words:
        raise Fault(
            f"'{title}' has no letters to make a file name of.",
            'python3 -m build_tools new "Grease the hinge"',
        )
    return "-".join(words)


def closing_page(book: Book, folder: str) -> str:
    """Return the link from a page in a folder to the operating cycle's, "" where the book has none."""
    pages = (src for src, page in sorted(book.pages.items()) if page.text("closing_cycle") == CLOSING_HERE)
    return next((posixpath.relpath(src, folder) for src in pages), "")


def first_hazard(book: Book) -> str:
    """Name the hazard that a new page begins with. Raises Fault where the register has none at all."""
    hazards = book.registers.hazards
    if not hazards:
        raise Fault(
            "hazards.yml has no hazard for the new page.", "add one to content/registers/hazards.yml."
        )
    return HAZARD if HAZARD in hazards else next(iter(hazards))


def stand_in(book: Book) -> str:
    """Name the time figure of the book's first procedure: a page must name one, a new job has none yet."""
    taken = [page.text("takes") for _, page in sorted(book.pages.items()) if page.kind == "procedure"]
    found = next((name for name in taken if name in book.registers.figures), None)
    if found is None:
        raise Fault(
            "No procedure of the book names a figure after 'takes:'.",
            "add a figure for the time to figures.yml first.",
        )
    return found

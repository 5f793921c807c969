"""Begin a procedure page that passes the checks, with a hint at every place that wants words."""

from __future__ import annotations

import argparse
import datetime
import json
import posixpath
import re
import sys
import unicodedata
from collections.abc import Sequence
from pathlib import Path

from build_tools.book import Book, read_book
from build_tools.checks import find_problems
from build_tools.commands.environment import PROJECT
from build_tools.commands.faults import Fault
from build_tools.pages import CLOSING_HERE, CLOSING_NOT_NEEDED, SECTIONS
from build_tools.problems import has_errors, render

FOLDER = "procedures"
HAZARD = "people-clear"
REVIEW_AFTER = datetime.timedelta(days=182)

PLAIN_TITLE = re.compile(r"[A-Za-z][A-Za-z0-9 '-]*")
"""A title that YAML takes without quotes."""

PAGE = """\
---
title: {title}
kind: procedure
summary: Say in one sentence when a technician opens this page.
who: A technician trained on this leveler
takes: {takes}
tools:
  - this phone, charged
hazards:
  {hazard}: clear-the-leveler
{closing_key}revised: {revised}
review_by: {review_by}
---

# {heading}

## {before}

- The owner's manual of this leveler is at hand.
- The bay is closed.

## {steps}

/// hazard | {hazard}
///

/// steps
1. Clear the leveler of people and tools. {{#clear-the-leveler}}
2. Write one action a step, the verb first. {{#write-one-action}}
    Give the reason on a line of its own, indented like this one.
{closing_step}///

## {stop}

Stop if one of these is so, and call the office.

- Something is not as this page says.
- The owner's manual says otherwise.

## {record}

- Leveler, door, date, technician.
- What you found, and what you did.
"""

CLOSING_STEP = "3. End with the full [operating cycle]({link}). {{#operating-cycle}}\n"

NEXT = """\
{file} is there, and passes the checks.
Next:
  1. Write the steps, and name each hazard before the step that needs it.
  2. Give the figure after 'takes:' a row of its own in figures.yml ({takes} stands in for it).
  3. Put the page into the menu: a line '- {src}' under nav: in mkdocs.yml.
  4. python3 -m build_tools serve shows it while you write."""


def run(arguments: Sequence[str]) -> int:
    """Write the page and say what comes next. Raises Fault where a file of that name is there."""
    parser = argparse.ArgumentParser(prog="build_tools new", description=__doc__)
    parser.add_argument("title", help='in quotes: "Grease the hinge"')
    title = parser.parse_args(arguments).title.strip()
    book, _ = read_book(PROJECT)
    path = begin(book, title, today=datetime.date.today())
    fresh, problems = read_book(PROJECT)
    file = book.file(path)
    ours = [problem for problem in [*problems, *find_problems(fresh)] if problem.file == file]
    if has_errors(ours):
        print(render(ours), file=sys.stderr)
        return 1
    print(NEXT.format(file=file, src=f"{FOLDER}/{path.name}", takes=stand_in(book)))
    return 0


def begin(book: Book, title: str, *, today: datetime.date) -> Path:
    """Write the new page and return its path; a file that is there is never touched."""
    path = book.docs / FOLDER / f"{slug(title)}.md"
    closing = closing_page(book)
    text = PAGE.format(
        title=title if PLAIN_TITLE.fullmatch(title) else json.dumps(title, ensure_ascii=False),
        heading=title,
        takes=stand_in(book),
        hazard=first_hazard(book),
        closing_key="" if closing else f"closing_cycle: {CLOSING_NOT_NEEDED}\n",
        closing_step=CLOSING_STEP.format(link=closing) if closing else "",
        **{code: book.registers.words[f"book.section.{code}"] for code in SECTIONS},
        revised=today.isoformat(),
        review_by=(today + REVIEW_AFTER).isoformat(),
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError as error:
        raise Fault(
            f"{book.file(path)} is there already.", "choose another title, or change that page."
        ) from error
    return path


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


def closing_page(book: Book) -> str:
    """Give the link from a new page to the page of the operating cycle, "" where the book has none."""
    pages = (src for src, page in sorted(book.pages.items()) if page.text("closing_cycle") == CLOSING_HERE)
    return next((posixpath.relpath(src, FOLDER) for src in pages), "")


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

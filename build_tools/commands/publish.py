"""Record the book's sentences as an edition, so that readers can be told what changed."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from build_tools.book.book import REGISTERS, Book, read_book
from build_tools.book.changes import PageChange, changes_between
from build_tools.book.record import EDITIONS, EditionRecord, read_records, record_of, write_record
from build_tools.checks.all_checks import check_book
from build_tools.faults import Fault
from build_tools.places import PROJECT
from build_tools.reading.problems import has_errors, render

NEXT = "Next: python3 -m build_tools build, and put site/ on the host."


def run(arguments: Sequence[str]) -> int:
    """Record the edition and say what it changes. Raises Fault where that cannot be."""
    parser = argparse.ArgumentParser(prog="build_tools publish", description=__doc__)
    parser.add_argument(
        "--again", action="store_true", help="replace the newest record instead of adding one"
    )
    again = parser.parse_args(arguments).again
    taken_back = take_back(PROJECT) if again else None
    try:
        is_recorded = record(PROJECT)
    except BaseException:
        put_back(taken_back)
        raise
    if not is_recorded:
        put_back(taken_back)
    return 0


def record(project: Path) -> bool:
    """Check the book and write its record; False where there is nothing new to record.

    Raises Fault where the book has mistakes or the edition has no date of its own.
    """
    problems = check_book(project)
    if has_errors(problems):
        print(render(problem for problem in problems if not problem.warning), file=sys.stderr)
        raise Fault(
            "The book has mistakes, so no edition was recorded.", "put them right, and publish again."
        )
    book, _ = read_book(project)
    records, _ = read_records(book)
    present = record_of(book, book.edition_date())
    if not records:
        path = write_record(book, present)
        print(f"The first edition, of {present.date}, is in {book.file(path)}: {len(present.pages)} pages.")
        print(NEXT)
        return True
    changed = changes_between(records[-1], present)
    if not changed:
        print(f"Nothing has changed since the edition of {records[-1].date}; nothing was recorded.")
        return False
    refuse_an_old_date(records[-1], present, changed)
    path = write_record(book, present)
    print(told(book, path, present, changed))
    return True


def refuse_an_old_date(last: EditionRecord, present: EditionRecord, changed: Sequence[PageChange]) -> None:
    """Raise Fault where no page is newer than the last edition, so that two would share a date."""
    if present.date > last.date:
        return
    pages = ", ".join(change.src for change in changed)
    raise Fault(
        f"The newest 'revised' date is {present.date}, and the edition of {last.date} is recorded already.",
        f"set 'revised' of what changed ({pages}) to today; or replace that edition with publish --again.",
    )


def told(book: Book, path: Path, present: EditionRecord, changed: Sequence[PageChange]) -> str:
    """Say what the edition changes, a page a line."""
    lines = [f"The edition of {present.date} is in {book.file(path)}."]
    for change in changed:
        first = "; to be read before the next job" if change.read_first else ""
        counts = (
            f": {len(change.was)} sentences out, {len(change.now)} in" if change.kind == "changed" else ""
        )
        lines.append(f"  {change.kind} {change.src}{counts}{first}")
    return "\n".join([*lines, NEXT])


def take_back(project: Path) -> tuple[Path, bytes] | None:
    """Take the newest record away; give its path and content, or None where there is none."""
    book, _ = read_book(project)
    newest = max((book.docs / REGISTERS / EDITIONS).glob("*.json"), default=None)
    if newest is None:
        return None
    content = newest.read_bytes()
    newest.unlink()
    return newest, content


def put_back(taken_back: tuple[Path, bytes] | None) -> None:
    """Put a record back as it was."""
    if taken_back is not None:
        taken_back[0].write_bytes(taken_back[1])

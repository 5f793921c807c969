"""Record the book's sentences as an edition, so that readers can be told what changed."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from build_tools.book.book import REGISTERS, Book, read_book
from build_tools.book.changes import PageChange, changes_between
from build_tools.book.record import (
    EDITIONS,
    EditionRecord,
    order_of_record,
    read_records,
    record_of,
    write_record,
)
from build_tools.checks.all_checks import check_book
from build_tools.faults import Fault
from build_tools.places import PROJECT
from build_tools.reading.problems import Problem, closing, has_errors, render
from build_tools.site.settings import settings_problems

AGAIN = " This is another of that day; both records are kept."
NEXT = "Next: python3 -m build_tools build, and put site/ on the host."


def run(arguments: Sequence[str]) -> int:
    """Record the edition and say what it changes. Raises Fault where that cannot be."""
    parser = argparse.ArgumentParser(prog="build_tools publish", description=__doc__)
    parser.add_argument(
        "--again", action="store_true", help="record another edition of the same day; both records are kept"
    )
    again = parser.parse_args(arguments).again
    book, _ = read_book(PROJECT)
    last = next(reversed(read_records(book)[0]), None)
    if last is None or last.date != book.edition_date():
        record(PROJECT)
        return 0
    print(f"The edition of {last.date} is recorded already.{AGAIN if again else ''}")
    if again:
        record_again(book, last)
    else:
        record(PROJECT)
    return 0


def record_again(book: Book, last: EditionRecord) -> None:
    """Record another edition of the day of `last`, and keep the records that the day has."""
    taken = take_back(book, last.date)
    try:
        written = record(PROJECT, last)
    except BaseException:
        put_back(taken)
        raise
    if written is None:
        put_back(taken)
        return
    *earlier, replaced = sorted(taken, key=order_of_record)
    put_back({path: taken[path] for path in earlier})
    put_back({replaced.with_name(f"{last.date}.{len(taken)}.json"): taken[replaced]})


def record(project: Path, last: EditionRecord | None = None) -> Path | None:
    """Check the book and write its record; None where there is nothing new to record.

    `last` is the edition to tell the changes from, the newest recorded one where it is not given.
    Raises Fault where the book has mistakes or the edition has no date of its own.
    """
    problems = [*check_book(project), *settings_problems(project)]
    if has_errors(problems):
        print(render(problems), file=sys.stderr)
        raise Fault(
            "The book has mistakes, so no edition was recorded.", "put them right, and publish again."
        )
    book, _ = read_book(project)
    records, _ = read_records(book)
    present = record_of(book, book.edition_date())
    last = last or (records[-1] if records else None)
    if last is None:
        path = write_record(book, present)
        print(f"The first edition, of {present.date}, is in {book.file(path)}: {len(present.pages)} pages.")
        print(NEXT)
        say_warnings(problems)
        return path
    changed = changes_between(last, present)
    if not changed:
        print(f"Nothing has changed since the edition of {last.date}; nothing was recorded.")
        return None
    if records:
        refuse_an_old_date(records[-1], present, changed)
    path = write_record(book, present)
    print(told(book, path, present, changed))
    say_warnings(problems)
    return path


def say_warnings(problems: Sequence[Problem]) -> None:
    """Close with how many warnings there are, as every command does."""
    if problems:
        print(closing(problems))


def refuse_an_old_date(last: EditionRecord, present: EditionRecord, changed: Sequence[PageChange]) -> None:
    """Raise Fault where no page is newer than the last edition, so that two would share a date."""
    if present.date > last.date:
        return
    pages = ", ".join(change.src for change in changed)
    raise Fault(
        f"The newest 'revised' date is {present.date}, and the edition of {last.date} is recorded already.",
        f"set 'revised' of what changed ({pages}) to today; "
        "or record another edition of that day with publish --again.",
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


def take_back(book: Book, date: str) -> dict[Path, bytes]:
    """Take the records of a day away, so that its edition may be written anew; return their contents."""
    taken = {path: path.read_bytes() for path in (book.docs / REGISTERS / EDITIONS).glob(f"{date}*.json")}
    for path in taken:
        path.unlink()
    return taken


def put_back(taken: Mapping[Path, bytes]) -> None:
    """Put records back as they were."""
    for path, content in taken.items():
        path.write_bytes(content)

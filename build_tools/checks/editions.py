"""Pages against the last recorded edition: changed words come with a new `revised` date."""

from __future__ import annotations

from build_tools.book.book import Book
from build_tools.book.record import PageRecord, read_records, record_of
from build_tools.book.withdrawn import read_withdrawn
from build_tools.reading.problems import Problem


def check_editions(book: Book) -> list[Problem]:
    """Return every problem of the recorded editions, of withdrawn pages and of dates that did not follow."""
    records, problems = read_records(book)
    _, found = read_withdrawn(book, {src for record in records for src in record.pages})
    problems += found
    if not records:
        return problems
    now = record_of(book, records[-1].date).pages
    before = records[-1].pages
    for src in sorted(now.keys() & before.keys()):
        problems += _revised(book, src, before[src], now[src], records[-1].date)
    return problems


def _revised(book: Book, src: str, before: PageRecord, now: PageRecord, edition: str) -> list[Problem]:
    revised = book.pages[src].fields.get("revised")
    if now.words == before.words or now.revised > before.revised or revised is None:
        return []
    what = f"the words changed since the edition of {edition}, but 'revised' is still {now.revised}"
    why = "by its date, a reader takes the page for one already read"
    again = "`build_tools publish --again`"
    fix = f"set `revised` to the day of the change (another edition of that day: {again})"
    return [Problem(book.pages[src].file, revised.line, what, why, fix)]

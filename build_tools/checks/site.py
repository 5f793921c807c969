"""Things of the whole book: the menu, dates, and what search words lead to."""

from __future__ import annotations

from collections.abc import Iterator

from build_tools.book.book import MADE_PAGES, OLD_AFTER, Book
from build_tools.book.configuration import CONFIGURATION
from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion


def check_site(book: Book, *, today: str | None) -> list[Problem]:
    """Return every problem of the book as a whole."""
    return [*_menu(book), *_reviews(book, today), *_made_page(book)]


def _menu(book: Book) -> list[Problem]:
    nav = book.configuration.get("nav")
    if nav is None:
        return []
    entries: dict[str, int] = {}
    known = {*book.pages, *book.made_pages()}
    found = []
    for node in _leaves(nav):
        if entries.setdefault(node.written, node.line) != node.line:
            what = f"the menu names '{node.written}' twice (first on line {entries[node.written]})"
            why, fix = "a reader would take it for two pages", "keep the entry where the page is looked for"
            found.append(Problem(CONFIGURATION, node.line, what, why, fix))
    for name, line in entries.items():
        if (
            ":" not in name
            and name not in known
            and (name.endswith(".md") or not (book.docs / name).is_file())
        ):
            found.append(
                Problem(
                    CONFIGURATION,
                    line,
                    f"the menu names '{name}', which does not exist",
                    "the reader would tap on nothing",
                    suggestion(name, known, otherwise="write the page"),
                )
            )
    return found + [
        Problem(
            page.file,
            1,
            "the menu does not lead to this page",
            "nobody finds it unless another page links to it",
            f"add '{page.src}' under `nav:` in {CONFIGURATION}",
            warning=True,
        )
        for page in book.pages.values()
        if page.src not in entries
    ]


def _leaves(node: Node) -> Iterator[Node]:
    if isinstance(node.value, dict):
        for item in node.value.values():
            yield from _leaves(item)
    elif isinstance(node.value, list):
        for item in node.value:
            yield from _leaves(item)
    else:
        yield node


def _reviews(book: Book, today: str | None) -> list[Problem]:
    return [
        Problem(
            page.file,
            page.fields["review_by"].line,
            f"the review was due by {page.text('review_by')}",
            "what it says may no longer hold",
            "read it through, correct it, and set revised and review_by anew",
            warning=True,
        )
        for page in book.pages.values()
        if today is not None and page.text("review_by") and page.text("review_by") < today
    ]


def _made_page(book: Book) -> list[Problem]:
    return [
        Problem(
            book.pages[name].file,
            1,
            "this page is written by hand",
            "the build makes it from the registers and would overwrite it",
            "give the file another name",
        )
        for name in MADE_PAGES
        if name in book.pages
    ]


def check_leads(book: Book) -> list[Problem]:
    """Return every page that a term leads to and that the book does not have."""
    known = {*book.pages, *book.made_pages()}
    return [
        Problem(
            term.file,
            term.line,
            f"the term '{term.id}' leads to '{page}', which does not exist",
            "who searches for these words would find another page first",
            suggestion(page, known, otherwise="write the page, or take the line out"),
        )
        for term in book.registers.terms.values()
        for page in term.leads_to
        if page not in known
    ]


def check_age(book: Book) -> list[Problem]:
    """Return the problem of a figure that no phone can count days by."""
    figure = book.registers.figures.get(OLD_AFTER)
    if figure is None or (figure.unit == "days" and figure.value is not None and figure.value % 1 == 0):
        return []
    what = f"the figure '{OLD_AFTER}' is not a whole number of days"
    why = "phones count the days since the edition's date to tell its reader that it is old"
    return [Problem(figure.file, figure.line, what, why, "write `value: 90` and `unit: days` (an example)")]

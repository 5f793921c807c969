"""The pages that the build makes: figures and glossary, what changed, what the book was checked against."""

from __future__ import annotations

import json
from functools import partial

from build_tools.book.book import CHANGES_PAGE, CHECKED_PAGE, REGISTER_PAGE, VISIT_PAGE, Book
from build_tools.book.fault_words import figures_of, paths_on
from build_tools.book.needed_words import DECLARED
from build_tools.made_pages.checked_against import checked_page, outcomes
from build_tools.made_pages.editions import EditionHistory
from build_tools.made_pages.register_pages import register_page
from build_tools.made_pages.visit_page import visit_page
from build_tools.reading.pages import address_of, dated
from build_tools.shown.marks import Marks, plain_text

Listed = dict[str, list[tuple[str, str]]]
"""Row id to the pages that show or concern it, each as (address from the site's root, title)."""


def made_pages(book: Book, editions: EditionHistory, date: str) -> dict[str, str]:
    """Return the made pages as Markdown, by their paths in the docs folder; `date` is that of the edition.

    Raises:
        CheckRefused: our code returns no value for an outside check.
    """
    shown, led_to = pages_that_show(book), pages_led_to(book)
    register = partial(register_page, book.registers, revised="", uses=shown, leads=led_to)
    depends = (book.key, json.dumps([shown, led_to]))
    made = {
        REGISTER_PAGE: dated(book.kept.of("figures", depends, register), date),
        CHANGES_PAGE: editions.page(book),
    }
    if book.has_sequences():
        made[VISIT_PAGE] = dated(visit_page(book.registers, revised=""), date)
    if book.registers.language != DECLARED:  # outside checks are written in that language alone
        return made
    checked = book.kept.of("checked", (book.key,), partial(_checked, book))
    return {**made, CHECKED_PAGE: dated(checked, date)}


def _checked(book: Book) -> str:
    return checked_page(book.registers, outcomes(book.registers), revised="")


def all_titles(book: Book) -> dict[str, str]:
    """Return the title of every page, made pages included, by its path in the docs folder."""
    marks = Marks(book.registers, "")
    names = {REGISTER_PAGE: "figures.title", CHANGES_PAGE: "changes.title", CHECKED_PAGE: "checked.title"}
    if book.has_sequences():
        names[VISIT_PAGE] = "visit.title"
    made = {src: marks.say(code) for src, code in names.items() if f"book.{code}" in book.registers.words}
    return _written_titles(book) | made


def pages_that_show(book: Book) -> Listed:
    """Return the pages that show each figure, each page once, ordered by address."""
    titles = _written_titles(book)
    uses: dict[str, dict[str, str]] = {}
    for page in book.pages.values():
        shown = [use.id for use in page.scan.figure_uses] + [page.text("takes")]
        shown += [id_ for path in paths_on(page, book.registers) for id_ in figures_of(path)]
        for id_ in shown:
            uses.setdefault(id_, {})[address_of(page.src)] = titles[page.src]
    return {id_: sorted(pages.items()) for id_, pages in uses.items()}


def pages_led_to(book: Book) -> Listed:
    """Return the pages to which each term leads, in the term's order."""
    titles = _written_titles(book)
    return {
        term.id: [(address_of(src), titles[src]) for src in term.leads_to if src in titles]
        for term in book.registers.terms.values()
    }


def _written_titles(book: Book) -> dict[str, str]:
    figures = book.registers.figures
    return {src: plain_text(page.text("title"), figures) for src, page in book.pages.items()}

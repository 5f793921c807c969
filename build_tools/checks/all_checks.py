"""The author's checks: all that can be wrong with a book, found without MkDocs and told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from build_tools.blocks.rendering import Rendered, render_pages
from build_tools.book.book import Book, read_book
from build_tools.book.kept_results import NOTHING_KEPT, KeptResults, kept_problems
from build_tools.book.needed_words import check_words, has_book_words
from build_tools.checks.blocks import check_blocks, check_rendered
from build_tools.checks.editions import check_editions
from build_tools.checks.examples import check_examples
from build_tools.checks.fault_pages import check_fault_ends, check_fault_targets
from build_tools.checks.fault_paths import check_faults
from build_tools.checks.figures import check_figures, check_register_figures
from build_tools.checks.hazards import check_hazards
from build_tools.checks.links import check_links, check_markup
from build_tools.checks.procedures import check_procedures, check_scope
from build_tools.checks.prose import check_prose, check_register_prose
from build_tools.checks.site import check_age, check_leads, check_site
from build_tools.checks.spelling import check_spelling
from build_tools.checks.unused import check_unused
from build_tools.checks.visits.sequences import check_sequences
from build_tools.checks.visits.step_marks import check_step_marks
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, has_errors


def check_book(project: Path, *, today: str | None = None, kept: KeptResults = NOTHING_KEPT) -> list[Problem]:
    """Return every problem of the book in a project folder, sorted.

    Args:
        project: the folder that holds mkdocs.yml.
        today: YYYY-MM-DD; pages whose review date has passed by then get a warning. None leaves that out.
        kept: what earlier checks and builds have worked out.
    """
    book, problems = read_book(project, kept)
    found = [*problems, *find_problems(book, today=today)]
    # A mistake elsewhere can hide a use, so that "nothing uses it" is only said of a book without any.
    return sorted({*found, *(() if has_errors(found) else check_unused(book))})


def find_problems(
    book: Book, *, today: str | None = None, render: Callable[[Book], Mapping[str, Rendered]] = render_pages
) -> list[Problem]:
    """Return the problems of a book; where a register cannot be read, that alone is told.

    `render` runs the pages through Markdown; a build gives its own, and shows what came out.
    """
    if not (book.registers.words and book.registers.all_readable):
        return []
    found = [
        *check_site(book, today=today),
        *check_words(book),
        *check_leads(book),
        *_in_pages(book),
        *kept_problems(book.kept, "registers", (book.key,), lambda: _in_registers(book)),
        *check_procedures(book),
        *check_age(book),
        *check_examples(book),
        *check_faults(book),
        *_in_visits(book),
        *check_editions(book),
        *check_spelling(book),
    ]
    if not has_book_words(book):
        return found
    rendered = render(book)
    of_pages = [*check_rendered(book, rendered), *check_links(book, rendered)]
    found += [*of_pages, *check_fault_targets(book, rendered)]
    # Another mistake in a path moves its ends about, so these are only said of a book without any.
    return found if has_errors(found) else [*found, *check_fault_ends(book)]


def _in_pages(book: Book) -> list[Problem]:
    """Return what is wrong within single pages; what an earlier run found is not sought again."""
    found = []
    for page in book.pages.values():
        depends = (book.key, page.file, page.src, page.scan.text)
        found += kept_problems(book.kept, "checks", depends, partial(_in_page, book, page))
    return found


def _in_page(book: Book, page: Page) -> list[Problem]:
    return [
        *check_blocks(book, [page]),
        *check_hazards(book, [page]),
        *check_markup([page]),
        *check_step_marks(book, [page]),
        *check_scope(book, [page]),
        *check_figures(book, [page]),
        *check_prose(book, [page]),
    ]


def _in_visits(book: Book) -> list[Problem]:
    texts = (f"{page.src}\n{page.scan.text}" for page in book.pages.values())
    return kept_problems(book.kept, "visits", (book.key, *texts), lambda: check_sequences(book))


def _in_registers(book: Book) -> list[Problem]:
    return [*check_register_figures(book), *check_register_prose(book)]

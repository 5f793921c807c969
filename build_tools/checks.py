"""The author's checks: everything that can be wrong with a book, found without MkDocs and told all at once."""

from __future__ import annotations

from pathlib import Path

from build_tools.book import Book, read_book
from build_tools.problems import Problem


def check_book(project: Path, *, today: str | None = None) -> list[Problem]:
    """Give every problem of the book in a project folder, sorted.

    Args:
        project: the folder that holds mkdocs.yml.
        today: YYYY-MM-DD; pages whose review date has passed by then get a warning. None leaves that out.
    """
    book, problems = read_book(project)
    return sorted({*problems, *find_problems(book, today=today)})


def find_problems(book: Book, *, today: str | None = None) -> list[Problem]:
    """Give the problems of a book that could be read."""
    return []

"""The whole book as its authors wrote it: site configuration, registers and pages, read without MkDocs."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from build_tools.book.configuration import CONFIGURATION, read_configuration
from build_tools.book.kept_results import NOTHING_KEPT, KeptResults
from build_tools.reading.marked_yaml import Node
from build_tools.reading.pages import Page, read_page
from build_tools.reading.problems import Problem
from build_tools.registers.registers import Registers, load_registers

REGISTERS = "registers"
OLD_AFTER = "edition-old-after"
"""The company's figure for the age of an old edition, in days; without it no book calls itself old."""
REGISTER_PAGE = "figures.md"
"""The page that the build makes from the registers; no file of that name is written by hand."""
CHANGES_PAGE = "what-changed.md"
"""The page that the build makes from the recorded editions."""
CHECKED_PAGE = "checked.md"
"""The page that the build makes from the outside checks."""
VISIT_PAGE = "visit.md"
"""The page on which visits are worked, in a book that has sequences of jobs."""
MADE_PAGES = (REGISTER_PAGE, CHANGES_PAGE, CHECKED_PAGE, VISIT_PAGE)
"""Every page that the build can make; `made_pages` of a book has those that it does."""


@dataclass(frozen=True)
class Book:
    """Everything that checks and build need to know of a book."""

    project: Path
    docs: Path
    registers: Registers
    pages: dict[str, Page]
    """By path in the docs folder."""
    configuration: dict[str, Node] = field(default_factory=dict)
    """The keys of mkdocs.yml."""
    kept: KeptResults = NOTHING_KEPT
    """What earlier builds worked out."""
    key: str = ""
    """A hash of mkdocs.yml and all registers, on which nearly every kept result depends; "" keeps nothing."""

    def file(self, path: Path) -> str:
        """Return a path as problems name it: from the project's folder, with forward slashes."""
        return path.relative_to(self.project).as_posix()

    def has_sequences(self) -> bool:
        """Return whether the company wrote sequences of jobs, without which nobody can open a visit."""
        return bool(self.registers.visit.sequences)

    def made_pages(self) -> tuple[str, ...]:
        """Return the pages that the build makes for this book."""
        return tuple(src for src in MADE_PAGES if src != VISIT_PAGE or self.has_sequences())

    def edition_date(self) -> str:
        """Return the newest `revised` date of all pages (YYYY-MM-DD), "" for a book without any."""
        return max((page.text("revised") for page in self.pages.values()), default="")


def read_book(project: Path, kept: KeptResults = NOTHING_KEPT) -> tuple[Book, list[Problem]]:
    """Read a project's mkdocs.yml, registers and pages; return the book and its problems.

    Whatever cannot be read is left out of the book and named by a problem.
    """
    project = project.resolve()
    configuration, problems = read_configuration(project)
    docs_key = configuration.get("docs_dir")
    docs = project / (docs_key.written if docs_key else "docs")
    language = language_of(configuration)
    key = _key(project, docs, language) if kept.folder else ""
    registers, found = load_registers(docs / REGISTERS, language)
    problems += found
    pages = {}
    for path in sorted(docs.rglob("*.md")):
        if path.relative_to(docs).parts[0] == REGISTERS:
            continue
        page, found = read_page(path, docs, project)
        pages[page.src] = page
        problems += found
    if kept.folder and key != _key(project, docs, language):  # a file changed while it was being read
        kept = NOTHING_KEPT
    return Book(project, docs, registers, pages, configuration, kept, key), problems


def _key(project: Path, docs: Path, language: str) -> str:
    digest = hashlib.sha256(language.encode())
    for path in (project / CONFIGURATION, *sorted((docs / REGISTERS).rglob("*"))):
        if path.is_file():
            name = path.relative_to(project).as_posix()
            digest.update(f"{name}\n{hashlib.sha256(path.read_bytes()).hexdigest()}\n".encode())
    return digest.hexdigest()


def language_of(configuration: Mapping[str, Node]) -> str:
    """Return the book's language, `theme: language:` in mkdocs.yml; "en" where none is named."""
    theme = configuration.get("theme")
    language = theme.value.get("language") if theme is not None and isinstance(theme.value, dict) else None
    return language.written if language is not None else "en"

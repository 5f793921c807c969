"""Build a book with MkDocs, strictly; the book that was there before stays unless the new one is whole."""

from __future__ import annotations

import json
import logging
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from build_tools.book.configuration import read_configuration
from build_tools.checks.all_checks import check_book
from build_tools.faults import Fault
from build_tools.reading.problems import render


@dataclass(frozen=True, slots=True)
class Built:
    """A finished book: where it is, its edition (16 hex digits) and the edition's date."""

    folder: Path
    edition: str
    date: str


class BookMistakes(Exception):
    """The book was not built; `text` holds every mistake, as an author reads it."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def build_book(project: Path, into: Path) -> Built:
    """Build the book of `project` and put it at `into`; the book there is replaced only by a whole one.

    Raises BookMistakes where the author has something to put right, Fault where `into` holds something else.
    """
    into = into.resolve()
    refuse_to_replace(into)
    half = into.with_name(f".{into.name}.half-built-{os.getpid()}")
    try:
        build_with_mkdocs(project, half)
        record = json.loads((half / "edition.json").read_text(encoding="utf-8"))
        if into.exists():
            shutil.rmtree(into)
        half.rename(into)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    return Built(into, record["edition"], record["date"])


def refuse_to_replace(into: Path) -> None:
    """Raise Fault where `into` holds anything but a built book, because a build replaces the whole folder."""
    if into.exists() and not (into / "edition.json").exists() and (not into.is_dir() or any(into.iterdir())):
        raise Fault(
            f"{into} holds something else than a built handbook, and a build replaces the whole folder.",
            "name an empty or a new folder after --into.",
        )


def build_with_mkdocs(project: Path, into: Path) -> None:
    """Run MkDocs as `mkdocs build --strict` does. Raises BookMistakes with everything it has to say."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"  # the theme's notice about another program, not used here
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    heard = Listener()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(heard)
    try:
        refuse_settings(project)
        config = load_config(str(project / "mkdocs.yml"), strict=True, site_dir=str(into))
        config.plugins.on_startup(command="build", dirty=False)
        try:
            build(config)
        finally:
            config.plugins.on_shutdown()
    except Abort as abort:  # MkDocs stops this way after warnings, which are the mistakes themselves
        raise BookMistakes("\n".join(heard.said) or abort.format_message()) from None
    except MkDocsException as mistake:
        raise BookMistakes("\n".join([*heard.said, mistake.format_message()])) from None
    finally:
        logger.removeHandler(heard)


def refuse_settings(project: Path) -> None:
    """Raise BookMistakes for a mkdocs.yml with mistakes: by it MkDocs might run no plugin, so no check."""
    if read_configuration(project)[1]:
        raise BookMistakes(render(check_book(project)))


class Listener(logging.Handler):
    """Collects the warnings and errors that MkDocs and its plugins log."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self.said.append(record.getMessage())

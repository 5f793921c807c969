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
from build_tools.reading.problems import count, render
from build_tools.site.listening import CHECKS_LOG, Listener
from build_tools.site.settings import settings_problems

CHECKS_SAY = "the book has mistakes"


@dataclass(frozen=True, slots=True)
class Built:
    """A finished book: where it is, its edition (16 hex digits) and the edition's date.

    `closing` says how many warnings the checks gave, such as "2 warnings", "" for none.
    """

    folder: Path
    edition: str
    date: str
    closing: str = ""


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
        closing = build_with_mkdocs(project, half)
        record = json.loads((half / "edition.json").read_text(encoding="utf-8"))
        if into.exists():
            shutil.rmtree(into)
        half.rename(into)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    return Built(into, record["edition"], record["date"], closing)


def refuse_to_replace(into: Path) -> None:
    """Raise Fault where `into` holds anything but a built book, because a build replaces the whole folder."""
    if into.exists() and not (into / "edition.json").exists() and (not into.is_dir() or any(into.iterdir())):
        raise Fault(
            f"{into} holds something else than a built handbook, and a build replaces the whole folder.",
            "name an empty or a new folder after --into.",
        )


def build_with_mkdocs(project: Path, into: Path) -> str:
    """Run MkDocs as `mkdocs build --strict` does; return the closing line of the checks' warnings.

    Raises BookMistakes with everything it has to say.
    """
    os.environ["NO_MKDOCS_2_WARNING"] = "1"  # the theme's notice about another program, not used here
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    heard = Listener()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(heard)
    logging.getLogger(CHECKS_LOG).setLevel(logging.INFO)
    try:
        refuse_settings(project)
        config = load_config(str(project / "mkdocs.yml"), strict=True, site_dir=str(into))
        config.plugins.on_startup(command="build", dirty=False)
        try:
            build(config)
        finally:
            config.plugins.on_shutdown()
    except Abort as abort:  # MkDocs stops this way after warnings, which are the mistakes themselves
        raise _counted(heard.said or [abort.format_message()]) from None
    except MkDocsException as mistake:
        raise _counted([*heard.said, mistake.format_message()]) from None
    finally:
        logger.removeHandler(heard)
    return heard.closing


def refuse_settings(project: Path) -> None:
    """Raise BookMistakes for a mkdocs.yml with mistakes: by it MkDocs might run no plugin, so no check."""
    problems = settings_problems(project)
    if problems or read_configuration(project)[1]:
        raise BookMistakes(render([*problems, *check_book(project)]))


def _counted(said: list[str]) -> BookMistakes:
    """Return what stops a build, with a closing line as the checks have one; theirs has it already."""
    counts = () if said[-1].startswith(CHECKS_SAY) else (count(len(said), "mistake"),)
    return BookMistakes("\n".join([*said, *counts]))

"""A small book without a mistake, to be copied, changed and built."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

GOOD_BOOK = Path(__file__).parent / "good_book"


@pytest.fixture(scope="session")
def copy_of_good_book(project: Path) -> Callable[[Path], Path]:
    """Copies the good book to a folder. Its sentences are the real ones, so that calculators can speak.

    So are the words that its dictionary lacks, since the sentences use them.
    """

    def copy(into: Path) -> Path:
        shutil.copytree(GOOD_BOOK, into)
        (into / "content/registers/words").mkdir(exist_ok=True)
        shutil.copy(project / "content/registers/words/en.yml", into / "content/registers/words/en.yml")
        shutil.copy(project / "content/registers/spelling.yml", into / "content/registers/spelling.yml")
        return into

    return copy


@pytest.fixture
def good_book(tmp_path: Path, copy_of_good_book: Callable[[Path], Path]) -> Path:
    """A copy of the good book that the test may change."""
    return copy_of_good_book(tmp_path / "book")


@pytest.fixture
def changed() -> Callable[[Path, str, str], None]:
    """Replaces a text that stands exactly once in a file."""

    def change(path: Path, old: str, new: str) -> None:
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {path.name}"
        path.write_text(text.replace(old, new), encoding="utf-8")

    return change

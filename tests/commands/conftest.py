"""What the tests of the command line share."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.book.conftest import changed, copy_of_good_book, good_book  # noqa: F401 - fixtures used here too
from tests.commands.bare_project import write_bare_project


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """A project that nobody has set up yet."""
    return write_bare_project(tmp_path / "project")

"""Nothing is kept while our own code is being changed: it could have been loaded before, and read after."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from build_tools.book import kept_results
from build_tools.book.kept_results import NOTHING_KEPT


def test_nothing_is_kept_while_code_is_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A source that was saved since our code was loaded, or just before, stops the keeping for this build."""
    source = tmp_path / "one.py"
    source.write_text("", encoding="utf-8")
    monkeypatch.setattr(kept_results, "_code_files", lambda: (source,))

    assert kept_results.kept_results(tmp_path) is NOTHING_KEPT
    monkeypatch.setattr(kept_results, "_LOADED_AT", time.time() + 10)
    assert kept_results.kept_results(tmp_path).folder == tmp_path / kept_results.FOLDER


def test_the_key_sees_all_of_our_code() -> None:
    """The code that results depend on is found: a key over no files would serve stale results unseen."""
    files = [path.as_posix() for path in kept_results._code_files()]
    assert len(files) > 100
    assert any("/calculators/" in path for path in files)
    assert any(path.endswith("/build_tools/commands/build.py") for path in files)

"""Notice that an author has saved something, by looking at times and sizes of files."""

from __future__ import annotations

import time
from collections.abc import Iterable
from pathlib import Path

WATCHED = ("content", "mkdocs.yml", "build_tools", "calculators", "pyproject.toml")
IGNORED = ("__pycache__",)
LOOK_EVERY_S = 0.5
QUIET_S = 0.2
"""An editor that saves several files, or one in several steps, is given this long to finish."""

Look = dict[Path, tuple[int, int]]


def look_at(project: Path, watched: Iterable[str] = WATCHED) -> Look:
    """Map every watched file to its time of change (ns) and size (bytes)."""
    seen: Look = {}
    for name in watched:
        root = project / name
        for path in [root, *root.rglob("*")] if root.is_dir() else [root]:
            if any(part in IGNORED or part.startswith(".") for part in path.relative_to(project).parts):
                continue
            try:
                status = path.stat()
            except OSError:  # saved by renaming: gone in this very moment
                continue
            seen[path] = (status.st_mtime_ns, status.st_size)
    return seen


def changed_files(before: Look, after: Look) -> list[Path]:
    """Name the files that were added, removed or saved between two looks, sorted."""
    both = before.keys() | after.keys()
    return sorted(path for path in both if before.get(path) != after.get(path) and not path.is_dir())


def wait_for_change(project: Path, before: Look) -> tuple[Look, list[Path]]:
    """Wait until something differs from `before` and is at rest; return the new look and what changed."""
    while True:
        time.sleep(LOOK_EVERY_S)
        after = look_at(project)
        while changed := changed_files(before, after):
            time.sleep(QUIET_S)
            again = look_at(project)
            if again == after:
                return after, changed
            after = again

"""How kept results lie in their folder: in few files, since making one takes as long as much that it saves.

A file has a line of JSON, for each result its place behind that line, its length and its hash, and then the
results. Files are written whole under another name and then renamed, and never changed. So two builds at once
can write, each its own, and one that finds a file gone or damaged works out what was in it.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import time
from collections.abc import Mapping
from pathlib import Path

SUFFIX = ".kept"
_HALF_WRITTEN = ".half"
_LEFT_BEHIND_S = 3600.0
"""Nobody writes a file for so long."""

Place = tuple[Path, int, int, str]
"""A file, where in it a result begins and how long it is, both in bytes, and the hash of name and result."""


def read_places(folder: Path) -> dict[str, Place]:
    """Give the place of each result by its name. What cannot be read is left out; the newest file counts."""
    found: dict[str, Place] = {}
    for file in files_in(folder):
        with contextlib.suppress(OSError, ValueError, TypeError, AttributeError):
            with file.open("rb") as opened:
                line = opened.readline()
            room = file.stat().st_size - len(line)
            for name, (at, length, sum_) in json.loads(line).items():
                if 0 <= at <= at + length <= room:
                    found.pop(name, None)  # the last in order is the newest
                    found[name] = (file, len(line) + at, length, sum_)
    return found


def read_result(name: str, place: Place) -> bytes | None:
    """Give a result, None where its file is gone or does not hold it whole."""
    file, at, length, sum_ = place
    with contextlib.suppress(OSError, TypeError):
        with file.open("rb") as opened:
            opened.seek(at)
            content = opened.read(length)
        return content if _sum(name, content) == sum_ else None
    return None


def write_results(folder: Path, results: Mapping[str, bytes]) -> None:
    """Write one file of results by their names. Raises OSError where the disk does not take it."""
    places, at = {}, 0
    for name, content in results.items():
        places[name] = (at, len(content), _sum(name, content))
        at += len(content)
    folder.mkdir(exist_ok=True)
    file = folder / f"{time.time_ns():020d}-{os.getpid()}{SUFFIX}"
    half = file.with_suffix(_HALF_WRITTEN)
    try:
        with half.open("wb") as opened:
            opened.write(json.dumps(places).encode() + b"\n")
            opened.writelines(results.values())
        os.replace(half, file)
    except OSError:
        half.unlink(missing_ok=True)
        raise


def files_in(folder: Path) -> list[Path]:
    """Give the whole files of a folder, the oldest first; none where there is no folder."""
    return sorted(file for file in _all_in(folder) if file.suffix == SUFFIX)


def take_away(files: list[Path], folder: Path) -> None:
    """Take away files, and those that a build left half written, as far as the system lets us."""
    before = time.time() - _LEFT_BEHIND_S
    for file in _all_in(folder):
        with contextlib.suppress(OSError):
            if file in files or (file.suffix == _HALF_WRITTEN and file.stat().st_mtime < before):
                file.unlink()


def _all_in(folder: Path) -> list[Path]:
    try:
        return list(folder.iterdir())
    except OSError:
        return []


def _sum(name: str, content: bytes) -> str:
    return hashlib.sha256(name.encode() + b"\n" + content).hexdigest()

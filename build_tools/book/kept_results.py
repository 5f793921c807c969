"""Results of earlier builds, kept in a folder of the project, so that only what changed is worked out again.

A result is found by a hash over everything that it depends on: what its step is given, the source of our
code, and the versions of Python and of the libraries. So a result is never out of date, it is only no longer
asked for. Without the folder, with a damaged file or on a disk that takes nothing, the same is worked out
anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import time
import zlib
from collections.abc import Callable, Iterable
from dataclasses import astuple
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from build_tools.book.kept_files import files_in, read_places, read_result, take_away, write_results
from build_tools.places import PROJECT
from build_tools.reading.problems import Problem

FOLDER = ".kept_results"
"""Its name in the project, which git ignores."""
MOST_BYTES = 64_000_000
"""The room that a folder may take, some ten small books; of a large one it takes twice what a build needs."""
MOST_FILES = 12
"""Each build in which something has changed writes one file."""
_PROJECT = PROJECT
_CODE = ("build_tools", "calculators")
_CODE_FILES = (".py", ".json", ".txt", ".yml")
_LOADED_AT = time.time()
_LOADING_S = 1.0
"""Longer than the loading of our modules takes."""
_T = TypeVar("_T")


class KeptResults:
    """The kept results of one book. Without a folder nothing is kept, and everything is worked out."""

    def __init__(
        self, folder: Path | None, *, most_bytes: int = MOST_BYTES, most_files: int = MOST_FILES
    ) -> None:
        self.folder = folder
        self.most_bytes = most_bytes
        self.most_files = most_files
        self._places = {} if folder is None else read_places(folder)
        self._asked: set[str] = set()
        self._new: dict[str, bytes] = {}

    def of(self, step: str, depends: tuple[str, ...], make: Callable[[], _T]) -> _T:
        """Give the result of a step, which JSON can write: the kept one, or what `make` gives.

        `depends` is all that it depends on beside our code. Both ways give lists where `make` gives tuples.
        """
        if self.folder is None:
            return make()
        known: _T | None = self.find(step, depends)
        return self.keep(step, depends, make()) if known is None else known

    def find(self, step: str, depends: tuple[str, ...]) -> Any:
        """Give what `keep` kept, None where there is nothing."""
        content = self.find_bytes(step, depends)
        return None if content is None else json.loads(content)

    def keep(self, step: str, depends: tuple[str, ...], result: _T) -> _T:
        """Keep a result that is not None, and give it as it will be found."""
        content = json.dumps(result, ensure_ascii=False, separators=(",", ":")).encode()
        self.keep_bytes(step, depends, content)
        found: _T = json.loads(content)
        return found

    def find_bytes(self, step: str, depends: tuple[str, ...]) -> bytes | None:
        """Give what `keep_bytes` kept, None where there is nothing whole."""
        if self.folder is None:
            return None
        name = _name(step, depends)
        self._asked.add(name)
        if name in self._new:
            return self._new[name]
        place = self._places.get(name)
        return read_result(name, place) if place else None

    def keep_bytes(self, step: str, depends: tuple[str, ...], content: bytes) -> None:
        """Keep bytes under the hash of what they depend on, from `save` on for later builds."""
        if self.folder is not None:
            self._new[_name(step, depends)] = content

    def bytes_of(self, step: str, depends: tuple[str, ...], make: Callable[[], bytes]) -> bytes:
        """Give the bytes of a step: the kept ones, or what `make` gives."""
        found = self.find_bytes(step, depends)
        if found is None:
            found = make()
            self.keep_bytes(step, depends, found)
        return found

    def save(self) -> None:
        """Write what is new; where the disk does not take it, nothing is kept. Old results go for room."""
        if self.folder is None:
            return
        with contextlib.suppress(OSError):
            if self._new:
                write_results(self.folder, self._new)
            files = files_in(self.folder)
            room = max(self.most_bytes, 2 * self._asked_bytes())
            if len(files) > self.most_files or sum(file.stat().st_size for file in files) > room:
                self._put_together(self.folder, files)

    def _asked_bytes(self) -> int:
        found = sum(self._places[name][2] for name in self._asked if name in self._places)
        return found + sum(len(content) for content in self._new.values())

    def _put_together(self, folder: Path, files: list[Path]) -> None:
        """Write one file instead of many: what was asked for, and the newest of the rest in half the room."""
        places = read_places(folder)
        wanted = [name for name in places if name in self._asked]
        room = self.most_bytes // 2 - sum(places[name][2] for name in wanted)
        rest = []
        for name in reversed([name for name in places if name not in self._asked]):
            room -= places[name][2]
            if room < 0:
                break
            rest.append(name)
        found = {name: read_result(name, places[name]) for name in [*reversed(rest), *wanted]}
        write_results(folder, {name: content for name, content in found.items() if content is not None})
        take_away(files, folder)


def _name(step: str, depends: tuple[str, ...]) -> str:
    sum_ = hashlib.sha256(f"{code_key()} {step}".encode())
    for part in depends:
        sum_.update(hashlib.sha256(part.encode()).digest())
    return f"{step}-{sum_.hexdigest()}"


NOTHING_KEPT = KeptResults(None)


def kept_problems(
    kept: KeptResults, step: str, depends: tuple[str, ...], find: Callable[[], Iterable[Problem]]
) -> list[Problem]:
    """Give what a check finds, or what it found in an earlier build in the same."""
    told = kept.of(step, depends, lambda: [astuple(problem) for problem in find()])
    return [Problem(*parts) for parts in told]


def kept_results(project: Path) -> KeptResults:
    """Give what is kept of a project's earlier builds, and nothing while our code is being changed."""
    return KeptResults(project / FOLDER) if _code_is_at_rest() else NOTHING_KEPT


@cache
def code_key() -> str:
    """Give a hash over all code that a result may come from: ours, the libraries by version, and Python."""
    parts = [sys.version, sys.platform, zlib.ZLIB_RUNTIME_VERSION, *_libraries()]
    sum_ = hashlib.sha256("\n".join(parts).encode())
    for path in _code_files():
        sum_.update(f"\n{path.relative_to(_PROJECT).as_posix()}\n".encode())
        sum_.update(hashlib.sha256(path.read_bytes()).digest())
    return sum_.hexdigest()


def _code_is_at_rest() -> bool:
    """Tell whether this process has surely loaded the code that `code_key` reads."""
    return all(path.stat().st_mtime < _LOADED_AT - _LOADING_S for path in _code_files())


@cache
def _code_files() -> tuple[Path, ...]:
    found = (path for folder in _CODE for path in sorted((_PROJECT / folder).rglob("*")))
    return tuple(path for path in found if path.suffix in _CODE_FILES)


def _libraries() -> list[str]:
    """Name every installed package with its version, as pip writes it in the name of the package's folder."""
    found: set[str] = set()
    for folder in sys.path:
        with contextlib.suppress(OSError):
            found.update(os.listdir(folder or "."))
    return sorted(name for name in found if name.endswith((".dist-info", ".egg-info")))

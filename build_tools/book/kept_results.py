"""Results of the last builds, kept in a folder of the project, so that only what changed is worked out again.

A result is found by a hash over everything that it depends on: what its stage is given, the source of our
code, and the versions of Python and of the libraries. So a result is never out of date, it is only no longer
asked for. Each kind of run keeps one file of what it asked for; all of them are looked into. Without the
folder, with a damaged file or on a disk that takes nothing, the same is worked out anew.
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

from build_tools.book.kept_file import read_results, write_results
from build_tools.places import PROJECT
from build_tools.reading.problems import Problem

FOLDER = ".kept_results"
"""Its name in the project, which git ignores."""
_FILES = {kind: f"{kind}.kept" for kind in ("build", "stopped", "check")}
"""A file for each kind of run: a build, one that mistakes have stopped, and the checks alone."""
_PROJECT = PROJECT
_CODE = ("build_tools", "calculators")
_CODE_FILES = (".py", ".json", ".txt", ".yml")
_LOADED_AT = time.time()
_LOADING_S = 1.0
"""Longer than the loading of our modules takes."""
_T = TypeVar("_T")


class KeptResults:
    """The kept results of one book. Without a folder nothing is kept, and everything is worked out."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        files = [folder / name for name in _FILES.values()] if folder else []
        self._earlier = {name: result for file in files for name, result in read_results(file).items()}
        self._asked: dict[str, bytes] = {}

    def of(self, stage: str, depends: tuple[str, ...], make: Callable[[], _T]) -> _T:
        """Return the result of a stage, which JSON can write: the kept one, or what `make` returns.

        `depends` is all that it depends on beside our code. Both ways give lists where `make` gives tuples.
        """
        if self.folder is None:
            return make()
        known: _T | None = self.find(stage, depends)
        return self.keep(stage, depends, make()) if known is None else known

    def find(self, stage: str, depends: tuple[str, ...]) -> Any:
        """Return what `keep` kept, None where there is nothing."""
        content = self.find_bytes(stage, depends)
        return None if content is None else json.loads(content)

    def keep(self, stage: str, depends: tuple[str, ...], result: _T) -> _T:
        """Keep a result that is not None, and give it as it will be found."""
        content = json.dumps(result, ensure_ascii=False, separators=(",", ":")).encode()
        self.keep_bytes(stage, depends, content)
        found: _T = json.loads(content)
        return found

    def find_bytes(self, stage: str, depends: tuple[str, ...]) -> bytes | None:
        """Return what `keep_bytes` kept, None where there is nothing."""
        if self.folder is None:
            return None
        name = _name(stage, depends)
        known = self._asked.get(name, self._earlier.get(name))
        if known is not None:
            self._asked[name] = known
        return known

    def keep_bytes(self, stage: str, depends: tuple[str, ...], content: bytes) -> None:
        """Keep bytes under the hash of what they depend on, from `save` on for later builds."""
        if self.folder is not None:
            self._asked[_name(stage, depends)] = content

    def save(self, kind: str) -> None:
        """Write what a run of this kind asked for, and no more; a disk that takes nothing keeps nothing."""
        if self.folder is not None:
            with contextlib.suppress(OSError):
                write_results(self.folder / _FILES[kind], self._asked)


def _name(stage: str, depends: tuple[str, ...]) -> str:
    sum_ = hashlib.sha256(f"{code_key()} {stage}".encode())
    for part in depends:
        sum_.update(hashlib.sha256(part.encode()).digest())
    return f"{stage}-{sum_.hexdigest()}"


NOTHING_KEPT = KeptResults(None)


def kept_problems(
    kept: KeptResults, stage: str, depends: tuple[str, ...], find: Callable[[], Iterable[Problem]]
) -> list[Problem]:
    """Return what a check finds, or what it found in an earlier build of the same words."""
    told = kept.of(stage, depends, lambda: [astuple(problem) for problem in find()])
    return [Problem(*parts) for parts in told]


def kept_results(project: Path) -> KeptResults:
    """Return what is kept of a project's earlier builds, and nothing while our code is being changed."""
    return KeptResults(project / FOLDER) if _code_is_at_rest() else NOTHING_KEPT


@cache
def code_key() -> str:
    """Return a hash over all code that a result may come from: ours, the libraries by version, and Python."""
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

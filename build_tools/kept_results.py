"""Results of earlier builds, kept in a folder of the project, so that only what changed is worked out again.

A result is found by a hash over everything that it depends on: what its step is given, the source of our
code, and the versions of Python and of the libraries. So an entry is never out of date, it is only no longer
asked for. Without the folder, with a damaged entry or on a disk that takes nothing, the same is worked out
anew. Entries are written under a name of their own and then renamed, so that two builds at once do not meet
in one.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import tempfile
import time
import zlib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

FOLDER = ".kept_results"
"""Its name in the project, which git ignores."""
MOST_BYTES = 64_000_000
"""The room that a folder may take, some ten small books. What a build used itself is kept beyond it."""
_PROJECT = Path(__file__).resolve().parents[1]
_CODE = ("build_tools", "calculators")
_CODE_FILES = (".py", ".json", ".txt", ".yml")
_LOADED_AT = time.time()
_LOADING_S = 1.0
"""Longer than the loading of our modules takes."""
_DIGEST = hashlib.sha256().digest_size
_T = TypeVar("_T")


class KeptResults:
    """The kept results of one book. Without a folder nothing is kept, and everything is worked out."""

    def __init__(self, folder: Path | None, *, most_bytes: int = MOST_BYTES) -> None:
        self.folder = folder
        self.most_bytes = most_bytes
        self._begun = time.time()

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
        path = self._path(step, depends)
        try:
            written = path.read_bytes()
        except OSError:
            return None
        with contextlib.suppress(OSError):
            os.utime(path)  # drop_old takes what has not been asked for longest
        content = written[_DIGEST:]
        return content if hashlib.sha256(content).digest() == written[:_DIGEST] else None

    def keep_bytes(self, step: str, depends: tuple[str, ...], content: bytes) -> None:
        """Keep bytes under the hash of what they depend on. Where the disk does not take them, nothing is."""
        if self.folder is None:
            return
        with contextlib.suppress(OSError):
            self.folder.mkdir(exist_ok=True)
            handle, half = tempfile.mkstemp(dir=self.folder, prefix="half-written-")
            try:
                with open(handle, "wb") as file:
                    file.write(hashlib.sha256(content).digest() + content)
                os.replace(half, self._path(step, depends))
            except OSError:
                os.unlink(half)

    def bytes_of(self, step: str, depends: tuple[str, ...], make: Callable[[], bytes]) -> bytes:
        """Give the bytes of a step: the kept ones, or what `make` gives."""
        found = self.find_bytes(step, depends)
        if found is None:
            found = make()
            self.keep_bytes(step, depends, found)
        return found

    def drop_old(self) -> None:
        """Take away what has not been asked for longest, until the folder has its size.

        What was asked for since this object was made stays, and so do files that another build is writing.
        """
        entries = sorted(self._entries(), reverse=True)
        room = self.most_bytes
        for asked_at, size, path in entries:
            room -= size
            if room < 0 and asked_at < self._begun - 1:  # some disks keep whole seconds alone
                with contextlib.suppress(OSError):
                    os.unlink(path)

    def _entries(self) -> Iterator[tuple[float, int, str]]:
        """Give when each entry was last asked for, its size in bytes and its path."""
        with contextlib.suppress(OSError), os.scandir(self.folder or "") as found:
            for entry in found:
                with contextlib.suppress(OSError):
                    status = entry.stat()
                    yield status.st_mtime, status.st_size, entry.path

    def _path(self, step: str, depends: tuple[str, ...]) -> Path:
        sum_ = hashlib.sha256(f"{code_key()} {step}".encode())
        for part in depends:
            sum_.update(hashlib.sha256(part.encode()).digest())
        return (self.folder or Path()) / f"{step}-{sum_.hexdigest()}"


NOTHING_KEPT = KeptResults(None)


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

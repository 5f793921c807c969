"""Packed copies of large files, made in threads of their own while the rest of the book is being built."""

from __future__ import annotations

import gzip
import hashlib
import io
import os
from concurrent.futures import Future, ThreadPoolExecutor

from build_tools.book.kept_results import NOTHING_KEPT, KeptResults
from build_tools.vendor import derived, refresh

PACK_FROM_BYTES = 8_000


class Packing:
    """The packed copies of one build, by the SHA-256 of what they hold: vendored, kept or made now.

    What is begun early is found again by its hash; a file that has been changed in between has another.
    """

    def __init__(self, kept: KeptResults = NOTHING_KEPT) -> None:
        self._kept = kept
        self._copies: dict[str, bytes | Future[bytes]] = {}
        self._packers: ThreadPoolExecutor | None = None

    def begin(self, content: bytes) -> str:
        """Begin to pack a content that is large enough; returns its hash, 64 hex digits."""
        sha256 = hashlib.sha256(content).hexdigest()
        if len(content) >= PACK_FROM_BYTES and sha256 not in self._copies:
            known = derived.packed_copy(sha256, refresh.FOLDER) or self._kept.find_bytes("packed", (sha256,))
            self._copies[sha256] = known or self._pool().submit(pack, content)
        return sha256

    def copy(self, sha256: str) -> bytes | None:
        """Return the packed copy of content that was begun, None where it is too small to be packed."""
        found = self._copies.get(sha256)
        if isinstance(found, Future):
            found = self._copies[sha256] = found.result()
            self._kept.keep_bytes("packed", (sha256,), found)
        return found

    def _pool(self) -> ThreadPoolExecutor:
        if self._packers is None:
            self._packers = ThreadPoolExecutor(os.cpu_count())  # packing leaves Python's lock alone
        return self._packers


def pack(content: bytes) -> bytes:
    """The same gzip bytes for the same content: no name, no time.

    At this level nothing comes out 1 % larger than at the next, and in half of the time.
    """
    buffer = io.BytesIO()
    with gzip.GzipFile(filename="", mode="wb", compresslevel=7, fileobj=buffer, mtime=0) as stream:
        stream.write(content)
    return buffer.getvalue()

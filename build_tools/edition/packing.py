"""Packed copies of large files: vendored, kept from an earlier build, or made now."""

from __future__ import annotations

import gzip
import io

from build_tools.book.kept_results import KeptResults
from build_tools.vendor import derived, refresh

PACK_FROM_BYTES = 8_000


def packed_copy_of(content: bytes, sha256: str, kept: KeptResults) -> bytes | None:
    """Return the packed copy of content with this hash, 64 hex digits; None where it is too small for one."""
    if len(content) < PACK_FROM_BYTES:
        return None
    known = derived.packed_copy(sha256, refresh.FOLDER) or kept.find_bytes("packed", (sha256,))
    if known is None:
        known = pack(content)
        kept.keep_bytes("packed", (sha256,), known)
    return known


def pack(content: bytes) -> bytes:
    """The same gzip bytes for the same content: no name, no time.

    At this level nothing comes out 1 % larger than at the next, and in half of the time.
    """
    buffer = io.BytesIO()
    with gzip.GzipFile(filename="", mode="wb", compresslevel=7, fileobj=buffer, mtime=0) as stream:
        stream.write(content)
    return buffer.getvalue()

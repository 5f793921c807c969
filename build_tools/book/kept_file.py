"""How the results of one build lie in one file: a hash, a line of names and lengths, then the results.

The hash is a SHA-256, in hex, over all that follows its line. The file is written whole under another name
and then renamed, so two builds at once can both write it; the later one stays.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path


def read_results(file: Path) -> dict[str, bytes]:
    """Read the results by their names; none where the file is missing or any byte of it is wrong."""
    try:
        sum_, _, rest = file.read_bytes().partition(b"\n")
    except OSError:
        return {}
    if _sum(rest) != sum_:
        return {}
    line, _, content = rest.partition(b"\n")
    results, at = {}, 0
    for name, length in json.loads(line).items():
        results[name] = content[at : at + length]
        at += length
    return results


def write_results(file: Path, results: Mapping[str, bytes]) -> None:
    """Write the results of a build over an earlier one's. Raises OSError where the disk takes nothing."""
    names = json.dumps({name: len(content) for name, content in results.items()})
    rest = b"".join([names.encode(), b"\n", *results.values()])
    file.parent.mkdir(exist_ok=True)
    half = file.with_name(f"{file.name}-{os.getpid()}")
    try:
        half.write_bytes(_sum(rest) + b"\n" + rest)
        os.replace(half, file)
    except OSError:
        with contextlib.suppress(OSError):
            half.unlink()
        raise


def _sum(content: bytes) -> bytes:
    return hashlib.sha256(content).hexdigest().encode()

"""Make of Pyodide's files, once for each version, what would cost every build and every phone time.

The standard library cut and compiled, the runtime without the exports that nothing here uses, and these
packed as small as gzip allows. A packed file is found by the hash of what is in it, so that it can never
stand for other bytes.
"""

from __future__ import annotations

import importlib
from functools import cache
from pathlib import Path

from build_tools.faults import Fault
from build_tools.vendor.cut_exports import cut
from build_tools.vendor.cut_library import cut_library
from build_tools.vendor.package import SUMS

LOADER, GLUE, MODULE, LIBRARY = "pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip"
CUT_GLUE, CUT_MODULE, CUT_LIBRARY = "cut.asm.mjs", "cut.asm.wasm", "cut_stdlib.zip"
SQUEEZED = (CUT_GLUE, CUT_MODULE, CUT_LIBRARY)
SUFFIX = ".packed"
MADE = (*SQUEEZED, *(name + SUFFIX for name in SQUEEZED))
ROUNDS = 5  # more make no difference of a kilobyte


def derive(folder: Path) -> None:
    """Write the cut library, the cut runtime and packed copies of both beside the files of `folder`.

    Raises Fault where Node.js or zopfli is missing, or the library cannot be cut.
    """
    cut_library(folder, folder / CUT_LIBRARY)
    cut_runtime(folder)
    for name in SQUEEZED:
        (folder / (name + SUFFIX)).write_bytes(squeezed((folder / name).read_bytes()))


def cut_runtime(folder: Path) -> None:
    """Write the runtime in `folder` without unused exports. Raises Fault for an unknown glue."""
    glue, loader = ((folder / name).read_text(encoding="utf-8") for name in (GLUE, LOADER))
    cut_glue, cut_module = cut(glue, (folder / MODULE).read_bytes(), loader)
    (folder / CUT_GLUE).write_text(cut_glue, encoding="utf-8")
    (folder / CUT_MODULE).write_bytes(cut_module)


def squeezed(content: bytes) -> bytes:
    """Return `content` as the smallest gzip that can be had; it takes half a minute for the largest file."""
    try:
        zopfli = importlib.import_module("zopfli.gzip")
    except ModuleNotFoundError:
        raise Fault(
            "Vendored files are packed with zopfli, which is not installed.",
            "pip install zopfli beside what is there; nothing else needs it.",
        ) from None
    packed: bytes = zopfli.compress(content, numiterations=ROUNDS)
    return packed


def packed_copy(sha256: str, folder: Path) -> bytes | None:
    """Return the packed copy of the file with this hash where `folder` has one."""
    listed = listed_hashes(folder)
    packed = (name + SUFFIX for name in SQUEEZED if listed.get(name) == sha256 and name + SUFFIX in listed)
    return next(((folder / name).read_bytes() for name in packed), None)


@cache
def listed_hashes(folder: Path) -> dict[str, str]:
    """Return the SHA-256 of each vendored file of `folder`, 64 hex digits, as it was written down."""
    lines = (folder / SUMS).read_text(encoding="utf-8").splitlines()
    return {name: sha256 for sha256, _, name in (line.partition("  ") for line in lines)}

"""Make of Pyodide's files, once for each version, what would cost every build and every phone time.

The standard library compiled by the Python that will run it, the runtime without the exports that nothing
here uses, and the two largest files packed as small as gzip allows. A packed file is found by the hash of
what is in it, so that it can never stand for other bytes.
"""

from __future__ import annotations

import importlib
import subprocess
import zipfile
from functools import cache
from pathlib import Path

from build_tools.faults import Fault
from build_tools.places import VENDOR
from build_tools.vendor.cut_exports import cut
from build_tools.vendor.package import SUMS

COMPILED = "compiled_stdlib.zip"
LOADER, GLUE, MODULE = "pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm"
CUT_GLUE, CUT_MODULE = "cut.asm.mjs", "cut.asm.wasm"
SQUEEZED = (CUT_GLUE, CUT_MODULE)
SUFFIX = ".packed"
MADE = (COMPILED, *SQUEEZED, *(name + SUFFIX for name in SQUEEZED))
COMPILER = VENDOR / "compile_library.mjs"
ROUNDS = 5  # more make no difference of a kilobyte


def derive(folder: Path) -> None:
    """Write the compiled library, the cut runtime and its packed copies beside the files of `folder`.

    Raises Fault where Node.js or zopfli is missing, or the library cannot be compiled.
    """
    compile_library(folder)
    cut_runtime(folder)
    for name in SQUEEZED:
        (folder / (name + SUFFIX)).write_bytes(squeezed((folder / name).read_bytes()))


def compile_library(folder: Path) -> None:
    """Compile the library in `folder` with the Pyodide beside it, under Node.js."""
    target = folder / COMPILED
    command = ["node", str(COMPILER), str(folder), str(target)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["Node.js said nothing"])[-1]
        raise Fault(f"The library cannot be compiled under Node.js: {last}", "use another version.")
    with zipfile.ZipFile(target) as plain:
        modules = [(entry, plain.read(entry)) for entry in plain.infolist()]
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as deflated:
        for entry, content in modules:
            deflated.writestr(entry, content, zipfile.ZIP_DEFLATED, 9)


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
    """Give the SHA-256 of each vendored file of `folder`, 64 hex digits, as it was written down."""
    lines = (folder / SUMS).read_text(encoding="utf-8").splitlines()
    return {name: sha256 for sha256, _, name in (line.partition("  ") for line in lines)}

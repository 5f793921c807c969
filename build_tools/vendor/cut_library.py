"""Cut Python's standard library, as Pyodide brings it, to the modules that a phone needs.

A module is needed if Pyodide imports it while it starts, or if a calculator imports it, directly or through
other modules of the library. What the start imports was measured, and what each module imports was read, when
the files were vendored: both lie beside them.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from build_tools.places import PYODIDE
from build_tools.vendor.module_imports import imports_of, module_files

LIBRARY = PYODIDE / "python_stdlib.zip"
COMPILED = PYODIDE / "compiled_stdlib.zip"
"""The same modules, compiled: what is served, since compiling took a phone two thirds of its first start."""
STARTUP = PYODIDE / "STARTUP_MODULES"
"""One name a line: what Pyodide has imported from the library when it is ready."""
IMPORTS = PYODIDE / "LIBRARY_IMPORTS"
"""One module of the library a line, and behind its name what of the library it imports."""

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The date of every file in the cut library: the archive must not tell when it was made."""


def needed_modules(
    sources: Iterable[str], *, imports: Path = IMPORTS, startup: Path = STARTUP
) -> frozenset[str]:
    """Name the library modules that Pyodide's start and the given Python sources need."""
    lines = (line.split() for line in imports.read_text(encoding="utf-8").splitlines())
    library = {name: imported for name, *imported in lines}
    measured = startup.read_text(encoding="utf-8").split()
    found = set(_with_parents(measured)) & library.keys()
    waiting = sorted({name for source in sources for name in imports_of(source)})
    while waiting:
        for name in _with_parents([waiting.pop()]):
            if name in library and name not in found:
                found.add(name)
                waiting += library[name]
    return frozenset(found)


def cut_library(zip_path: Path, modules: Iterable[str]) -> bytes:
    """Return the archive with the named modules alone. Raises KeyError for a module that the archive has not.

    The files are stored, not deflated: the same bytes whichever compressor is there, a smaller transfer once
    the whole archive is packed, and nothing to unpack at each import.
    """
    cut = io.BytesIO()
    with zipfile.ZipFile(zip_path) as library, zipfile.ZipFile(cut, "w", zipfile.ZIP_STORED) as smaller:
        files = module_files(library)
        for path in sorted(files[name] for name in set(modules)):
            entry = zipfile.ZipInfo(path, EARLIEST)
            entry.create_system = 3  # Unix, whatever system builds it
            entry.external_attr = 0o644 << 16
            smaller.writestr(entry, library.read(path))
    return cut.getvalue()


def _with_parents(names: Iterable[str]) -> Iterator[str]:
    """Give each dotted name after the packages that hold it."""
    for name in names:
        parts = name.split(".")
        yield from (".".join(parts[:count]) for count in range(1, len(parts) + 1))

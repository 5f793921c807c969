"""Cut Python's standard library, as Pyodide brings it, to the modules that a phone needs.

A module is needed if Pyodide imports it while it starts (measured, and kept beside the vendored files), or if
a calculator imports it, directly or through other modules of the library.
"""

from __future__ import annotations

import ast
import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path

PYODIDE = Path(__file__).parent / "vendor" / "pyodide"
LIBRARY = PYODIDE / "python_stdlib.zip"
COMPILED = PYODIDE / "compiled_stdlib.zip"
"""The same modules, compiled: what is served, since compiling took a phone two thirds of its first start."""
STARTUP = PYODIDE / "STARTUP_MODULES"
"""One name a line: what Pyodide has imported from the library when it is ready."""

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The date of every file in the cut library: the archive must not tell when it was made."""

_IMPORT = re.compile(
    r"^[ \t]*(?:from[ \t]+[\w.]+[ \t]+import[ \t]*(?:\([^)]*\)|[^\n(]+)|import[ \t]+[^\n]+)", re.MULTILINE
)
"""An import statement that begins a line, to the end of its line or of its brackets."""


def needed_modules(
    sources: Iterable[str], *, library: Path = LIBRARY, startup: Path = STARTUP
) -> frozenset[str]:
    """Name the library modules that Pyodide's start and the given Python sources need."""
    measured = startup.read_text(encoding="utf-8").split()
    with zipfile.ZipFile(library) as archive:
        files = _files(archive)
        found = set(_with_parents(measured)) & files.keys()
        waiting = sorted({name for source in sources for name in imports_of(source)})
        while waiting:
            for name in _with_parents([waiting.pop()]):
                if name in files and name not in found:
                    found.add(name)
                    waiting += sorted(_imports_when_loaded(archive, name, files[name]))
    return frozenset(found)


def cut_library(zip_path: Path, modules: Iterable[str]) -> bytes:
    """Return the archive with the named modules alone. Raises KeyError for a module that the archive has not.

    The files are stored, not deflated: the same bytes whichever compressor is there, a smaller transfer once
    the whole archive is packed, and nothing to unpack at each import.
    """
    cut = io.BytesIO()
    with zipfile.ZipFile(zip_path) as library, zipfile.ZipFile(cut, "w", zipfile.ZIP_STORED) as smaller:
        files = _files(library)
        for path in sorted(files[name] for name in set(modules)):
            entry = zipfile.ZipInfo(path, EARLIEST)
            entry.create_system = 3  # Unix, whatever system builds it
            entry.external_attr = 0o644 << 16
            smaller.writestr(entry, library.read(path))
    return cut.getvalue()


def imports_of(source: str) -> set[str]:
    """Name every module that a source imports, in functions too.

    Only its import statements are parsed, which are found by how their lines begin: it takes a thirtieth of
    the time. Where a line of text begins like one, the whole source is parsed.
    """
    statements = "\n".join(found.strip() for found in _IMPORT.findall(source))
    try:
        return _imports(ast.parse(statements))
    except SyntaxError:
        return _imports(ast.parse(source))


def _files(archive: zipfile.ZipFile) -> dict[str, str]:
    """Map each module of the library to its file."""
    paths = (path for path in archive.namelist() if path.endswith((".py", ".pyc")))
    return {path.rpartition(".")[0].removesuffix("/__init__").replace("/", "."): path for path in paths}


def _with_parents(names: Iterable[str]) -> Iterator[str]:
    """Give each dotted name after the packages that hold it."""
    for name in names:
        parts = name.split(".")
        yield from (".".join(parts[:count]) for count in range(1, len(parts) + 1))


def _imports_when_loaded(archive: zipfile.ZipFile, name: str, path: str) -> set[str]:
    """Name what a library module imports while it is imported itself, not what its functions import later."""
    package = name if path.endswith("/__init__.py") else name.rpartition(".")[0]
    return _imports(ast.parse(archive.read(path)), package=package, into_functions=False)


def _imports(tree: ast.AST, *, package: str = "", into_functions: bool = True) -> set[str]:
    """Name every module that `tree` imports; of `from a import b` both a and a.b, since b may be a module."""
    names: set[str] = set()
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = _base(node, package)
            names.update([base, *(f"{base}.{alias.name}" for alias in node.names)])
        elif into_functions or not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            waiting += ast.iter_child_nodes(node)
    return names


def _base(node: ast.ImportFrom, package: str) -> str:
    """Resolve the dots of a relative import inside `package`."""
    if not node.level:
        return node.module or ""
    parts = package.split(".")
    kept = parts[: len(parts) - node.level + 1]
    return ".".join([*kept, node.module] if node.module else kept)

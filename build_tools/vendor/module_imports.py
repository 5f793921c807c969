"""Which modules a Python source imports, told from its text without running it."""

from __future__ import annotations

import ast
import re
import zipfile
from pathlib import Path

_IMPORT = re.compile(
    r"^[ \t]*(?:from[ \t]+[\w.]+[ \t]+import[ \t]*(?:\([^)]*\)|[^\n(]+)|import[ \t]+[^\n]+)", re.MULTILINE
)
"""An import statement that begins a line, to the end of its line or of its brackets."""


def imports_of(source: str) -> set[str]:
    """Name every module that a source imports, in functions too.

    Only its import statements are parsed, which are found by how their lines begin: it takes a thirtieth of
    the time. Where a line of text begins like one, the whole source is parsed.
    """
    try:
        return _imports(_statements(source))
    except SyntaxError:
        return _imports(ast.parse(source))


def library_imports(library: Path) -> str:
    """Give a line for each module of a library in a zip: its name, and what of the library it imports while
    it is imported itself, not what its functions import later.

    The library may be of a later Python than this one. Of a module that cannot be read for that, what its
    functions import counts too: rather one module too many than one that a phone lacks.
    """
    with zipfile.ZipFile(library) as archive:
        files = module_files(archive)
        sources = {name: archive.read(path).decode("utf-8") for name, path in files.items()}
    found = {name: when_loaded(sources[name], name, files[name]) for name in files}
    return "".join(" ".join([name, *sorted(found[name] & files.keys())]) + "\n" for name in sorted(files))


def module_files(archive: zipfile.ZipFile) -> dict[str, str]:
    """Map each module of a library to its file."""
    paths = (path for path in archive.namelist() if path.endswith((".py", ".pyc")))
    return {path.rpartition(".")[0].removesuffix("/__init__").replace("/", "."): path for path in paths}


def when_loaded(source: str, name: str, path: str) -> set[str]:
    """Name what one module imports; `path` tells whether it is a package. Raises SyntaxError where not even
    its import statements can be read."""
    package = name if path.endswith("/__init__.py") else name.rpartition(".")[0]
    try:
        return _imports(ast.parse(source), package=package, into_functions=False)
    except SyntaxError:
        return _imports(_statements(source), package=package)


def _statements(source: str) -> ast.Module:
    return ast.parse("\n".join(found.strip() for found in _IMPORT.findall(source)))


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

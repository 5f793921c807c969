"""Cut Python's standard library, as Pyodide brings it, to the modules that a phone needs.

A module is needed if Pyodide imports it while it starts, or if a calculator imports it, directly or through
other modules of the library. The Pyodide that will run them says which, and compiles them: compiling would
take a phone two thirds of its first start.
"""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterable
from pathlib import Path

from build_tools.faults import Fault
from build_tools.places import CALCULATORS, VENDOR

CUTTER = VENDOR / "cut_library.mjs"


def cut_library(folder: Path, target: Path, *, names: Iterable[str] | None = None) -> None:
    """Write the cut of the library in `folder` to `target`, with the Pyodide beside it, under Node.js.

    `names` are imported beside what the start imports; those of the calculators where none are given. Raises
    Fault where the library cannot be cut.
    """
    wanted = sorted(imported_names(CALCULATORS) if names is None else names)
    command = ["node", str(CUTTER), str(folder), str(target), *wanted]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["Node.js said nothing"])[-1]
        raise Fault(f"The library cannot be cut under Node.js: {last}", "use another version.")


def imported_names(folder: Path) -> set[str]:
    """Name all that the modules of `folder` import, in functions too, but for the command line's.

    Of `from a import b` both a and a.b are named, since b may be a module.
    """
    names: set[str] = set()
    for path in folder.rglob("*.py"):
        if path.name != "__main__.py":
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Import):
                    names.update(alias.name for alias in node.names)
                elif isinstance(node, ast.ImportFrom) and node.module:
                    names.update([node.module, *(f"{node.module}.{alias.name}" for alias in node.names)])
    return {name for name in names if name.partition(".")[0] != folder.name}

"""Where the project's own files lie, said once, so that no module counts the folders above itself."""

from __future__ import annotations

from pathlib import Path

TOOLS = Path(__file__).resolve().parent
PROJECT = TOOLS.parent
CALCULATORS = PROJECT / "calculators"
BROWSER = TOOLS / "browser"
THEME = TOOLS / "theme"
VENDOR = TOOLS / "vendor"
PYODIDE = VENDOR / "pyodide"

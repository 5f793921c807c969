"""Fetch another version of Pyodide into build_tools/vendor/pyodide."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Sequence

from build_tools.vendor.refresh import FOLDER, refresh


def run(arguments: Sequence[str]) -> int:
    """Replace the vendored files by those of the version asked for."""
    parser = argparse.ArgumentParser(prog="build_tools vendor", description=__doc__)
    parser.add_argument("version", help="the version of the npm package, for example 314.0.7")
    version = parser.parse_args(arguments).version
    names = refresh(version, date=datetime.date.today().isoformat())
    print(f"Pyodide {version}: {len(names)} files, hashes in {FOLDER.name}/SHA256SUMS. Now run every test.")
    return 0

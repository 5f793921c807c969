"""Fetch another version of a vendored package into its folder in build_tools/vendor."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Sequence

from build_tools.vendor import axe, idb, refresh

PACKAGES = {module.PACKAGE: module.refresh for module in (refresh, axe, idb)}


def run(arguments: Sequence[str]) -> int:
    """Replace the vendored files of one package by those of the version asked for."""
    parser = argparse.ArgumentParser(prog="build_tools vendor", description=__doc__)
    parser.add_argument("package", choices=sorted(PACKAGES))
    parser.add_argument("version", help="the version of the npm package, for example 314.0.7")
    asked = parser.parse_args(arguments)
    names = PACKAGES[asked.package](asked.version, date=datetime.date.today().isoformat())
    print(f"{asked.package} {asked.version}: {len(names)} files and their hashes. Now run every test.")
    return 0

"""Build the handbook, strictly: any mistake stops it, and the book that was there before stays as it was."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from build_tools.places import PROJECT
from build_tools.site.building import BookMistakes, build_book


def run(arguments: Sequence[str]) -> int:
    """Build into site/ or the folder asked for. Mistakes go to standard error, with exit code 1."""
    parser = argparse.ArgumentParser(prog="build_tools build", description=__doc__)
    parser.add_argument(
        "--into", type=Path, default=PROJECT / "site", metavar="FOLDER", help="default: site/"
    )
    into = parser.parse_args(arguments).into
    begun = time.monotonic()
    try:
        built = build_book(PROJECT, into)
    except BookMistakes as mistakes:
        print(mistakes.text, file=sys.stderr)
        return 1
    print(f"Edition {built.edition} of {built.date} is in {into}, built in {time.monotonic() - begun:.1f} s.")
    if built.closing:
        print(built.closing)
    return 0

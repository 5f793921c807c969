"""Lock the requirements: exact versions and hashes for Python 3.11 to 3.14 on every system, no address."""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from build_tools.faults import Fault
from build_tools.places import PROJECT
from build_tools.setting_up.environment import LEVELS

HEADER = "# Made from {level}.in by `python3 -m build_tools lock`. Do not edit.\n"
OPTIONS = (
    "--universal",
    "--generate-hashes",
    "--python-version=3.11",
    "--fork-strategy=fewest",  # one version for every Python, so that a book has the same bytes on each
    "--no-header",
    "--no-annotate",
    "--no-emit-index-url",
    "--no-emit-find-links",
    "--quiet",
)


def run(arguments: Sequence[str]) -> int:
    """Write book.txt and tests.txt; the tests get the book's versions."""
    parser = argparse.ArgumentParser(prog="build_tools lock", description=__doc__)
    parser.add_argument("--upgrade", action="store_true", help="take the newest versions")
    upgrade = parser.parse_args(arguments).upgrade
    folder = PROJECT / "build_tools" / "setting_up" / "requirements"
    for level in LEVELS:
        compile_one(folder, level, upgrade=upgrade)
        print(f"{folder.name}/{level}.txt written")
    return 0


def compile_one(folder: Path, level: str, *, upgrade: bool) -> None:
    """Resolve one requirements file with uv. Raises Fault with uv's last line where it cannot."""
    uv = shutil.which("uv") or shutil.which("uv", path=str(Path(sys.executable).parent))
    if uv is None:
        raise Fault("uv is not installed, and locking needs it.", f"{sys.executable} -m pip install uv")
    held = [] if level == "book" else ["--constraints", str(folder / "book.txt")]
    output = folder / f"{level}.txt"
    wanted = ["--upgrade"] if upgrade else []
    files = ["--output-file", str(output), str(folder / f"{level}.in")]
    command = [uv, "pip", "compile", *OPTIONS, *held, *wanted, *files]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        reason = " ".join(done.stderr.split())
        raise Fault(f"uv could not lock {level}.in: {reason}", "change the requirement it names.")
    locked = without_header(output.read_text(encoding="utf-8"))
    output.write_text(HEADER.format(level=level) + locked, encoding="utf-8")


def without_header(text: str) -> str:
    """Return the locked text without the comment lines before the first requirement."""
    lines = text.splitlines(keepends=True)
    first = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    return "".join(lines[first:])

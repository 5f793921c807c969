"""Run pip quietly, tell how far it is, and keep what it printed for the day it fails."""

from __future__ import annotations

import os
import re
import subprocess
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from build_tools.setting_up.pip_faults import explain

Say = Callable[[str], None]

FETCHED = re.compile(r"^\s+Downloading \S+ \(([\d.]+) ([kMG]?B)\)")
IN_MEGABYTES = {"B": 1e-6, "kB": 1e-3, "MB": 1.0, "GB": 1e3}
SECONDS_BETWEEN_LINES = 3.0

IN_VENV = "HALF_TURN_IN_VENV"
"""Set for the process that goes on inside .venv, so that it never goes on a second time."""

PULLS_ELSEWHERE = {
    "PYTHONHOME",
    "PYTHONPATH",
    "PIP_USER",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_REQUIRE_VIRTUALENV",
    "__PYVENV_LAUNCHER__",
    IN_VENV,
}


def clean_surroundings() -> dict[str, str]:
    """Return the process environment without what would mix another Python's packages with those of .venv."""
    return {name: value for name, value in os.environ.items() if name not in PULLS_ELSEWHERE}


def run_module(
    python: Path, arguments: Sequence[str], *, log: Path, say: Say = lambda line: None, expected: int = 0
) -> None:
    """Run a module that installs, such as ["pip", "install", ...], and keep its output in `log`.

    `say` hears how far it is of `expected` packages; 0: nothing to tell. Raises Fault where it fails.
    """
    command = [str(python), "-m", *arguments]
    with subprocess.Popen(
        command,
        env={**clean_surroundings(), "PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1"},
        close_fds=False,  # it holds the lock on .venv as long as it runs
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as process:
        lines = follow(process.stdout or (), say, expected)
    output = "".join(lines)
    keep_log(log, command, output)
    if process.returncode != 0:
        raise explain(output, log)


def follow(output: Iterable[str], say: Say, expected: int) -> list[str]:
    """Collect what pip prints and say now and then how many packages it has found and fetched."""
    lines: list[str] = []
    collected, megabytes, said = 0, 0.0, time.monotonic()
    for line in output:
        lines.append(line)
        collected += line.startswith(("Collecting ", "Processing "))
        if found := FETCHED.match(line):
            megabytes += float(found[1]) * IN_MEGABYTES[found[2]]
        if expected and line.startswith("Installing collected packages"):
            say(f"      all {expected} found, {megabytes:.1f} MB fetched; unpacking")
            expected = 0
        elif expected and time.monotonic() - said >= SECONDS_BETWEEN_LINES:
            said = time.monotonic()
            say(f"      {min(collected, expected)} of {expected} found, {megabytes:.1f} MB fetched")
    return lines


def keep_log(log: Path, command: Sequence[str], output: str) -> None:
    """Add one run to the log; a log that cannot be written is no reason to stop."""
    try:
        with log.open("a", encoding="utf-8") as file:
            file.write(f"$ {' '.join(command)}\n{output}\n")
    except OSError:
        pass

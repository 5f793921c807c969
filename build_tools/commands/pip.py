"""Run pip quietly, tell how far it is, and turn its failures into one line and a fix."""

from __future__ import annotations

import os
import re
import subprocess
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from build_tools.commands.faults import Fault

Say = Callable[[str], None]

DISK_FULL = re.compile(r"No space left on device|Errno 28|not enough space on the disk", re.IGNORECASE)
NO_RIGHT = re.compile(r"Permission denied: '?([^'\n]*)'?|Errno 13|Access is denied")
WRONG_HASH = re.compile(r"DO NOT MATCH THE HASHES")
WRONG_PACKAGE = re.compile(r"DO NOT MATCH THE HASHES.*?\n\s+([A-Za-z0-9._-]+==\S+)", re.DOTALL)
NO_NETWORK = re.compile(
    r"NewConnectionError|NameResolutionError|Temporary failure in name resolution|Network is unreachable"
    r"|ConnectTimeout|ReadTimeout|Read timed out|ConnectionResetError|ProxyError|SSLError"
    r"|Max retries exceeded|Connection refused"
)
NOT_OFFERED = re.compile(r"No matching distribution found for ([^\s(]+)")
NO_PIP = re.compile(r"No module named pip\b")

FETCHED = re.compile(r"^\s+Downloading \S+ \(([\d.]+) ([kMG]?B)\)")
IN_MEGABYTES = {"B": 1e-6, "kB": 1e-3, "MB": 1.0, "GB": 1e3}
SECONDS_BETWEEN_LINES = 3.0

PULLS_ELSEWHERE = {
    "PYTHONHOME",
    "PYTHONPATH",
    "PIP_USER",
    "PIP_TARGET",
    "PIP_PREFIX",
    "PIP_REQUIRE_VIRTUALENV",
    "__PYVENV_LAUNCHER__",
}


def clean_surroundings() -> dict[str, str]:
    """Return the process environment without what would mix another Python's packages with those of .venv."""
    return {name: value for name, value in os.environ.items() if name not in PULLS_ELSEWHERE}


def run_pip(python: Path, arguments: Sequence[str], *, log: Path, say: Say, expected: int = 0) -> None:
    """Run `pip arguments` under `python`, keep its output in `log`, and say how far it is.

    `expected` is the number of packages, 0 where it does not matter. Raises Fault where pip fails.
    """
    command = [str(python), "-m", "pip", "--disable-pip-version-check", "--no-input", *arguments]
    with subprocess.Popen(
        command,
        env=clean_surroundings(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as process:
        lines = follow(process, say, expected)
    output = "".join(lines)
    keep_log(log, command, output)
    if process.returncode != 0:
        raise explain(output, log)


def follow(process: subprocess.Popen[str], say: Say, expected: int) -> list[str]:
    """Collect what pip prints and say now and then how many packages it has looked at and fetched."""
    lines: list[str] = []
    collected, megabytes, said = 0, 0.0, time.monotonic()
    for line in process.stdout or ():
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
    """Add one pip run to the log; a log that cannot be written is no reason to stop."""
    try:
        with log.open("a", encoding="utf-8") as file:
            file.write(f"$ {' '.join(command)}\n{output}\n")
    except OSError:
        pass


def explain(output: str, log: Path) -> Fault:
    """Say in one line why pip failed, from what it printed."""
    again = "and run the same command again; what was fetched is kept."
    if DISK_FULL.search(output):
        return disk_full(log.parent)
    if WRONG_HASH.search(output):
        package = WRONG_PACKAGE.search(output)
        what = f"{package[1]} " if package else "A package "
        return Fault(
            f"{what}is not the file that was locked (its hash differs). It was not installed.",
            "try another network; if it stays so, tell whoever looks after the handbook.",
        )
    if NO_NETWORK.search(output):
        return Fault("No network: the package registry cannot be reached.", f"connect this machine, {again}")
    if refused := NO_RIGHT.search(output):
        where = refused[1] or str(log.parent)
        return no_right_to_write(where)
    if missing := NOT_OFFERED.search(output):
        return Fault(
            f"The package registry offers no {missing[1]} for this Python and system.",
            "use Python 3.11 to 3.14; behind a company mirror, ask for this version to be mirrored.",
        )
    if NO_PIP.search(output):
        return Fault(f"{log.parent} has no pip.", f"delete {log.parent} and run the same command again.")
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    errors = [line for line in lines if "error" in line.lower()] or lines or ["it said nothing"]
    return Fault(f"pip failed: {errors[-1]}", f"read the whole answer in {log}")


def disk_full(where: Path) -> Fault:
    """Say how much room is needed, and where."""
    return Fault(
        "The disk is full.",
        f"free about 500 MB on the disk that holds {where}, and run the same command again.",
    )


def no_right_to_write(where: object) -> Fault:
    """Say that the place cannot be written, and the two ways out."""
    return Fault(
        f"No right to write {where}.",
        "make the folder yours (chown), or copy the project into one that is, and run this again.",
    )

"""Say in one line why pip failed, from what it printed, and what to do."""

from __future__ import annotations

import re
from pathlib import Path

from build_tools.faults import Fault

DISK_FULL = re.compile(r"No space left on device|Errno 28|not enough space on the disk", re.IGNORECASE)
NO_RIGHT = re.compile(r"(?:Permission denied|Access is denied)(?:: '([^'\n]*)')?")
WRONG_HASH = re.compile(r"DO NOT MATCH THE HASHES(?:.*?\n\s+([A-Za-z0-9._-]+==\S+))?", re.DOTALL)
NO_NETWORK = re.compile(
    r"NewConnectionError|NameResolutionError|Temporary failure in name resolution|Network is unreachable"
    r"|ConnectTimeout|ReadTimeout|Read timed out|ConnectionResetError|ProxyError|SSLError"
    r"|Max retries exceeded|Connection refused"
)


def explain(output: str, log: Path) -> Fault:
    """Say in one line why pip failed, from what it printed; what nobody has met yet, in its own last line."""
    again = "and run the same command again; what was fetched is kept."
    if DISK_FULL.search(output):
        return disk_full(log.parent)
    if wrong := WRONG_HASH.search(output):
        package = wrong[1] or "A package"
        return Fault(
            f"{package} is not the file that was locked (its hash differs). It was not installed.",
            "try another network; if it stays so, tell whoever looks after the handbook.",
        )
    if NO_NETWORK.search(output):
        return Fault("No network: the package registry cannot be reached.", f"connect this machine, {again}")
    if refused := NO_RIGHT.search(output):
        return no_right_to_write(refused[1] or log.parent)
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

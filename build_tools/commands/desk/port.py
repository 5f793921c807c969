"""Find out who listens on a port, so that a person knows what to stop."""

from __future__ import annotations

import os
from pathlib import Path

LISTENING = "0A"


def listener(port: int, *, proc: Path = Path("/proc")) -> str | None:
    """Name the process that listens on `port`, as "python3 (process 812)"; None where it cannot be seen."""
    inodes = listening_sockets(port, proc)
    for folder in proc.glob("[0-9]*"):
        try:
            holds = any(target(link) in inodes for link in (folder / "fd").iterdir())
            if inodes and holds:
                return f"{(folder / 'comm').read_text(encoding='utf-8').strip()} (process {folder.name})"
        except OSError:  # another person's process, or one that has just ended
            continue
    return None


def listening_sockets(port: int, proc: Path) -> set[str]:
    """Name the sockets that listen on `port`, as their links in a process's folder do: "socket:[4711]"."""
    found = set()
    for table in ("tcp", "tcp6"):
        try:
            lines = (proc / "net" / table).read_text(encoding="ascii").splitlines()[1:]
        except OSError:
            continue
        for columns in map(str.split, lines):
            if columns[3] == LISTENING and int(columns[1].rpartition(":")[2], 16) == port:
                found.add(f"socket:[{columns[9]}]")
    return found


def target(link: Path) -> str:
    """Read a link; "" where it is gone."""
    try:
        return os.readlink(link)
    except OSError:
        return ""

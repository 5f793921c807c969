"""Build the handbook, serve it on this machine exactly as it will be deployed, and follow every save."""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from itertools import count
from pathlib import Path

from build_tools.commands.desk.edition import follow_the_desk
from build_tools.commands.desk.host import Desk, open_host
from build_tools.commands.desk.watch import look_at, wait_for_change
from build_tools.commands.verbs import say
from build_tools.edition.serving import ADDRESS, LocalServer
from build_tools.faults import Fault
from build_tools.places import PROJECT

USUAL_PORT = 8000


class BuildFailed(Exception):
    """A build that gave no edition; `said` is what an author has to read."""

    def __init__(self, said: str) -> None:
        super().__init__(said)
        self.said = said


def run(arguments: Sequence[str]) -> int:
    """Serve until stopped from the keyboard."""
    parser = argparse.ArgumentParser(prog="build_tools serve", description=__doc__)
    parser.add_argument(
        "--port", type=int, default=USUAL_PORT, help=f"default: {USUAL_PORT}; 0: any free one"
    )
    port = parser.parse_args(arguments).port
    desk = Desk()
    server = claim(desk, port)
    with tempfile.TemporaryDirectory(prefix="half-turn-serve-") as scratch, server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        follow(desk, Path(scratch), f"http://{ADDRESS}:{server.server_address[1]}/")
    return 0


def claim(desk: Desk, port: int) -> LocalServer:
    """Take the port before the first build. Raises Fault where it cannot be had."""
    try:
        return open_host(desk, port)
    except OverflowError as error:
        raise Fault(f"There is no port {port}.", "name one from 1024 to 65535 after --port.") from error
    except OSError as error:
        what = f"Port {port} cannot be used: {error.strerror}."
        other = port + 1 if port >= 1024 else USUAL_PORT
        raise Fault(what, f"stop what has it, or: python3 -m build_tools serve --port {other}") from error


def follow(desk: Desk, scratch: Path, address: str) -> None:
    """Build, show, wait for a save, and build again, for ever."""
    say("Building the handbook")
    seen = look_at(PROJECT)
    for number in count(1):
        rebuild(desk, scratch / f"edition-{number}", build_apart)
        if number == 1:
            say(f"Open {address}   (Ctrl-C stops; saving a page builds the book again)")
        seen, changed = wait_for_change(PROJECT, seen)
        others = f" and {len(changed) - 1} more" if len(changed) > 1 else ""
        say(f"Saved: {changed[0].relative_to(PROJECT)}{others}")


def rebuild(desk: Desk, folder: Path, build: Callable[[Path], None]) -> None:
    """Build into `folder` and show the book; where that fails, keep the last good edition and tell why."""
    begun = time.monotonic()
    try:
        build(folder)
    except BuildFailed as failed:
        desk.keep_and_tell(separate(failed.said))
        say(failed.said)
        say("The last good edition stays." if desk.folder else "There is no edition to show yet.")
        return
    edition = follow_the_desk(folder)
    before = desk.show(folder, edition)
    say(f"Edition {edition} in {time.monotonic() - begun:.1f} s")
    if before is not None:
        shutil.rmtree(before, ignore_errors=True)


def build_apart(folder: Path) -> None:
    """Build in a process of its own, so that changed Python is read anew. Raises BuildFailed."""
    command = [sys.executable, "-m", "build_tools", "build", "--into", str(folder)]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, encoding="utf-8", check=False)
    if done.returncode != 0:
        raise BuildFailed(done.stderr.strip() or "The build failed and did not say why.")
    for line in done.stdout.splitlines()[1:]:  # how many warnings there are; the edition is told by ourselves
        say(line)


def separate(text: str) -> list[str]:
    """Split what a build says into its problems: each begins at a line that is not indented."""
    problems: list[str] = []
    for line in text.splitlines():
        if problems and line.startswith((" ", "\t")):
            problems[-1] += f"\n{line}"
        elif line.strip():
            problems.append(line)
    return problems

"""Let only one run at a time change .venv; a second one waits and says so."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

if sys.platform == "win32":
    import msvcrt

    def take(file: IO[str], *, wait: bool) -> bool:
        """Lock the first byte of `file`; tell whether it is ours now."""
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def take(file: IO[str], *, wait: bool) -> bool:
        """Lock `file`; tell whether it is ours now."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


@contextmanager
def one_at_a_time(path: Path, say: Callable[[str], None]) -> Iterator[None]:
    """Hold the lock file `path` during the block; the system frees it however the process ends.

    A process started in the block with our open files holds the lock too: a pip whose parent was killed
    still keeps others out while it works.
    """
    with path.open("a", encoding="utf-8") as file:
        os.set_inheritable(file.fileno(), True)
        if not take(file, wait=False):
            say("Another run is setting up .venv; waiting for it.")
            while not take(file, wait=True):
                pass
        yield

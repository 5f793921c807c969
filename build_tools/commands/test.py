"""Run everything that can fail: the linter, the types, every test. None hides what the next one finds."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Sequence

from build_tools.browsers.needed import ensure_engines
from build_tools.commands.verbs import say
from build_tools.places import PROJECT

TOGETHER = ("--numprocesses=2", "--dist=loadfile")
"""The whole run is shared by two processes, each file whole; more would only crowd one another's browsers."""


def run(arguments: Sequence[str]) -> int:
    """Run the checks; `arguments` go to pytest. Returns 0 only where all of them passed."""
    say(f"Engines for the browser tests: {', '.join(ensure_engines(say))}")
    steps = {"ruff": ["ruff", "check", "."], "mypy": ["mypy"], "pytest": ["pytest", *(arguments or TOGETHER)]}
    failed = [name for name, command in steps.items() if not passes(name, command)]
    say(f"Failed: {', '.join(failed)}." if failed else "All passed.")
    return 1 if failed else 0


def passes(name: str, command: Sequence[str]) -> bool:
    """Run one tool of .venv as a module, its output on the screen; tell whether it passed."""
    begun = time.monotonic()
    say(f"== {name}")
    code = subprocess.run([sys.executable, "-m", *command], cwd=PROJECT, check=False).returncode
    say(f"== {name}: {'passed' if code == 0 else 'failed'} in {time.monotonic() - begun:.0f} s")
    return code == 0

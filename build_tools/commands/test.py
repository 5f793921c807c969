"""Run all that can fail: types, imports, slips, formats, every test. None hides what the next one finds."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

from build_tools.browsers.needed import ensure_engines
from build_tools.commands.verbs import say
from build_tools.places import PROJECT

TESTS = PROJECT / "tests"
BROWSER_TESTS = TESTS / "browser"
"""Every test that opens a browser lies here."""

SCRIPTS = (
    "build_tools/browser",
    *(
        path.relative_to(PROJECT).as_posix()
        for path in sorted((PROJECT / "build_tools/vendor").glob("*.mjs"))
    ),
    "tests/vendor",
)
"""Our scripts and styles; what was fetched stays as it came. Beside a pattern oxfmt forgets the folders."""

STATIC = {
    "mypy": ("mypy",),
    "lint-imports": ("lint-imports",),
    "ruff check": ("ruff", "check", "."),
    "ruff format": ("ruff", "format", "--check", "."),
    "oxfmt": ("oxfmt", "-c", "build_tools/browser/.oxfmtrc.json", "--check", *SCRIPTS),
}
"""What reads the code without running it; the longest first, since they run beside one another."""

TOGETHER = ("--numprocesses=2", "--dist=loadfile", "--no-loadscope-reorder")
"""The whole run is shared by two processes, each file whole and in the order of tests/conftest.py; more would
only crowd one another's browsers."""


class Done(NamedTuple):
    """What came of one step: its exit code, how long it took, s, and what it said, if that was held back."""

    code: int
    seconds: float
    said: str


def run(arguments: Sequence[str]) -> int:
    """Run the checks; `arguments` go to pytest. Returns 0 only where all of them passed."""
    if needs_browser(arguments):
        say(f"Engines for the browser tests: {', '.join(ensure_engines(say))}")
    else:
        say("No browser is needed: nothing of tests/browser is asked for.")
    failed = []
    with ThreadPoolExecutor(max_workers=2) as pool:
        for name, done in zip(STATIC, pool.map(run_quietly, STATIC.values()), strict=True):
            say(f"== {name}\n{done.said}".rstrip("\n"))
            failed += told(name, done)
    say("== pytest")
    failed += told("pytest", run_tool(("pytest", *(arguments or TOGETHER))))
    say(f"Failed: {', '.join(failed)}." if failed else "All passed.")
    return 1 if failed else 0


def needs_browser(arguments: Sequence[str]) -> bool:
    """Tell whether pytest will run tests that open a browser: where no path of tests/ is given, or one that
    lies in tests/browser or holds it."""
    given = [(PROJECT / word.partition("::")[0]).resolve() for word in arguments if not word.startswith("-")]
    paths = [path for path in given if path.is_relative_to(TESTS) and path.exists()]
    return not paths or any(
        path.is_relative_to(BROWSER_TESTS) or BROWSER_TESTS.is_relative_to(path) for path in paths
    )


def told(name: str, done: Done) -> list[str]:
    """Say how a step ended; return its name where it failed, else nothing."""
    say(f"== {name}: {'passed' if done.code == 0 else 'failed'} in {done.seconds:.0f} s")
    return [name] if done.code else []


def run_quietly(command: Sequence[str]) -> Done:
    """Run one tool and hold back what it says, so that two of them do not talk at once."""
    return run_tool(command, output=subprocess.PIPE)


def run_tool(command: Sequence[str], output: int | None = None) -> Done:
    """Run one program of .venv in the project's folder; `output` is subprocess's, None for the screen."""
    begun = time.monotonic()
    program = str(Path(sys.executable).with_name(command[0]))
    done = subprocess.run(
        [program, *command[1:]], cwd=PROJECT, text=True, check=False, stdout=output, stderr=subprocess.STDOUT
    )
    return Done(done.returncode, time.monotonic() - begun, done.stdout or "")

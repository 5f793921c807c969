"""A project of the set-up's own files alone, a .venv with a played pip, and a bare Python to start it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

from build_tools.places import PROJECT

BASE_PYTHON = str(getattr(sys, "_base_executable", sys.executable))
PLAYED_PIP = """
import pathlib, sys
here = pathlib.Path.cwd()
with (here / "pip-calls.txt").open("a", encoding="utf-8") as calls:
    calls.write(" ".join(sys.argv[1:]) + "\\n")
said = here / "pip-says.txt"
if said.exists():
    print(said.read_text(encoding="utf-8"))
    sys.exit(1)
"""


def write_bare_project(folder: Path) -> Path:
    """Copy what has to run before .venv stands into `folder`."""
    tools = folder / "build_tools"
    tools.mkdir(parents=True)
    for name in ("__init__.py", "__main__.py", "faults.py", "places.py"):
        shutil.copy(PROJECT / "build_tools" / name, tools / name)
    for name in ("commands", "setting_up"):
        shutil.copytree(
            PROJECT / "build_tools" / name, tools / name, ignore=shutil.ignore_patterns("__pycache__")
        )
    shutil.copy(PROJECT / "pyproject.toml", folder / "pyproject.toml")
    return folder


def make_played_venv(folder: Path, pip_says: str | None = None) -> None:
    """Make a .venv whose pip notes how it was called, and fails with `pip_says` where there is any."""
    venv.create(folder / ".venv", symlinks=True)
    library = f"lib/python{sys.version_info[0]}.{sys.version_info[1]}/site-packages"
    package = folder / ".venv" / library / "pip"
    package.mkdir()
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / "__main__.py").write_text(PLAYED_PIP, encoding="utf-8")
    if pip_says is not None:
        (folder / "pip-says.txt").write_text(pip_says, encoding="utf-8")


def pip_calls(folder: Path) -> list[str]:
    """What the played pip was asked to do: the first word of each call, and what it was to install from."""
    calls = folder / "pip-calls.txt"
    return calls.read_text(encoding="utf-8").splitlines() if calls.exists() else []


def start(folder: Path, *words: str, first: str = "") -> subprocess.CompletedProcess[str]:
    """Run `python3 -m build_tools WORDS` in `folder` with a bare Python; `first` is Python run before it."""
    surroundings = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "HALF_TURN"))
    }
    begin = "import runpy, sys; sys.path.insert(0, ''); runpy.run_module('build_tools', run_name='__main__')"
    command = [BASE_PYTHON, "-s", "-m", "build_tools", *words]
    if first:
        command = [BASE_PYTHON, "-s", "-c", f"{first}\n{begin}", *words]
    return subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, text=True, check=False)

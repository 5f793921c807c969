"""The first line a person types: which Python, which verb, and what is missing."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

from build_tools.commands.verbs import VERBS
from tests.commands.bare_project import make_played_venv, start

BEFORE_VENV = (
    "commands.verbs",
    "faults",
    "places",
    "setting_up.environment",
    "setting_up.one_at_a_time",
    "setting_up.pip",
    "setting_up.pip_faults",
    "setting_up.set_up",
)
NO_ENSUREPIP = "import shutil, sys; sys.modules['ensurepip'] = None; "


def test_an_old_python_is_refused_in_one_line(bare: Path) -> None:
    """A Python before 3.11 hears which one is needed, and nothing else is tried."""
    done = start(bare, "build", first="import sys; sys.version_info = (3, 9, 2)")

    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout == (
        "This Python is 3.9.2; the handbook needs 3.11 or newer.\n"
        "  fix: install Python 3.11 or newer and start with it, for example python3.12 -m build_tools\n"
    )


def test_the_first_file_is_read_by_old_pythons(project: Path) -> None:
    """The file that refuses an old Python has no syntax that an old Python cannot read."""
    source = (project / "build_tools/__main__.py").read_text(encoding="utf-8")

    assert ast.parse(source, feature_version=(3, 4))
    assert "from __future__" not in source.split('"""')[2]


@pytest.mark.parametrize("name", BEFORE_VENV)
def test_what_runs_before_the_set_up_is_standard_library(project: Path, name: str) -> None:
    """A bare Python can import everything that runs before .venv stands."""
    file = project / "build_tools" / f"{name.replace('.', '/')}.py"
    tree = ast.parse(file.read_text(encoding="utf-8"))
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    foreign = {name for name in imported if name.split(".")[0] not in sys.stdlib_module_names}

    assert foreign <= {f"build_tools.{other}" for other in BEFORE_VENV}


def test_a_missing_venv_module_names_the_package(bare: Path) -> None:
    """A Python without ensurepip, as Debian ships it, hears what to install."""
    done = start(bare, "build", first=NO_ENSUREPIP + "shutil.which = lambda name: '/usr/bin/' + name")

    version = f"{sys.version_info[0]}.{sys.version_info[1]}"
    assert (done.returncode, done.stdout) == (1, "[1/3] Making .venv\n")
    assert done.stderr == (
        f"Python {version} here has no venv or ensurepip module, so it cannot make .venv.\n"
        f"  fix: sudo apt-get install python3-venv   (or python{version}-venv), and run this again.\n"
    )


def test_a_missing_venv_module_elsewhere(bare: Path) -> None:
    """Where there is no apt-get, the advice names no Debian package."""
    done = start(bare, "build", first=NO_ENSUREPIP + "shutil.which = lambda name: None")

    assert done.stderr.splitlines()[1] == (
        "  fix: install Python's venv and ensurepip with your package manager, and run this again."
    )


@pytest.mark.parametrize(
    ("typed", "meant"), [("bild", "build"), ("serv", "serve"), ("TEST", "test"), ("chek", "check")]
)
def test_an_unknown_verb_gets_the_closest_one(bare: Path, typed: str, meant: str) -> None:
    """A misspelt verb is answered with the verb that was meant, and nothing is set up for it."""
    done = start(bare, typed)

    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"There is no verb '{typed}'.\n  fix: python3 -m build_tools {meant}\n"
    assert not (bare / ".venv").exists()


def test_a_word_close_to_no_verb_gets_the_list(bare: Path) -> None:
    """A word that is like no verb is answered with all of them."""
    done = start(bare, "xyzzy")

    assert done.stderr == f"There is no verb 'xyzzy'.\n  fix: one of: {', '.join(VERBS)}\n"


def test_no_verb_shows_the_list(bare: Path) -> None:
    """Without a verb the list of verbs is shown, with exit code 2; asked for, with exit code 0."""
    without, asked = start(bare), start(bare, "--help")

    assert (without.returncode, asked.returncode) == (2, 0)
    assert without.stdout == asked.stdout
    assert [line.split()[0] for line in asked.stdout.splitlines()[2:]] == list(VERBS)


def test_every_verb_has_a_file(project: Path) -> None:
    """Each verb of the list is a file of its own with a run()."""
    for name in VERBS:
        tree = ast.parse((project / f"build_tools/commands/{name}.py").read_text(encoding="utf-8"))
        assert "run" in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}, name


def test_a_python_that_is_not_of_venv_ends_the_command(bare: Path) -> None:
    """An interpreter in .venv that runs elsewhere is refused once, and never started again and again."""
    make_played_venv(bare)
    assert start(bare, "build").returncode == 1  # set up by the played pip; the book's files are not there
    done = start(bare, "build", first="import os; os.environ['HALF_TURN_IN_VENV'] = '1'")

    assert done.stderr == (
        f"{bare}/.venv/bin/python does not run as the Python of .venv.\n"
        f"  fix: delete {bare}/.venv and run the same command again.\n"
    )


def test_a_fault_that_nobody_foresaw_shows_no_trace(bare: Path) -> None:
    """The trace of an unknown fault goes to a file that is named; the person reads two lines."""
    make_played_venv(bare)
    (bare / "build_tools/commands/build.py").write_text(
        "def run(words):\n    raise KeyError('lip')\n", encoding="utf-8"
    )
    done = start(bare, "build")

    what, fix = done.stderr.splitlines()
    assert (done.returncode, what) == (1, "This command met a fault it does not know: KeyError: 'lip'")
    trace = Path(fix.removeprefix("  fix: send ").split(" to whoever")[0])
    assert "raise KeyError('lip')" in trace.read_text(encoding="utf-8")
    trace.unlink()

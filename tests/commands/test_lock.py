"""The locked requirements: exact, hashed, for every system, and without an address."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from build_tools.commands.lock import without_header

LEVELS = ("book", "tests")
REQUIREMENT = re.compile(r"[a-z0-9-]+==\S+( ; .+)?")
HASH = re.compile(r"--hash=sha256:[0-9a-f]{64}")
PLATFORM_WHEELS = ("markupsafe", "pyyaml")  # have a file for each system and Python


def requirements(project: Path, level: str) -> dict[str, list[str]]:
    """Map each locked requirement to its hashes; anything else in the file fails here."""
    text = (project / f"build_tools/setting_up/requirements/{level}.txt").read_text(encoding="utf-8")
    joined = re.sub(r" \\\n\s+", "\n    ", text).splitlines()
    assert joined[0] == f"# Made from {level}.in by `python3 -m build_tools lock`. Do not edit."
    found: dict[str, list[str]] = {}
    for line in joined[1:]:
        if line.startswith("    "):
            assert HASH.fullmatch(line.strip()), line
            found[list(found)[-1]].append(line.strip())
        else:
            assert REQUIREMENT.fullmatch(line), line
            found[line] = []
    return found


@pytest.mark.parametrize("level", LEVELS)
def test_every_requirement_is_exact_and_hashed(project: Path, level: str) -> None:
    """Each line of the lock is one exact version with its hashes: no option, no address, no note."""
    found = requirements(project, level)

    assert found
    assert [line for line, hashes in found.items() if not hashes] == []


@pytest.mark.parametrize("level", LEVELS)
def test_the_lock_names_no_host(project: Path, level: str) -> None:
    """No address and no index of the machine that locked it is in the file."""
    text = (project / f"build_tools/setting_up/requirements/{level}.txt").read_text(encoding="utf-8")

    assert re.findall(r"://|index-url|find-links|trusted-host|file:|\.(?:org|com|io)\b", text) == []


def test_the_lock_holds_for_every_system_and_python(project: Path) -> None:
    """One version of each package serves every Python, and compiled ones are hashed for all systems."""
    found = requirements(project, "book")

    assert [line for line in found if "python" in line.partition(";")[2]] == []
    for name in PLATFORM_WHEELS:
        hashes = next(hashes for line, hashes in found.items() if line.startswith(f"{name}=="))
        assert len(hashes) > 30, name


def test_the_tests_get_the_books_versions(project: Path) -> None:
    """What the book needs is in the tests' lock with the same version and the same hashes."""
    book, tests = requirements(project, "book"), requirements(project, "tests")

    assert {line: tests.get(line) for line in book} == book


def test_the_build_backend_is_locked(project: Path) -> None:
    """The project is installed without build isolation, so its build backend is among the locked packages."""
    assert any(line.startswith("setuptools==") for line in requirements(project, "book"))


def test_every_name_asked_for_is_locked(project: Path) -> None:
    """Each line of the .in files has its exact version in the .txt beside it."""
    for level in LEVELS:
        file = project / f"build_tools/setting_up/requirements/{level}.in"
        asked = file.read_text(encoding="utf-8").splitlines()
        names = {
            re.split(r"[<>=!]", line)[0].strip().lower() for line in asked if line and line[0] not in "#-"
        }
        locked = {line.partition("==")[0] for line in requirements(project, level)}
        assert names - locked == set()


def test_the_compilers_own_header_is_left_out() -> None:
    """Only our header stands over the locked text: the compiler's names the command line of one machine."""
    assert (
        without_header("# by uv\n#   uv pip compile x\nbabel==2.18.0\n# kept\n") == "babel==2.18.0\n# kept\n"
    )

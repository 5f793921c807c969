"""The contract on who may use which folder: a new folder without a line in it fails, and `test` runs it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from build_tools.commands.test import STATIC


@pytest.fixture
def walls(project: Path, tmp_path: Path) -> Path:
    """The project's folders with every module empty, and its contract."""
    for package in ("build_tools", "calculators"):
        for module in (project / package).rglob("*.py"):
            copy = tmp_path / module.relative_to(project)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.touch()
    shutil.copy(project / "pyproject.toml", tmp_path)
    return tmp_path


def broken(walls: Path) -> tuple[int, str]:
    """The exit code of `lint-imports` there, and what it says, on one line."""
    command = [str(Path(sys.executable).with_name("lint-imports")), *STATIC["lint-imports"][1:]]
    done = subprocess.run(command, cwd=walls, capture_output=True, text=True, check=False)
    return done.returncode, " ".join((done.stdout + done.stderr).split())


def test_empty_folders_keep_the_contract(walls: Path) -> None:
    """Every folder that there is has its line, so what fails below fails for what is planted."""
    code, said = broken(walls)

    assert code == 0
    assert "kept, 0 broken." in said


@pytest.mark.parametrize("package", ["build_tools", "calculators"])
def test_a_new_folder_needs_a_line(walls: Path, package: str) -> None:
    """A folder that the contract does not name breaks it, and is named."""
    (walls / package / "attic").mkdir()
    (walls / package / "attic/__init__.py").touch()
    code, said = broken(walls)

    assert code == 1
    assert "kept, 1 broken." in said
    assert f"{package}.attic (Since this contract is marked as 'exhaustive'" in said


def test_an_arrow_upward_is_found(walls: Path) -> None:
    """A folder that uses one above it breaks the contract."""
    (walls / "build_tools/reading/__init__.py").write_text("import build_tools.site\n", encoding="utf-8")
    code, said = broken(walls)

    assert code == 1
    assert "build_tools.reading -> build_tools.site" in said


MAY_KNOW_MKDOCS = {"commands", "measuring", "site", "visit_trials"}
"""The site's folder, and those that use it."""


def test_only_the_sites_folder_may_know_mkdocs(walls: Path) -> None:
    """MkDocs imported by any other folder breaks the contract, by a new one too."""
    modules = sorted((walls / "build_tools").glob("*/__init__.py"))
    others = [module for module in modules if module.parent.name not in MAY_KNOW_MKDOCS]
    assert len(others) > 10
    for module in others:
        module.write_text("import mkdocs\n", encoding="utf-8")
    code, said = broken(walls)

    assert code == 1
    names = [f"build_tools.{module.parent.name}" for module in others]
    assert [name for name in names if f"{name} -> mkdocs" not in said] == []

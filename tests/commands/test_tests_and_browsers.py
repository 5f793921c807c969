"""`test`: an honest exit code, and Chromium found, installed or asked for."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from build_tools.commands import browsers, test
from build_tools.commands.faults import Fault

Commands = list[list[str]]


@pytest.fixture
def tools(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """The exit code that each tool gives; Chromium is there."""
    codes = {"ruff": 0, "mypy": 0, "pytest": 0}
    ran: Commands = []

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        ran.append(command[2:])
        return subprocess.CompletedProcess(command, codes[command[2]])

    monkeypatch.setattr(test.subprocess, "run", run)
    monkeypatch.setattr(test, "ensure_chromium", lambda say: None)
    codes_and_commands: dict[str, int] = codes
    monkeypatch.setattr(test, "RAN", ran, raising=False)
    return codes_and_commands


@pytest.mark.parametrize("failing", [[], ["ruff"], ["mypy"], ["pytest"], ["ruff", "pytest"]])
def test_every_tool_runs_and_any_failure_counts(
    tools: dict[str, int], failing: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """All three run whatever the others found; the exit code is 0 only where all passed."""
    tools.update(dict.fromkeys(failing, 1))

    assert test.run([]) == (1 if failing else 0)
    last = capsys.readouterr().out.splitlines()[-1]
    assert last == (f"Failed: {', '.join(failing)}." if failing else "All passed.")


def test_more_words_go_to_pytest(tools: dict[str, int]) -> None:
    """What follows the verb is pytest's, and the other tools run as always."""
    test.run(["tests/book", "-k", "figure"])

    assert test.RAN == [["ruff", "check", "."], ["mypy"], ["pytest", "tests/book", "-k", "figure"]]  # type: ignore[attr-defined]


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> dict[str, object]:
    """A Linux without Chromium, whose programs, user and apt-get are played."""
    state: dict[str, object] = {"programs": {"apt-get"}, "root": True, "apt": 0, "ran": []}

    def which(name: str) -> str | None:
        return f"/usr/bin/{name}" if name in state["programs"] else None  # type: ignore[operator]

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        state["ran"].append(command)  # type: ignore[attr-defined]
        if "install" in command and state["apt"] == 0:
            state["programs"] |= {"chromium", "chromedriver"}  # type: ignore[operator]
        return subprocess.CompletedProcess(
            command, int(str(state["apt"])), "", "E: Unable to locate package chromium\n"
        )

    monkeypatch.setattr(browsers.shutil, "which", which)
    monkeypatch.setattr(browsers.subprocess, "run", run)
    monkeypatch.setattr(browsers.os, "geteuid", lambda: 0 if state["root"] else 1000)
    monkeypatch.setattr(browsers.sys, "platform", "linux")
    return state


def ensure() -> list[str]:
    """Ask for Chromium and return what a person reads."""
    said: list[str] = []
    browsers.ensure_chromium(said.append)
    return said


def test_a_chromium_that_is_there_is_used(machine: dict[str, object]) -> None:
    """With browser and driver on the PATH nothing is run and nothing is said."""
    machine["programs"] = {"google-chrome", "chromedriver"}

    assert ensure() == []
    assert machine["ran"] == []


def test_root_gets_chromium_installed(machine: dict[str, object]) -> None:
    """Root has browser and driver installed from the distribution, quietly and with progress."""
    assert ensure() == [
        "[1/2] Reading the distribution's list of packages",
        "[2/2] Installing Chromium and its driver (about 400 MB on disk, a few minutes)",
    ]
    assert machine["ran"] == [
        ["apt-get", "-qq", "update"],
        ["apt-get", "-qq", "install", "--yes", "--no-install-recommends", "chromium", "chromium-driver"],
    ]


def test_anybody_else_gets_the_command(machine: dict[str, object]) -> None:
    """Without the right to install, the exact command is shown and nothing is tried."""
    machine["root"] = False
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "The browser tests need Chromium and chromedriver, and only root may install them.\n"
        "  fix: sudo apt-get update && sudo apt-get install --yes chromium chromium-driver"
    )
    assert machine["ran"] == []


def test_another_system_gets_the_need(machine: dict[str, object]) -> None:
    """Where there is no apt-get, the two programs are named."""
    machine["programs"] = {"chromium"}
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "The browser tests need Chromium and chromedriver, and one of them is not on the PATH.\n"
        "  fix: install both with your package manager, and run the same command again."
    )


def test_a_failing_apt_is_told_in_its_last_word(machine: dict[str, object]) -> None:
    """A failed installation gives apt-get's reason and the command that shows all of it."""
    machine["apt"] = 100
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "apt-get update failed: Unable to locate package chromium\n"
        "  fix: see the whole answer: apt-get -qq update"
    )


def test_ci_runs_the_readmes_command(project: Path) -> None:
    """.ci/run stops at the first failure and calls the one command for all tests."""
    lines = (project / ".ci/run").read_text(encoding="utf-8").splitlines()

    assert (lines[0], lines[2], lines[-1]) == (
        "#!/usr/bin/env bash",
        "set -euo pipefail",
        "python3 -m build_tools test",
    )

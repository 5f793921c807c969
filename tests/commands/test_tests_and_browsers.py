"""`test`: an honest exit code, and the browser engines found, installed or asked for."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest

from build_tools.browsers import needed as browsers
from build_tools.commands import test
from build_tools.faults import Fault

Commands = list[list[str]]
BROUGHT = {
    "chromium": "chromium",
    "chromium-driver": "chromedriver",
    "webkit2gtk-driver": "WebKitWebDriver",
    "xvfb": "Xvfb",
}
"""The program that each package of the distribution brings."""


@pytest.fixture
def tools(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """The exit code that each tool gives; one engine is there."""
    codes = {"ruff": 0, "mypy": 0, "pytest": 0}
    ran: Commands = []

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        ran.append(command[2:])
        return subprocess.CompletedProcess(command, codes[command[2]])

    monkeypatch.setattr(test.subprocess, "run", run)
    monkeypatch.setattr(test, "ensure_engines", lambda say: ["Chromium"])
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


def test_the_whole_run_is_shared_by_two(tools: dict[str, int]) -> None:
    """With no further words every test runs, spread over two processes."""
    test.run([])

    assert test.RAN[-1] == ["pytest", "--numprocesses=2", "--dist=loadfile"]  # type: ignore[attr-defined]


def test_more_words_go_to_pytest(tools: dict[str, int]) -> None:
    """What follows the verb is pytest's, and the other tools run as always."""
    test.run(["tests/book", "-k", "figure"])

    assert test.RAN == [["ruff", "check", "."], ["mypy"], ["pytest", "tests/book", "-k", "figure"]]  # type: ignore[attr-defined]


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """A Linux without any browser, whose programs, user and apt-get are played."""
    state: dict[str, Any] = {"programs": {"apt-get"}, "root": True, "apt": 0, "ran": []}

    def which(name: str) -> str | None:
        return f"/usr/bin/{name}" if name in state["programs"] else None

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        state["ran"].append(command)
        if "install" in command and state["apt"] == 0:
            state["programs"] |= {BROUGHT[package] for package in command if package in BROUGHT}
        return subprocess.CompletedProcess(
            command, state["apt"], "", "E: Unable to locate package chromium\n"
        )

    monkeypatch.setattr(browsers.shutil, "which", which)
    monkeypatch.setattr(browsers.subprocess, "run", run)
    monkeypatch.setattr(browsers.os, "geteuid", lambda: 0 if state["root"] else 1000)
    monkeypatch.setattr(browsers.sys, "platform", "linux")
    monkeypatch.delenv("CI", raising=False)
    return state


def ensure() -> tuple[list[str], list[str]]:
    """Ask for the engines; return their names, and what a person reads."""
    said: list[str] = []
    return browsers.ensure_engines(said.append), said


def test_engines_that_are_there_are_used(machine: dict[str, Any]) -> None:
    """With browsers and drivers on the PATH nothing is run and nothing is said; a Firefox is used too."""
    machine["programs"] = {"google-chrome", "chromedriver", "WebKitWebDriver", "Xvfb"}

    assert ensure() == (["Chromium", "WebKit"], [])
    machine["programs"].add("firefox-esr")
    assert ensure() == (["Chromium", "WebKit", "Firefox"], [])
    assert machine["ran"] == []


def test_root_gets_the_engines_installed(machine: dict[str, Any]) -> None:
    """Root has browsers and drivers installed from the distribution, quietly and with progress."""
    names, said = ensure()

    assert names == ["Chromium", "WebKit"]
    assert said == [
        "[1/2] Reading the distribution's list of packages",
        "[2/2] Installing Chromium and WebKit with the drivers (about 400 MB on disk each, a few minutes)",
    ]
    assert machine["ran"] == [
        ["apt-get", "-qq", "update"],
        ["apt-get", "-qq", "install", "--yes", "--no-install-recommends", *BROUGHT],
    ]


def test_only_the_missing_engine_is_installed(machine: dict[str, Any]) -> None:
    """An engine that is there is not installed again."""
    machine["programs"] |= {"chromium", "chromedriver"}

    assert ensure()[0] == ["Chromium", "WebKit"]
    assert machine["ran"][-1][-2:] == ["webkit2gtk-driver", "xvfb"]
    assert "chromium" not in machine["ran"][-1]


def test_anybody_else_gets_the_command(machine: dict[str, Any]) -> None:
    """Without the right to install, the exact command is shown and nothing is tried."""
    machine["root"] = False
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "The browser tests need Chromium and WebKit with the driver, and not all of it is on the PATH.\n"
        "  fix: sudo apt-get update && sudo apt-get install --yes chromium chromium-driver"
        " webkit2gtk-driver xvfb"
    )
    assert machine["ran"] == []


def test_a_desk_without_webkit_goes_on(machine: dict[str, Any]) -> None:
    """Where WebKit alone is missing and cannot be installed, that is said, and the rest runs."""
    machine.update(root=False, programs={"apt-get", "chromium", "chromedriver"})

    assert ensure() == (
        ["Chromium"],
        [
            "WebKit is not on this machine: its tests are left out. To have it: "
            "sudo apt-get update && sudo apt-get install --yes webkit2gtk-driver xvfb"
        ],
    )


def test_ci_needs_webkit_too(machine: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """Where CI is set, a missing WebKit stops the tests."""
    machine.update(root=False, programs={"apt-get", "chromium", "chromedriver"})
    monkeypatch.setenv("CI", "true")
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "The browser tests need WebKit with the driver, and not all of it is on the PATH.\n"
        "  fix: sudo apt-get update && sudo apt-get install --yes webkit2gtk-driver xvfb"
    )


def test_another_system_gets_the_need(machine: dict[str, Any]) -> None:
    """Where there is no apt-get, the programs are named."""
    machine["programs"] = {"chromium", "WebKitWebDriver", "Xvfb"}
    with pytest.raises(Fault) as stopped:
        ensure()

    assert str(stopped.value) == (
        "The browser tests need Chromium with the driver, and not all of it is on the PATH.\n"
        "  fix: install chromium, chromedriver with your package manager, and run the same command again."
    )


def test_a_failing_apt_is_told_in_its_last_word(machine: dict[str, Any]) -> None:
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

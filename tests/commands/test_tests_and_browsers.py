"""`test`: an honest exit code, every step run, and the browser engines found, installed or asked for."""

from __future__ import annotations

import shutil
import subprocess
import sys
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
def ran(monkeypatch: pytest.MonkeyPatch) -> Commands:
    """The programs of .venv that were run, by name, with their words; none of them really runs."""
    commands: Commands = []

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        commands.append([Path(command[0]).name, *command[1:]])
        return subprocess.CompletedProcess(command, int(" ".join(commands[-1]) in FAILING), "what it found\n")

    monkeypatch.setattr(test.subprocess, "run", run)
    monkeypatch.setattr(test, "ensure_engines", lambda say: ["Chromium"])
    return commands


FAILING: set[str] = set()
"""The commands that find something, in the tests that ask for it."""

STEPS = {name: " ".join(command) for name, command in test.STATIC.items()}
PYTEST = "pytest --numprocesses=2 --dist=loadfile --no-loadscope-reorder"


@pytest.mark.parametrize(
    "failing", [[], *([name] for name in STEPS), ["pytest"], ["mypy", "ruff format", "pytest"]], ids=" ".join
)
def test_every_step_runs_and_any_failure_counts(
    ran: Commands, failing: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """All steps run whatever the others found; the exit code is 0 only where all passed."""
    monkeypatch.setattr(f"{__name__}.FAILING", {{**STEPS, "pytest": PYTEST}[name] for name in failing})

    assert test.run([]) == (1 if failing else 0)
    last = capsys.readouterr().out.splitlines()[-1]
    assert last == (f"Failed: {', '.join(failing)}." if failing else "All passed.")
    assert sorted(map(" ".join, ran)) == sorted([*STEPS.values(), PYTEST])
    assert " ".join(ran[-1]) == PYTEST


def test_what_a_step_found_stands_under_its_name(ran: Commands, capsys: pytest.CaptureFixture[str]) -> None:
    """The static steps may run beside one another, and yet each is told whole, in one order."""
    test.run([])

    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Engines for the browser tests: Chromium"
    assert told[1:-3] == [
        line
        for name in ("mypy", "lint-imports", "ruff check", "ruff format", "oxfmt")
        for line in (f"== {name}", "what it found", f"== {name}: passed in 0 s")
    ]
    assert told[-3:] == ["== pytest", "== pytest: passed in 0 s", "All passed."]


def test_more_words_go_to_pytest(ran: Commands) -> None:
    """What follows the verb is pytest's, and the static steps run as always."""
    test.run(["tests/book", "-k", "figure"])

    assert ran[-1] == ["pytest", "tests/book", "-k", "figure"]
    assert len(ran) == len(STEPS) + 1


NEED_BROWSER: dict[str, list[str]] = {
    "everything": [],
    "everything of one name": ["-k", "calculators"],
    "all tests": ["tests"],
    "all tests, told from the project": ["./tests/"],
    "browser tests": ["tests/browser"],
    "one browser test": ["tests/browser/reading/test_search.py::test_words_typed_into_the_box", "-x"],
    "one among others": ["tests/calculators", "tests/browser/sheet"],
    "a path that is not there": ["tests/calculators/test_nowhere.py"],
}
NEED_NONE: dict[str, list[str]] = {
    "one file": ["tests/calculators/shared/test_words.py"],
    "one test": ["tests/calculators/shared/test_words.py::test_every_error_sentence_is_named_in_the_source"],
    "folders": ["tests/book", "tests/outside", "-k", "units"],
}


@pytest.mark.parametrize("words", NEED_BROWSER.values(), ids=NEED_BROWSER)
def test_an_engine_is_asked_for_where_a_browser_test_may_run(ran: Commands, words: list[str]) -> None:
    """Whoever may run a test in tests/browser is told first which engines there are."""
    assert test.needs_browser(words)


@pytest.mark.parametrize("words", NEED_NONE.values(), ids=NEED_NONE)
def test_no_engine_is_asked_for_elsewhere(
    ran: Commands, words: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With paths given that all lie outside tests/browser, nobody looks for a browser or installs one."""
    monkeypatch.setattr(test, "ensure_engines", lambda say: pytest.fail("an engine was asked for"))

    assert test.run(words) == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert first == "No browser is needed: nothing of tests/browser is asked for."


OPENS_A_BROWSER = ("open_chromium", "webkit(", "firefox(", "webdriver.Chrome(", "webdriver.Remote(")


def test_who_opens_a_browser_lives_in_tests_browser(project: Path) -> None:
    """So that a path tells whether a browser is needed, no test elsewhere opens one."""
    sources = {
        path.relative_to(project).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted((project / "tests").rglob("*.py"))
        if path != Path(__file__)
    }
    opening = [name for name, text in sources.items() if any(call in text for call in OPENS_A_BROWSER)]

    assert "tests/browser/conftest.py" in opening
    assert [name for name in opening if not name.startswith("tests/browser/")] == []
    borrowed = [name for name, text in sources.items() if "tests.browser" in text]
    assert [name for name in borrowed if not name.startswith("tests/browser/")] == []


@pytest.mark.parametrize("name", ["build_tools/browser", "build_tools/vendor", "tests/vendor"])
def test_every_script_of_ours_is_looked_at(project: Path, tmp_path: Path, name: str) -> None:
    """The formatter of scripts says so where one script of any folder is not as it would write it."""
    command = [str(Path(sys.executable).with_name("oxfmt")), *test.STATIC["oxfmt"][1:]]
    for part in test.SCRIPTS:
        copy = shutil.copytree if (project / part).is_dir() else shutil.copy
        (tmp_path / part).parent.mkdir(parents=True, exist_ok=True)
        copy(project / part, tmp_path / part)
    script = sorted(path for path in (tmp_path / name).rglob("*") if path.suffix in {".js", ".mjs"})[0]

    whole = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    script.write_text(script.read_text(encoding="utf-8") + "a  =  1", encoding="utf-8")
    spoilt = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)

    assert (whole.returncode, spoilt.returncode) == (0, 1)
    assert script.relative_to(tmp_path).as_posix() in spoilt.stdout + spoilt.stderr


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

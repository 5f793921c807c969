"""The verb that tries the keeping in full: every failure is said and counted, and none stops the rest."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from build_tools.commands import trials


class Phone:
    """Stands in for a browser: counts how often it was started anew."""

    def __init__(self) -> None:
        self.restarts = 0

    def restart(self) -> None:
        """Note one more start."""
        self.restarts += 1


@pytest.fixture
def phone(monkeypatch: pytest.MonkeyPatch) -> Phone:
    """The phone that the trials get."""
    stand_in = Phone()

    @contextmanager
    def trial_phone(_: Path) -> Iterator[Phone]:
        yield stand_in

    monkeypatch.setattr(trials, "trial_phone", trial_phone)
    return stand_in


def breaks(_: object) -> list[str]:
    """A trial that does not come to its end."""
    raise RuntimeError("the browser is gone")


def test_failures_are_said_and_counted(
    phone: Phone, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Each thing that is wrong is said with its trial; the count and the exit code tell of all of them."""
    tried: list[trials.Trial] = [
        ("first", lambda _: []),
        ("second", lambda _: ["a page is missing", "a file is wrong"]),
        ("third", breaks),
        ("fourth", lambda _: []),
    ]
    assert trials.report("cuts", tried, tmp_path, 0) == 1
    said = capsys.readouterr().out
    assert "FAILED 1: second: a page is missing\nFAILED 1: second: a file is wrong\n" in said
    assert "FAILED 2: third: Traceback" in said
    assert "RuntimeError: the browser is gone" in said
    assert "cuts: 4 tried, 2 failed, " in said
    assert phone.restarts == 1


def test_trials_that_all_pass_are_a_success(
    phone: Phone, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """From the trial asked for on, all passed: exit code 0, and only those are counted."""
    assert trials.report("evict", [("one", breaks), ("two", lambda _: [])], tmp_path, 1) == 0
    assert "evict: 1 tried, 0 failed, " in capsys.readouterr().out
    assert phone.restarts == 0

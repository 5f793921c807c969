"""The third engine, where it is there: what matters most, once more in Firefox.

Its profile outlasts it, so a restart is a real one here, with the server stopped.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from build_tools.commands.browsers import FIREFOX
from build_tools.commands.firefox import Firefox, firefox
from build_tools.registers import Registers
from calculators import _run
from tests.browser.host import Host
from tests.browser.questions import all_questions, on_page
from tests.browser.reading import heading, open_page, stored_files, wait_kept, wait_offer, words_on
from tests.browser.small_book import files_of, write_small_book
from tests.browser.work_sheet import (
    START_S,
    empty_sheet,
    fill,
    open_sheet,
    press,
    results,
    shown,
    wait,
    wait_answer,
    wait_runtime,
)

pytestmark = pytest.mark.skipif(not FIREFOX.is_there(), reason="Firefox is not on this machine")

SAMPLE = 3
"""Pages read in a dead spot; all of them are read there in Chromium."""


@pytest.fixture(scope="module")
def profile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What Firefox leaves on the machine between two starts."""
    return tmp_path_factory.mktemp("firefox")


@pytest.fixture(scope="module")
def first_visit(profile: Path, site: Path) -> Iterator[tuple[Host, set[str], dict[str, str]]]:
    """The real book's host, stopped after a visit to a calculator; what was kept then; what the page said."""
    host = Host(site).start()
    with firefox(profile) as browser:
        open_sheet(browser, host.address, "fold-time")
        wait_runtime(browser)
        wait_kept(browser, "complete", seconds=START_S)
        wait(browser, "return 'memory' in document.documentElement.dataset", START_S)
        kept = set(stored_files(browser).values())
        said = browser.execute_script("return { ...document.documentElement.dataset }")
    host.stop()
    yield host, kept, said
    host.stop()


@pytest.fixture(scope="module")
def address(first_visit: tuple[Host, set[str], dict[str, str]]) -> str:
    """Where the stopped host was."""
    return first_visit[0].address


@pytest.fixture(scope="module")
def again(profile: Path, address: str) -> Iterator[Firefox]:
    """Firefox started once more on the same profile, without a network."""
    with firefox(profile) as browser:
        yield browser


def test_a_first_visit_keeps_both_tiers_and_the_memory(
    first_visit: tuple[Host, set[str], dict[str, str]], site: Path
) -> None:
    """After one visit every file of both tiers is kept as the edition names it, and Python's memory too."""
    _, kept, said = first_visit
    assert kept == {file["sha256"] for file in files_of(site)}
    assert (said["start"], said["memory"]) == ("files", "kept")


def test_pages_open_after_a_restart_in_a_dead_spot(again: Firefox, address: str, site: Path) -> None:
    """With the server stopped and the browser restarted a page opens, and opens again by a reload."""
    pages = [file["url"] for file in files_of(site) if file["url"].endswith(".html")]
    for page in random.Random(FIREFOX.name).sample(pages, SAMPLE):
        open_page(again, address + page)
        title = heading(again)
        assert title != ""
        again.refresh()
        assert heading(again) == title


def test_python_comes_from_memory_and_answers_as_python_does(
    again: Firefox, address: str, project: Path, registers: Registers
) -> None:
    """Started from memory, each calculator gives the same text as here, for its example and its cases."""
    open_sheet(again, address, "fold-time")
    wait_runtime(again)
    assert again.execute_script("return document.documentElement.dataset.start") == "memory"
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} == set(_run.NAMES)
    assert on_page(again, questions) == [_run.run(name, text, registers.words) for name, text in questions]


def test_a_sheet_answers_and_outlasts_a_reload(again: Firefox, address: str, registers: Registers) -> None:
    """What is written is answered, and both stand there again after a reload."""
    inputs = registers.examples["fold-time"]["inputs"]
    empty_sheet(again, address, "fold-time")
    wait_runtime(again)
    fill(again, inputs)
    before = (wait_answer(again), results(again))
    expected = json.loads(_run.run("fold-time", json.dumps(inputs), registers.words))
    assert before[0]["headline"] == expected["headline"]["text"]
    assert before[1]["mean_s"] == expected["mean_s"]
    again.refresh()
    wait_runtime(again)
    wait_answer(again)
    assert (shown(again), results(again)) == before


def test_a_new_edition_is_whole_once_it_is_asked_for(again: Firefox, tmp_path: Path) -> None:
    """An update waits until it is asked for; then every page is the new one, with the server stopped too."""
    host = Host(write_small_book(tmp_path / "one")).start()
    try:
        open_page(again, host.address)
        host.folder = write_small_book(tmp_path / "two", edition=2)
        again.refresh()
        assert "A new edition of 3 December 2026 is ready." in wait_offer(again)
        assert words_on(again) == "Home of edition 1"
        press(again, "[data-status=edition] button")
        wait(again, "return document.querySelector('#words')?.textContent === 'Home of edition 2'")
        host.stop()
        open_page(again, f"{host.address}jobs/lip.html")
        assert words_on(again) == "Lip of edition 2"
    finally:
        host.stop()

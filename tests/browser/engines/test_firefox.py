"""The third engine, where it is there: what matters most, once more in Firefox.

Its profile outlasts it, so a restart is a real one here, with the server stopped.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from build_tools.browsers.firefox import Firefox, firefox
from build_tools.browsers.host import Host
from build_tools.browsers.needed import FIREFOX
from build_tools.browsers.reading import stored_files, wait_kept
from build_tools.browsers.small_book import files_of
from build_tools.registers.registers import Registers
from calculators import answering
from tests.browser.engines.any_engine import (
    answers_and_outlasts_a_reload,
    opens_pages_and_opens_them_again,
    takes_a_new_edition_when_asked,
)
from tests.browser.questions import all_questions, on_page
from tests.browser.work_sheet import START_S, empty_sheet, open_sheet, press, wait, wait_runtime

pytestmark = pytest.mark.skipif(not FIREFOX.is_there(), reason="Firefox is not on this machine")


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
    opens_pages_and_opens_them_again(again, address, site, seed=FIREFOX.name)


def test_python_comes_from_memory_and_answers_as_python_does(
    again: Firefox, address: str, project: Path, registers: Registers
) -> None:
    """Started from memory, each calculator gives the same text as here, for its example and its cases."""
    open_sheet(again, address, "fold-time")
    wait_runtime(again)
    assert again.execute_script("return document.documentElement.dataset.start") == "memory"
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} == set(answering.NAMES)
    assert on_page(again, questions) == [
        answering.run(name, text, registers.words) for name, text in questions
    ]


def test_a_sheet_answers_and_outlasts_a_reload(again: Firefox, address: str, registers: Registers) -> None:
    """What is written is answered, and both stand there again after a reload."""
    empty_sheet(again, address, "fold-time")
    wait_runtime(again)
    answers_and_outlasts_a_reload(again, registers)


def test_a_new_edition_is_whole_once_it_is_asked_for(again: Firefox, tmp_path: Path) -> None:
    """An update waits until it is asked for; then every page is the new one, with the server stopped too."""
    takes_a_new_edition_when_asked(again, tmp_path, lambda page: press(page, "[data-status=edition] button"))

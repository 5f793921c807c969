"""The second engine: what matters most, once more in WebKitGTK, the nearest to an iPhone that can be had.

Its automation keeps nothing between two starts of the browser.
So a restart is played here by a reload, and by a new window, with the server stopped.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.access.fault_path_screens import each_path_screen
from build_tools.browsers.engines import webkit
from build_tools.browsers.host import Host
from build_tools.browsers.needed import WEBKIT
from build_tools.browsers.reading import accept_offer, heading, open_page, stored_files
from build_tools.browsers.small_book import files_of
from build_tools.registers.registers import Registers
from calculators import answering
from tests.browser.engines.any_engine import (
    answers_and_outlasts_a_reload,
    opens_pages_and_opens_them_again,
    takes_a_new_edition_when_asked,
)
from tests.browser.questions import all_questions, on_page
from tests.browser.work_sheet import choose_start, empty_sheet, press, wait, wait_runtime

pytestmark = pytest.mark.skipif(not WEBKIT.is_there(), reason="WebKit is not on this machine")

NOTE_PRESSES = """
window.presses = [];
addEventListener("pointerdown", (event) => window.presses.push(event.timeStamp), { capture: true });
"""


@pytest.fixture(scope="module")
def webkit_page() -> Iterator[WebDriver]:
    """One WebKit for the tests of this file."""
    with webkit() as browser:
        yield browser


@pytest.fixture(scope="module")
def kept(webkit_page: WebDriver, site: Path) -> Iterator[Host]:
    """The real book's host, stopped after a first visit to the home page."""
    host = Host(site).start()
    open_page(webkit_page, host.address)
    host.stop()
    yield host
    host.stop()


def test_a_first_visit_keeps_both_tiers(webkit_page: WebDriver, kept: Host, site: Path) -> None:
    """After the first visit every file of both tiers is kept, with the bytes that the edition names."""
    assert set(stored_files(webkit_page).values()) == {file["sha256"] for file in files_of(site)}


def test_pages_go_on_in_a_dead_spot(webkit_page: WebDriver, kept: Host, site: Path) -> None:
    """With the server stopped a page opens, opens again by a reload, and opens in a new window."""
    opens_pages_and_opens_them_again(webkit_page, kept.address, site, seed=WEBKIT.name)
    first = webkit_page.current_window_handle
    webkit_page.switch_to.new_window("window")
    open_page(webkit_page, kept.address + "handover/tag-out-of-service.html")
    assert heading(webkit_page) == "Tag out of service"
    webkit_page.close()
    webkit_page.switch_to.window(first)


def test_a_sheet_answers_and_outlasts_a_reload(
    webkit_page: WebDriver, kept: Host, registers: Registers
) -> None:
    """What is written is answered, and both stand there again after a reload."""
    begin_on_a_sheet(webkit_page, kept)
    answers_and_outlasts_a_reload(webkit_page, registers)


def test_the_stopwatch_times_a_run(webkit_page: WebDriver, kept: Host) -> None:
    """Two presses with the pointer write one run onto the sheet: the difference of their own timestamps."""
    begin_on_a_sheet(webkit_page, kept)
    press(webkit_page, "[data-act=open-stopwatch]")
    choose_start(webkit_page, "by-hand")
    button = webkit_page.find_element("css selector", "[data-press]")
    webkit_page.execute_script(NOTE_PRESSES)
    ActionChains(webkit_page).click(button).pause(0.8).click(button).perform()
    wait(webkit_page, "return document.querySelector('[data-stopwatch]').dataset.state === 'stopped'")
    first, second = webkit_page.execute_script("return window.presses")
    text = webkit_page.execute_script("return document.querySelector('[data-rows=runs_s] input').value")
    assert text == f"{(second - first) / 1000:.2f}"
    press(webkit_page, "[data-act=close-stopwatch]")


def test_calculators_answer_as_python_does(
    webkit_page: WebDriver, kept: Host, project: Path, registers: Registers
) -> None:
    """With the server stopped each calculator gives the same text as here, for its example and its cases."""
    begin_on_a_sheet(webkit_page, kept)
    questions = all_questions(project, registers)
    assert {name for name, _ in questions} == set(answering.NAMES)
    here = [answering.run(name, text, registers.words) for name, text in questions]
    assert on_page(webkit_page, questions) == here


def test_a_fault_path_leads_to_an_end(webkit_page: WebDriver, kept: Host) -> None:
    """With the server stopped a path asks one question a screen, and every way through it comes to an end."""
    page = kept.address + "faults/noisy.html"
    open_page(webkit_page, page)
    ends = [screen for screen in each_path_screen(webkit_page, page) if screen.endswith("end")]
    assert ends == ["first answers, end", "last answers, end"]


def test_a_new_edition_is_whole_once_it_is_asked_for(webkit_page: WebDriver, tmp_path: Path) -> None:
    """An update waits until it is asked for; then every page is the new one, with the server stopped too."""
    takes_a_new_edition_when_asked(webkit_page, tmp_path, accept_offer)


def begin_on_a_sheet(browser: WebDriver, host: Host) -> None:
    """Return an empty fold-time sheet with its Python started, without loading the page where it is open."""
    empty_sheet(browser, host.address, "fold-time")
    wait_runtime(browser)

"""A visit where the phone takes no more, and where two tabs have it open."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.reading import waiting
from build_tools.browsers.trial import Phone
from build_tools.visit_trials.hands import MAIN
from build_tools.visit_trials.kills import Visit
from build_tools.visit_trials.page import Shown, log_of, shown, stores, work
from tests.browser.work_sheet import wait

FULL = "NOT KEPT. This phone's storage is full."
NOTICE = ".ht-visit-notice"
BEGUN = 4
"""Acts done before each trial."""


@pytest.fixture
def browser(trial: Phone, visit: Visit) -> WebDriver:
    """The phone with a new visit, at a step that asks for something."""
    visit.begin(trial.browser)
    visit.go_on(trial.browser, BEGUN)
    return trial.browser


@pytest.fixture
def full(trial: Phone, visit: Visit, browser: WebDriver) -> Iterator[WebDriver]:
    """The same phone with no room left, opened again; it has room afterwards."""
    trial.restart()  # Chromium looks how much room there is only now and then
    browser = trial.browser
    room(browser, visit, 1000)
    visit.open(browser)
    yield browser
    room(browser, visit, None)


def room(browser: WebDriver, visit: Visit, quota: int | None) -> None:
    """Give the book so many bytes, or as many as there are."""
    size = {} if quota is None else {"quotaSize": quota}
    browser.execute_cdp_cmd("Storage.overrideQuotaForOrigin", {"origin": visit.host.origin, **size})


def next_tap(browser: WebDriver, visit: Visit) -> None:
    """Do what the screen waits for, whatever comes of it."""
    act = visit.hands.acts(visit.engine.screen(visit.log))[0]
    work(browser, act.moves, stays=True)


def press(browser: WebDriver, selector: str) -> None:
    """Press a button."""
    browser.execute_script("document.querySelector(arguments[0]).click()", selector)


def now(browser: WebDriver) -> Shown:
    """What stands on the page."""
    stands = shown(browser)
    assert stands is not None
    return stands


def test_a_full_phone_says_so_and_keeps_all(full: WebDriver, visit: Visit, tmp_path: Path) -> None:
    """The act is refused in words, log and screen stay, a file is offered; with room the tap goes on."""
    before = stores(full)
    title = now(full).title
    next_tap(full, visit)
    wait(full, f"return document.querySelector('{NOTICE}') !== null")
    assert FULL in now(full).text
    assert now(full).title == title
    assert stores(full) == before
    full.execute_cdp_cmd("Browser.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(tmp_path)})
    press(full, f"{NOTICE} button")
    waiting(full).until(lambda _: list(tmp_path.glob("*.jsonl")), "no file")
    (file,) = tmp_path.glob("*.jsonl")
    head, *lines, _ = map(json.loads, file.read_text("utf-8").splitlines())
    assert head["visits"] == [visit.id]
    assert lines == visit.log
    room(full, visit, None)
    waiting(full).until(lambda _: written(full, visit), "the tap that was refused does not go on")
    assert log_of(full, visit.id)[: len(visit.log)] == visit.log


def written(browser: WebDriver, visit: Visit) -> bool:
    """Tap until Chromium has seen that there is room."""
    next_tap(browser, visit)
    return len(log_of(browser, visit.id)) > len(visit.log)


def test_two_tabs_that_both_write_lose_nothing(browser: WebDriver, visit: Visit) -> None:
    """Without locks the second sees that the first has written, and shows that in place of its act."""
    first = browser.current_window_handle
    hide = {"source": "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined })"}
    added = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", hide)
    visit.open(browser)
    browser.switch_to.new_window("tab")
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", hide)
    visit.open(browser)
    browser.switch_to.window(first)
    visit.go_on(browser, 1)
    title = now(browser).title
    second = next(handle for handle in browser.window_handles if handle != first)
    browser.switch_to.window(second)
    work(browser, [("skip", 600), ("tap", MAIN)])
    assert now(browser).title == title
    assert log_of(browser, visit.id) == visit.log
    browser.close()
    browser.switch_to.window(first)
    browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)

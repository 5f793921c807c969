"""A visit is kept as it is worked: on disk before the screen says so, in order, by one tab at a time."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.browsers.reading import wait_kept
from tests.browser.visit.visits_page import open_visits, put_visit
from tests.browser.visit.worked_page import (
    LEVELER,
    MAIN,
    answer,
    asks,
    begin,
    heading,
    log_of,
    rest,
    show_visit,
    step,
    steps,
    tap,
    tap_on,
    until,
)
from tests.browser.work_sheet import START_S, wait

WATCH = """
window.happened = [];
const begun = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, options) {
  const tx = begun.call(this, stores, mode, options);
  if (mode === "readwrite") tx.addEventListener("complete", () => happened.push(options?.durability));
  return tx;
};
new MutationObserver(() => happened.push("shown"))
  .observe(document.querySelector("[data-visit]"), { childList: true });
window.unwatch = () => { IDBDatabase.prototype.transaction = begun; };
"""
REFUSE = """
const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = () => { throw new DOMException("full", "QuotaExceededError"); };
window.unrefuse = () => { IDBObjectStore.prototype.add = add; };
"""
SHIFT = """
window.RealDate ??= Date;
const shift = arguments[0];
window.Date = class extends RealDate {
  constructor(...given) { super(...(given.length ? given : [RealDate.now() + shift])); }
  static now() { return RealDate.now() + shift; }
};
"""
DAY_MS = 86_400_000


@pytest.fixture
def kept_host(site: Path) -> Iterator[Host]:
    """The real book on a host of its own, which a test may stop."""
    host = Host(site).start()
    yield host
    host.stop()


def test_a_tap_is_on_disk_before_the_next_screen(browser: WebDriver, address: str, site: Path) -> None:
    """The transaction is complete, with durability strict, before the next screen is shown."""
    visit = begin(browser, address, site, steps)
    before = len(log_of(browser, visit))
    browser.execute_script(WATCH)
    tap_on(browser, MAIN)
    assert browser.execute_script("unwatch(); return happened") == ["strict", "shown"]
    assert [event["kind"] for event in log_of(browser, visit)[before:]] == ["done"]


def test_a_thumb_that_bounces_answers_one_screen(browser: WebDriver, address: str, site: Path) -> None:
    """Two taps on Done at the same place within a bounce are one."""
    visit = begin(browser, address, site, steps)
    before = len(log_of(browser, visit))
    first = step(browser)
    browser.execute_script(
        "const twice = () => document.querySelector(arguments[0]).click(); twice(); setTimeout(twice, 60)",
        MAIN,
    )
    wait(browser, f"return document.querySelector('.ht-visit-words').textContent !== {first!r}")
    rest(browser)
    assert len(log_of(browser, visit)) == before + 1


def test_a_reload_goes_on_where_it_was(browser: WebDriver, address: str, site: Path) -> None:
    """The same screen comes back, with what was typed and not entered yet, in the unit it was typed in."""
    visit = begin(browser, address, site, asks("rod-found"))
    at = step(browser)
    browser.find_element("css selector", ".ht-visit-input").send_keys("41,5")
    browser.refresh()
    wait(browser, "return document.querySelector('.ht-visit-words') !== null", START_S)
    assert step(browser) == at
    assert browser.find_element("css selector", ".ht-visit-input").get_property("value") == "41,5"
    assert [event["kind"] for event in log_of(browser, visit)][-1] != "entered"


def test_a_second_tab_reads_and_then_takes_over(browser: WebDriver, address: str, site: Path) -> None:
    """The second tab on a visit says so and has no acts; it follows, and takes over when the first goes."""
    visit = begin(browser, address, site, steps)
    first = browser.current_window_handle
    browser.switch_to.new_window("tab")
    second = browser.current_window_handle
    try:
        browser.get(f"{address}visit.html#visit={visit}")
        wait(browser, "return document.querySelector('.ht-visit-notice') !== null", START_S)
        told = browser.find_element("css selector", ".ht-visit-notice").text
        assert told == "Another tab works on this visit. Here you can read it."
        assert browser.find_elements("css selector", ".ht-visit-acts") == []
        browser.switch_to.window(first)
        tap_on(browser, MAIN)
        after = step(browser)
        browser.switch_to.window(second)
        wait(browser, f"return document.querySelector('.ht-visit-words').textContent === {after!r}")
        browser.switch_to.window(first)
        browser.execute_script("location.hash = ''")
        browser.switch_to.window(second)
        wait(browser, "return document.querySelector('.ht-visit-acts') !== null")
        rest(browser)
        tap_on(browser, MAIN)
    finally:
        browser.close()
        browser.switch_to.window(first)
    assert [event["kind"] for event in log_of(browser, visit)][-2:] == ["done", "done"]


def test_a_full_phone_says_so_and_keeps_what_is_there(browser: WebDriver, address: str, site: Path) -> None:
    """The screen stays, nothing is half, the file is offered; with room again the same tap goes on."""
    visit = begin(browser, address, site, steps)
    before = log_of(browser, visit)
    at = step(browser)
    browser.execute_script(REFUSE)
    tap(browser, MAIN)
    wait(browser, "return document.querySelector('[role=alert]') !== null")
    browser.execute_script("unrefuse()")
    alert, save = browser.execute_script(
        "const alert = document.querySelector('[role=alert]');"
        "return [alert.querySelector('p').textContent, alert.querySelector('button').textContent]"
    )
    assert alert == (
        "NOT KEPT. This phone's storage is full. All that was entered before is still there. "
        "Free some room, then do this again, or save the visit as a file now."
    )
    assert save == "Save the visit as a file"
    assert (step(browser), log_of(browser, visit)) == (at, before)
    tap_on(browser, MAIN)
    assert len(log_of(browser, visit)) == len(before) + 1


def test_a_browser_that_keeps_nothing_works_no_visit(browser: WebDriver, address: str) -> None:
    """Where the log cannot be opened, the page says so and points at the pages."""
    blocked = browser.execute_cdp_cmd(
        "Page.addScriptToEvaluateOnNewDocument",
        {"source": "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"},
    )
    try:
        browser.get("about:blank")
        browser.get(f"{address}visit.html")
        wait(browser, "return document.querySelector('[role=alert]') !== null", START_S)
        assert heading(browser) == "No visit can be worked here"
        told = browser.find_element("css selector", "[role=alert]").text
        assert told.startswith("This browser keeps nothing for this book")
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", blocked)
        browser.get("about:blank")


def test_the_order_is_that_of_the_acts_whatever_the_clock_does(
    browser: WebDriver, address: str, site: Path
) -> None:
    """A day back and two days forward within a visit: `seq` counts on, and `at` tells what the clock said."""
    visit = begin(browser, address, site, steps)
    before = len(log_of(browser, visit))
    for shift in (0, -DAY_MS, DAY_MS):
        browser.execute_script(SHIFT, shift)
        tap_on(browser, MAIN if browser.find_elements("css selector", MAIN) else ".ht-visit-choice")
    browser.execute_script("Date = RealDate")
    events = log_of(browser, visit)
    assert all(later["seq"] > event["seq"] for event, later in pairwise(events))
    days = [
        datetime.datetime.fromisoformat(event["at"]) for event in events[before:] if event["kind"] == "done"
    ]
    apart = [(later - day) / datetime.timedelta(days=1) for day, later in pairwise(days)]
    assert [round(each) for each in apart] == [-1, 2]
    assert all(event["id"][14] == "7" for event in events)


def test_a_visit_goes_on_without_the_host(phone: WebDriver, kept_host: Host, site: Path) -> None:
    """Once all is kept, a visit is opened, worked and reloaded with the server stopped."""
    open_visits(phone, kept_host.address)
    wait_kept(phone, "complete")
    kept_host.stop()
    phone.get(f"{kept_host.address}visit.html")
    wait(phone, "return document.querySelector('[data-part=begin]') !== null", START_S)
    put_visit(phone, "offline", LEVELER, until(site, answer))
    show_visit(phone, "offline")
    wait(phone, "return document.querySelector('.ht-visit-picture svg') !== null")
    tap_on(phone, MAIN)
    at = heading(phone)
    phone.refresh()
    wait(phone, "return document.querySelector('.ht-visit-words') !== null", START_S)
    assert heading(phone) == at

"""For everyone: letters of twice the size, set in the browser or by zooming, cut nothing and push nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from selenium import webdriver

from build_tools.browsers.engines import PHONE, open_chromium
from tests.browser.work_sheet import PAGES, wait

PAGES_SEEN = ("index.html", PAGES["fold-time"], PAGES["service-plan"], "faults/noisy.html")
TWICE = "--blink-settings=defaultFontSize=32"
SMALL: dict[str, Any] = {"width": 320, "height": 640, "deviceScaleFactor": 1, "mobile": False}
ZOOMED: dict[str, Any] = {"width": 195, "height": 422, "deviceScaleFactor": 2, "mobile": False}
"""A phone of 390 by 844 at 200 %."""
LOST = """
const width = document.documentElement.clientWidth;
const apart = ".ht-spoken, .ht-range, .md-sidebar, .md-search, .md-skip, svg";
const scrolls = (element) => {
  for (let up = element; up && up !== document.body; up = up.parentElement)
    if (["auto", "scroll"].includes(getComputedStyle(up).overflowX)) return true;
  return false;
};
const seen = [...document.body.querySelectorAll("*")].filter((each) =>
  each.checkVisibility({ visibilityProperty: true }) && !each.closest(apart));
const beyond = seen.filter((each) => each.getBoundingClientRect().right > width + 1 && !scrolls(each));
const clips = (each) => ["hidden", "clip"].includes(getComputedStyle(each).overflowX);
const more = (each) => each.scrollWidth > each.clientWidth + 1 || each.scrollHeight > each.clientHeight + 1;
const cut = seen.filter((each) => clips(each) && each.textContent.trim() && more(each));
const name = (each) => `${each.localName}.${each.className} ${each.textContent.trim().slice(0, 30)}`;
return [...beyond, ...cut].map(name);
"""
SIZES = """
return [".md-content__inner p", "ol.steps > li > p", ".md-header__title"].map((each) =>
  parseFloat(getComputedStyle(document.querySelector(each)).fontSize));
"""
DIGITS = """
document.querySelector("[data-act=open-stopwatch]").click();
const digits = document.querySelector("dialog[open] [data-digits]");
digits.textContent = "28.88";
const text = document.createRange();
text.selectNodeContents(digits);
const { left, right, bottom } = text.getBoundingClientRect();
const press = document.querySelector("dialog[open] [data-press]").getBoundingClientRect();
document.querySelector("dialog[open]").close();
return left >= 0 && right <= innerWidth && bottom <= press.top + 16; // a line's box is higher than its digits
"""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """A browser whose owner has set its letters to twice the usual size."""
    browser = open_chromium(tmp_path_factory.mktemp("large"), TWICE)
    yield browser
    browser.quit()


def sizes(browser: webdriver.Chrome, address: str) -> list[float]:
    """The letters of a sentence, a step and the head of the page, in pixels."""
    browser.get(address + PAGES["fold-time"])
    return [float(size) for size in browser.execute_script(SIZES)]


def look(browser: webdriver.Chrome, address: str, screen: dict[str, Any]) -> dict[str, list[str]]:
    """What is cut or out of the screen on each page."""
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", screen)
    lost = {}
    for page in PAGES_SEEN:
        browser.get(address + page)
        wait(browser, "return document.querySelector('.md-search[aria-label]') !== null")
        lost[page] = browser.execute_script(LOST)
    return {page: parts for page, parts in lost.items() if parts}


def watch_is_whole(browser: webdriver.Chrome, address: str) -> bool:
    """Tell whether the stopwatch's digits stand whole above its button."""
    browser.get(address + PAGES["fold-time"])
    wait(browser, "return document.querySelector('[data-sheet]')?.disabled === false")
    return bool(browser.execute_script(DIGITS))


def test_text_follows_the_readers_own_size(
    browser: webdriver.Chrome, large: webdriver.Chrome, address: str
) -> None:
    """Letters set to twice the size are twice as large in every part of a page."""
    assert sizes(browser, address) == [18, 20, 16]
    assert sizes(large, address) == [36, 40, 32]


def test_large_letters_lose_nothing(large: webdriver.Chrome, address: str) -> None:
    """At 320 px with letters of twice the size nothing is cut, and nothing is pushed sideways."""
    assert look(large, address, SMALL) == {}
    assert watch_is_whole(large, address)


def test_zooming_to_twice_the_size_loses_nothing(browser: webdriver.Chrome, address: str) -> None:
    """The same on a phone that shows its pages at 200 %."""
    try:
        assert look(browser, address, ZOOMED) == {}
        assert watch_is_whole(browser, address)
    finally:
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)

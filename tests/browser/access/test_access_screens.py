"""For everyone: a thumb on glass, a phone on its side, 400 %, and keys over half the screen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.actions import interaction
from selenium.webdriver.common.actions.action_builder import ActionBuilder
from selenium.webdriver.common.actions.pointer_input import PointerInput
from selenium.webdriver.common.keys import Keys

from build_tools.access.reflow import NARROW, pushed_sideways
from build_tools.browsers.engines import PHONE
from tests.browser.work_sheet import choose_start, empty_sheet, entry, error_at, press, wait

ON_ITS_SIDE = {**PHONE, "width": 844, "height": 390}
KEYS_UP = {**PHONE, "height": 844 - 460}
"""What is left of the phone's screen above its keys, with a row of suggestions."""
IN_SIGHT = """
const header = document.querySelector(".md-header").getBoundingClientRect().bottom;
const boxes = arguments[0].map((selector) => document.querySelector(selector).getBoundingClientRect());
return boxes.map(({ top, bottom }) => top >= header - 1 && bottom <= innerHeight + 1);
"""
FACE = """
const [press, digits] = ["[data-press]", "[data-digits]"].map((each) =>
  document.querySelector(`dialog[open] ${each}`).getBoundingClientRect());
return { half: press.height / innerHeight, whole: press.left === 0 && press.right === innerWidth,
  digits: digits.top >= 0 && digits.bottom <= press.top, size: digits.height };
"""


@pytest.fixture
def sheet(page: webdriver.Chrome, address: str) -> Iterator[webdriver.Chrome]:
    """An empty fold-time sheet on a phone held upright; whatever the test makes of the screen is undone."""
    empty_sheet(page, address, "fold-time")
    yield page
    page.execute_script("document.querySelector('dialog[open]')?.close()")
    resize(page, PHONE)


def resize(browser: webdriver.Chrome, screen: dict[str, Any]) -> None:
    """Return the browser another screen."""
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", screen)


def test_a_field_and_its_error_stay_in_sight_above_the_keys(sheet: webdriver.Chrome) -> None:
    """With the phone's keys up, the field that is typed into is in sight, and so is what is wrong with it."""
    resize(sheet, KEYS_UP)
    field = entry(sheet, "runs_s[2]")
    field.click()
    assert sheet.execute_script(IN_SIGHT, ['[name="runs_s[2]"]']) == [True]
    field.send_keys("9999", Keys.ENTER)
    wait(sheet, "return document.querySelector('[data-error=\"runs_s[2]\"]').hidden === false")
    assert error_at(sheet, "runs_s[2]") != ""
    assert sheet.execute_script(IN_SIGHT, ['[name="runs_s[2]"]', '[data-error="runs_s[2]"]']) == [True, True]


def test_a_thumb_starts_and_stops_the_watch(sheet: webdriver.Chrome) -> None:
    """Two touches of the glass are two presses, and no more."""
    press(sheet, "[data-act=open-stopwatch]")
    choose_start(sheet, "by-hand")
    for state in ("running", "stopped"):
        sheet.execute_async_script("setTimeout(arguments[0], 250)")
        touch(sheet, "[data-press]")
        wait(sheet, f"return document.querySelector('[data-stopwatch]').dataset.state === '{state}'")


def touch(browser: webdriver.Chrome, selector: str) -> None:
    """Touch the middle of an element."""
    finger = PointerInput(interaction.POINTER_TOUCH, "finger")
    actions = ActionBuilder(browser, mouse=finger)
    actions.pointer_action.move_to(browser.find_element("css selector", selector)).pointer_down().pointer_up()
    actions.perform()


@pytest.mark.parametrize("screen", [PHONE, ON_ITS_SIDE, NARROW], ids=["upright", "on its side", "400 %"])
def test_the_watch_fits_every_screen(sheet: webdriver.Chrome, screen: dict[str, Any]) -> None:
    """The lower half is the button from edge to edge; the digits stand whole above it, large."""
    press(sheet, "[data-act=open-stopwatch]")
    resize(sheet, screen)
    face = sheet.execute_script(FACE)
    assert 0.45 < face["half"] <= 0.5
    assert (face["whole"], face["digits"]) == (True, True)
    assert face["size"] >= (72 if screen["height"] > NARROW["height"] else 48)  # at 400 % four times as large


def test_turning_the_phone_keeps_what_is_written(sheet: webdriver.Chrome) -> None:
    """On its side nothing has to be pushed sideways, and what was written stays where it was."""
    entry(sheet, "runs_s[0]").send_keys("16.4")
    resize(sheet, ON_ITS_SIDE)
    assert pushed_sideways(sheet, "on its side") == []
    assert entry(sheet, "runs_s[0]").get_attribute("value") == "16.4"
    ActionChains(sheet).send_keys("5").perform()
    assert entry(sheet, "runs_s[0]").get_attribute("value") == "16.45"

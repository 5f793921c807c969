"""For everyone: a sample of pages and every state of a sheet keep the rules; a command looks at all."""

from __future__ import annotations

import json
import random
from itertools import cycle
from pathlib import Path

import pytest
from selenium import webdriver

from build_tools.access.axe import ask_axe, ask_contrast
from build_tools.access.fault_path_screens import each_path_screen
from build_tools.access.findings import tally
from build_tools.access.reflow import NARROW, pushed_sideways
from build_tools.access.schemes import SCHEMES
from build_tools.access.sheet_states import STATES, each_state, open_sheet
from build_tools.access.targets import targets, too_small_or_near
from build_tools.browsers.engines import PHONE
from build_tools.commands.access import Look, pages_of
from build_tools.registers.registers import Registers
from tests.browser.work_sheet import PAGES, wait

SAMPLE = 3
PATH_PAGE = "faults/noisy.html"
SCREENS = (
    "unfolded",
    "struck-out",
    "stopwatch-ready",
    "stopwatch-counting",
    "stopwatch-running",
    "stopwatch-stopped",
    "own-timing",
)
"""What a sheet can show beside the states of its answer area."""
PLANTED = """
const content = document.querySelector(".md-content__inner");
content.insertAdjacentHTML("afterbegin", `<p id="small"><button></button><button>x</button></p>
  <ol class="steps"><li><p id="faint">faint</p></li></ol><p id="wide">wide</p>`);
for (const { style } of document.querySelectorAll("#small > *")) style.cssText = "min-height: 0; padding: 0";
Object.assign(document.querySelector("#faint").style, { color: "#707070", background: "#ffffff" });
document.querySelector("#wide").style.width = "900px";
"""
GROUND_AND_INK = """
const page = getComputedStyle(document.body).getPropertyValue("--ht-ground").trim();
const texts = [...document.querySelectorAll(".md-content :is(ol.steps p, .ht-hazard-what, a)")];
const seen = texts.filter((each) => each.checkVisibility());
return [page, [...new Set(seen.map((each) => getComputedStyle(each).color))]];
"""
MOVING = """
return document.getAnimations().filter((each) => each.effect.getComputedTiming().activeDuration > 0)
  .map((each) => each.effect.target.className);
"""
TOGGLE = "label[for^=__palette]:not([hidden])"


@pytest.fixture(scope="module")
def sample(site: Path) -> list[str]:
    """Some pages of the book; which ones changes with the book, and so from commit to commit."""
    edition = json.loads((site / "edition.json").read_text(encoding="utf-8"))["edition"]
    return random.Random(edition).sample(pages_of(site), SAMPLE)


def prefer(browser: webdriver.Chrome, feature: str, value: str) -> None:
    """Set what the phone says its owner prefers; "" takes it back."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": feature, "value": value}]})


def open_for_the_first_time(browser: webdriver.Chrome, page: str, phone: str) -> None:
    """Open a page of which nothing is kept, on a phone that is set to light or dark."""
    prefer(browser, "prefers-color-scheme", phone)
    browser.get(page)
    browser.execute_script("localStorage.clear()")
    browser.get(page)


def test_a_sample_of_pages_keeps_every_rule(
    browser: webdriver.Chrome, address: str, sample: list[str]
) -> None:
    """Pages break no rule of WCAG 2.2 AA in any colours, have whole targets, and are read at 320 px."""
    look = Look()
    for page in sample:
        browser.get(address + page)
        wait(browser, "return document.querySelector('.md-search[aria-label]') !== null")
        look.at(browser, page)
    assert sorted(look.found) == []
    assert look.looked == {"axe-core": SAMPLE * len(SCHEMES), "targets and reflow": SAMPLE}


def test_every_state_of_a_sheet_keeps_every_rule(
    browser: webdriver.Chrome, address: str, registers: Registers
) -> None:
    """A sheet in any state breaks no rule; the colours take turns."""
    open_sheet(browser, address + PAGES["fold-time"], "fold-time")
    look, seen = Look(), []
    for state, scheme in zip(
        each_state(browser, registers.examples["fold-time"]["inputs"]), cycle(SCHEMES), strict=False
    ):
        look.at(browser, state, [scheme])
        seen.append(state)
    assert sorted(look.found) == []
    assert set(seen) == {*STATES, *SCREENS}


def test_every_screen_of_a_fault_path_keeps_every_rule(browser: webdriver.Chrome, address: str) -> None:
    """A question, an end and the table break no rule; the colours take turns."""
    page = address + PATH_PAGE
    browser.get(page)
    look, seen = Look(), []
    for screen, scheme in zip(each_path_screen(browser, page), cycle(SCHEMES), strict=False):
        look.at(browser, screen, [scheme])
        seen.append(screen)
    assert sorted(look.found) == []
    assert {"first answers, question 1", "first answers, end", "last answers, end", "as a table"} <= set(seen)


def test_what_is_planted_is_found(browser: webdriver.Chrome, address: str) -> None:
    """Each kind of look finds the fault that it is for."""
    browser.get(address + PAGES["turn-plan"])
    browser.execute_script(PLANTED)
    found = [*ask_axe(browser, ""), *ask_contrast(browser, ""), *too_small_or_near(targets(browser), "")]
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", NARROW)
    found += pushed_sideways(browser, "")
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    wanted = {"button-name", "color-contrast-enhanced", "target-size", "target-distance", "reflow"}
    assert wanted <= set(tally(found))


def test_sunlight_is_one_tap_away(browser: webdriver.Chrome, address: str) -> None:
    """The book follows the phone from light to dark; from either one tap makes every word black on white."""
    for phone, scheme in (("light", "default"), ("dark", "slate")):
        open_for_the_first_time(browser, address + PAGES["turn-plan"], phone)
        assert browser.execute_script("return document.body.dataset.mdColorScheme") == scheme
        browser.find_element("css selector", TOGGLE).click()
        wait(browser, "return document.body.dataset.mdColorScheme === 'sunlight'")
        wait(browser, f"return (() => {{ {MOVING} }})().length === 0")
        assert browser.execute_script(GROUND_AND_INK) == ["#ffffff", ["rgb(0, 0, 0)"]]
    prefer(browser, "prefers-color-scheme", "")


def test_the_book_follows_the_phone_at_dusk(browser: webdriver.Chrome, address: str) -> None:
    """A phone that turns dark in the evening turns the open page dark with it, and the next one too."""
    open_for_the_first_time(browser, address + PAGES["turn-plan"], "light")
    prefer(browser, "prefers-color-scheme", "dark")
    wait(browser, "return document.body.dataset.mdColorScheme === 'slate'")
    browser.get(address)
    wait(browser, "return document.body.dataset.mdColorScheme === 'slate'")
    prefer(browser, "prefers-color-scheme", "")


def test_reduced_motion_moves_nothing(browser: webdriver.Chrome, address: str) -> None:
    """Where the phone asks for less motion, nothing slides, fades or plays."""
    prefer(browser, "prefers-reduced-motion", "reduce")
    browser.get(address + "know/the-operating-cycle-in-pictures.html")
    browser.find_element("css selector", TOGGLE).click()
    assert browser.execute_script(MOVING) == []
    browser.find_element("css selector", "[data-opens=__drawer]").click()
    assert browser.execute_script(MOVING) == []
    browser.execute_script("localStorage.clear()")
    prefer(browser, "prefers-reduced-motion", "")


def test_signals_are_words_and_shapes(browser: webdriver.Chrome, address: str) -> None:
    """Each caution says its signal word, all but a notice with the triangle, whatever the colours."""
    browser.get(address + PAGES["turn-plan"])
    found = browser.execute_script("""
        return [...document.querySelectorAll("[data-signal]")].map((each) => {
            const signal = each.matches(".ht-signal") ? each : each.querySelector(".ht-signal");
            const { display, clipPath } = getComputedStyle(signal, "::before");
            return [each.dataset.signal, signal.textContent, display !== "none" && clipPath !== "none"];
        });
    """)
    assert len(found) > 4
    assert [row for row in found if row[1] != row[0] or row[2] != (row[0] != "NOTICE")] == []

"""For everyone: the whole main job without pointing at anything, and what a screen reader says on the way."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from build_tools.registers.registers import Registers
from tests.browser.work_sheet import PAGES, choose_start, empty_sheet, fill, wait, wait_answer, wait_runtime

MOST_TABS = 150
RUNS = 3
STOP = """
const stop = document.activeElement;
const seen = stop.matches("[name=__palette]") ? stop.nextElementSibling : stop; // that box has a label to see
const box = (seen.closest("label") ?? seen).getBoundingClientRect();
const header = document.querySelector(".md-header").getBoundingClientRect().bottom;
const covered = !stop.closest("dialog, .md-header, .md-skip") && box.bottom <= header;
const style = getComputedStyle(seen);
if (stop === document.body) return { reached: false, shown: true, inView: true }; // the browser's own buttons
return { reached: stop.matches(arguments[0]), name: stop.textContent.trim() || stop.name || stop.className,
  shown: stop.matches(":focus-visible") && (style.outlineStyle !== "none" || style.boxShadow !== "none"),
  inView: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth && !covered };
"""
SPOKEN_ROLES = {
    "heading",
    "link",
    "button",
    "textbox",
    "checkbox",
    "radio",
    "combobox",
    "slider",
    "DisclosureTriangle",
}
LIVE_ROLES = {"status", "timer", "alert", "log"}


@pytest.fixture(scope="module")
def answered(page: webdriver.Chrome, address: str, registers: Registers) -> webdriver.Chrome:
    """The fold-time sheet with the example's answer on it."""
    empty_sheet(page, address, "fold-time")
    fill(page, registers.examples["fold-time"]["inputs"])
    wait_answer(page)
    return page


def send(browser: webdriver.Chrome, *keys: str) -> None:
    """Press keys, wherever the page has its focus."""
    ActionChains(browser).send_keys(*keys).perform()


def tab_to(browser: webdriver.Chrome, selector: str) -> list[str]:
    """Go on with the tab key until `selector` has the focus; give the stops that were not to be seen."""
    unseen = []
    for _ in range(MOST_TABS):
        send(browser, Keys.TAB)
        stop = browser.execute_script(STOP, selector)
        if not (stop["shown"] and stop["inView"]):
            unseen.append(str(stop))
        if stop["reached"]:
            return unseen
    raise AssertionError(f"{selector} is not reached in {MOST_TABS} stops")


def test_the_main_job_by_keyboard_alone(page: webdriver.Chrome, address: str) -> None:
    """From the home page to a judged lip and its turn plan with keys alone, the focus always in sight."""
    empty_sheet(page, address, "fold-time")
    page.get(address)
    unseen = tab_to(page, ".md-content a[href$='time-the-lip-fold.html']")
    send(page, Keys.ENTER)
    wait(page, "return document.querySelector('[data-sheet]')?.disabled === false")
    unseen += tab_to(page, "[data-act=open-stopwatch]")
    send(page, Keys.ENTER)
    choose_start(page, "by-hand")
    for _ in range(RUNS):
        time_one_run(page)
    unseen += tab_to(page, "[data-act=close-stopwatch]")
    send(page, Keys.ENTER)
    assert page.execute_script("return document.activeElement.dataset.act") == "open-stopwatch"
    unseen += tab_to(page, "[data-offer=lip-fold-time]")
    send(page, Keys.ENTER)
    wait_runtime(page)
    assert wait_answer(page)["headline"] != ""
    unseen += tab_to(page, ".md-content a[href$='set-the-lip-assist-spring.html']")
    send(page, Keys.ENTER)
    wait(
        page, "return document.querySelector('[data-calculator=turn-plan] [data-sheet]')?.disabled === false"
    )
    unseen += tab_to(page, "[data-act=take-runs]")
    send(page, Keys.ENTER)
    wait_runtime(page)
    wait_answer(page, "missing")  # how much adjustment is left is measured at the nut, and typed
    assert unseen == []


def test_keys_open_the_menu_and_the_search(page: webdriver.Chrome, address: str) -> None:
    """Both open by a key, say whether they are open, close by escape, and closed they are no stop."""
    page.get(address)
    for toggle, key in (("__drawer", Keys.SPACE), ("__search", Keys.ENTER)):
        button = f"[data-opens={toggle}]"
        wait(page, f"return document.querySelector('{button}') !== null")
        page.execute_script(f"document.querySelector('{button}').focus()")
        send(page, key)
        wait(page, f"return document.querySelector('{button}').ariaExpanded === 'true'")
        send(page, Keys.ESCAPE)
        wait(page, f"return document.querySelector('{button}').ariaExpanded === 'false'")
        assert page.execute_script(f"return document.activeElement.matches('{button}')")
    page.get(address)
    assert tab_to(page, ".md-content a") == []
    hidden = (
        "return document.querySelector('.md-sidebar--primary').checkVisibility({ visibilityProperty: true })"
    )
    assert page.execute_script(hidden) is False


def test_a_single_letter_turns_no_page(page: webdriver.Chrome, address: str) -> None:
    """A letter pressed outside an entry does nothing: the theme's own short cuts are kept from it."""
    page.get(address + PAGES["fold-time"])
    wait(page, "return document.querySelector('.md-search[aria-label]') !== null")
    send(page, *"np,.fs/")
    assert page.current_url == address + PAGES["fold-time"]
    assert page.execute_script("return document.querySelector('#__search').checked") is False


def time_one_run(browser: webdriver.Chrome) -> None:
    """Start and stop the open stopwatch with the space bar, as far apart as no bounce is."""
    for state in ("running", "stopped"):
        browser.execute_async_script("setTimeout(arguments[0], 250)")
        send(browser, Keys.SPACE)
        wait(browser, f"return document.querySelector('[data-stopwatch]').dataset.state === '{state}'")


def spoken(browser: webdriver.Chrome) -> list[dict[str, Any]]:
    """What a screen reader gets of the page, in its order: the nodes of the accessibility tree.

    `live` is "polite" where a change is announced: the nearest node that says so, or an output itself.
    """
    nodes = browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    known = {node["nodeId"]: node for node in nodes}
    return list(_in_order(known, nodes[0]["nodeId"], None))


def _in_order(known: dict[str, Any], id_: str, live: str | None) -> Iterator[dict[str, Any]]:
    node = known[id_]
    properties = {each["name"]: each["value"].get("value") for each in node.get("properties", [])}
    if "live" in properties or node["role"]["value"] in LIVE_ROLES:  # no word on it means "off" there
        live = properties.get("live")
    if not node["ignored"]:
        name = str(node.get("name", {}).get("value", "")).strip()
        yield {**properties, "role": node["role"]["value"], "name": name, "live": live}
    for child in node.get("childIds", []):
        if child in known:
            yield from _in_order(known, child, live)


def test_everything_that_can_be_used_has_a_name(answered: webdriver.Chrome) -> None:
    """Each heading, link, button and entry that a screen reader meets says what it is."""
    found = [node for node in spoken(answered) if node["role"] in SPOKEN_ROLES]
    assert {node["role"] for node in found} >= {"heading", "link", "button", "textbox", "checkbox"}
    assert [node for node in found if node["name"] == ""] == []


def test_buttons_that_do_the_same_are_told_apart(answered: webdriver.Chrome) -> None:
    """On one sheet no two buttons have the same name: which run is struck out is in its name."""
    names = [node["name"] for node in spoken(answered) if node["role"] == "button"]
    assert sorted(names) == sorted(set(names))


def test_headings_step_down_one_at_a_time(answered: webdriver.Chrome) -> None:
    """The page has one first heading, and no heading skips a level under the one before it."""
    levels = [node["level"] for node in spoken(answered) if node["role"] == "heading" and node["name"]]
    assert levels.count(1) == 1
    assert [pair for pair in pairwise(levels) if pair[1] > pair[0] + 1] == []


def test_the_answer_is_spoken_in_order(answered: webdriver.Chrome) -> None:
    """What is announced: the sentence, the cautions, then what to do; the numbers wait to be read."""
    told = answered.execute_script("""
        const area = document.querySelector("[data-answer]");
        return [area.querySelector("[data-field=headline]").textContent,
            [...area.querySelectorAll(".ht-hazard-what")].filter((each) => each.checkVisibility())
                .map((each) => each.textContent.trim()),
            area.querySelector("[data-part=do]").textContent];
    """)
    texts = [node for node in spoken(answered) if node["role"] == "StaticText"]
    headline, cautions, action = told
    live = [node["name"] for node in texts if node["live"] == "polite"]
    places = [live.index(text) for text in (headline, *cautions, action)]
    assert len(cautions) > 0
    assert places == sorted(places)
    numbers = answered.execute_script(
        "return [...document.querySelectorAll('.ht-numbers output')].map((each) => each.textContent.trim())"
    )
    assert [number for number in numbers if number and number in live] == []


def test_the_stopwatch_says_what_it_is(answered: webdriver.Chrome) -> None:
    """The stopwatch is a named dialog, its button has the focus, and running digits are not spoken."""
    answered.execute_script("document.querySelector('[data-act=open-stopwatch]').click()")
    choose_start(answered, "by-hand")
    nodes = spoken(answered)
    dialog = next(node for node in nodes if node["role"] == "dialog")
    assert (dialog["name"], dialog["modal"]) == ("Lip fold stopwatch", True)
    focused = [
        (node["role"], node["name"])
        for node in nodes
        if node.get("focused") and node["role"] != "RootWebArea"
    ]
    assert focused == [("button", "Start")]
    timer = next(node for node in nodes if node["role"] == "timer")
    assert timer["live"] in (None, "off")
    answered.execute_script("document.querySelector('[data-act=close-stopwatch]').click()")

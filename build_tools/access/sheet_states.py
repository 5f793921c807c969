"""Bring a work sheet into every state that a person can meet, one after another."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.remote.webdriver import WebDriver as AnyDriver
from selenium.webdriver.support.ui import WebDriverWait

from build_tools.access.filled_sheet import fill

PATIENCE_S = 90
LEAD_S = 3.2
"""A countdown shorter than any that the book offers, so that nobody waits for it."""
WATCH = "return document.querySelector('[data-stopwatch]').dataset.state === '%s'"
STATES = ("waiting", "missing", "typing", "refused", "answered", "fault")
"""The states of the answer area (its `data-state`), in the order in which `each_state` goes through them."""
HOLD = """
window.Worker = class extends Worker {
  postMessage(...what) {
    if (window.halfTurnGo === undefined) (window.halfTurnHeld ??= []).push(() => super.postMessage(...what));
    else super.postMessage(...what);
  }
};
"""
"""Keeps Python from starting, however fast the machine is, until LET_GO."""
LET_GO = "window.halfTurnGo = true; for (const post of window.halfTurnHeld ?? []) post();"
EMPTY = "document.querySelector('[data-act=new-sheet]').click();"
GO_ON_TYPING = """
const input = document.querySelector("[data-sheet] input[type=text]");
const type = () => input.dispatchEvent(new Event("input", { bubbles: true }));
type();
window.halfTurnTyping = setInterval(type, 200); // a pause of one second would bring the next state
"""
STOP_TYPING = "clearInterval(window.halfTurnTyping)"
SPOIL = """
const input = document.querySelector("[data-sheet] [data-high] input");
input.value = "1e9";
for (const name of ["input", "change"]) input.dispatchEvent(new Event(name, { bubbles: true }));
"""
ASK_PAST_THE_DOOR = """
delete document.querySelector("section[data-calculator]").dataset.calculator; // a fault of ours
"""


def open_sheet(browser: WebDriver, address: str, name: str) -> None:
    """Open the page at `address`, wait until the sheet of the calculator is taken over, and empty it.

    Its Python does not start before the sheet has been seen waiting for it.
    """
    held = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": HOLD})
    browser.get(address)
    browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", held)
    wait(
        browser, f"return document.querySelector('[data-calculator={name}] [data-sheet]')?.disabled === false"
    )
    browser.execute_script(EMPTY)


def each_state(browser: WebDriver, inputs: dict[str, Any]) -> Iterator[str]:
    """Return the name of each state while the open, empty sheet is in it; `inputs` are answered by it.

    A state that a fault of the page keeps away raises selenium's TimeoutException.
    """
    fill(browser, inputs)
    yield settled(browser, "waiting")
    browser.execute_script(LET_GO)
    wait(browser, "return document.documentElement.dataset.runtime === 'ready'")
    browser.execute_script(EMPTY)
    yield settled(browser, "missing")
    with typing(browser):
        yield settled(browser, "typing")
    fill(browser, inputs)
    settled(browser, "answered")
    browser.execute_script(SPOIL)
    yield settled(browser, "refused")
    browser.execute_script(EMPTY)
    fill(browser, inputs)
    yield settled(browser, "answered")
    yield from each_screen(browser)
    browser.execute_script(EMPTY + ASK_PAST_THE_DOOR)
    fill(browser, inputs)
    yield settled(browser, "fault")


def each_screen(browser: WebDriver) -> Iterator[str]:
    """Return what an answered sheet can show besides: all that is folded, a row struck out, the stopwatch."""
    browser.execute_script("for (const part of document.querySelectorAll('details')) part.open = true")
    yield "unfolded"
    if browser.find_elements("css selector", "[data-sheet] [data-act=strike]"):
        browser.execute_script("document.querySelector('[data-sheet] [data-act=strike]').click()")
        yield "struck-out"
    if browser.find_elements("css selector", "[data-act=open-stopwatch]"):
        yield from each_stopwatch(browser)


def each_stopwatch(browser: WebDriver) -> Iterator[str]:
    """Open the stopwatch, count down, run it and stop it; open your own timing; close both at the end."""
    click(browser, "open-stopwatch")
    browser.execute_script(
        "const lead = document.querySelector('[data-choice=lead]');"
        "lead.options[0].value = arguments[0]; lead.selectedIndex = 0;",
        str(LEAD_S),
    )
    yield "stopwatch-ready"
    if browser.execute_script("return document.querySelector('[data-act=try-sound]').hidden"):
        press_the_glass(browser)
    press_the_glass(browser)
    wait(browser, WATCH % "counting")
    yield "stopwatch-counting"
    wait(browser, WATCH % "running")
    yield "stopwatch-running"
    press_the_glass(browser)
    wait(browser, WATCH % "stopped")
    yield "stopwatch-stopped"
    click(browser, "open-own-timing")
    yield "own-timing"
    click(browser, "close-own-timing")
    click(browser, "close-stopwatch")


def click(browser: WebDriver, act: str) -> None:
    """Click a button by what it does."""
    browser.execute_script(f"document.querySelector('[data-act={act}]').click()")


def press_the_glass(browser: WebDriver) -> None:
    """Press the stopwatch's button as a person does: a browser plays no sound for a script's own click."""
    browser.execute_async_script("setTimeout(arguments[0], 700)")  # longer than a thumb bounces
    pressed = {"expression": "document.querySelector('[data-press]').click()", "userGesture": True}
    browser.execute_cdp_cmd("Runtime.evaluate", pressed)
    browser.execute_async_script("setTimeout(arguments[0], 100)")


@contextmanager
def typing(browser: WebDriver) -> Iterator[None]:
    """Go on typing into the first field for the time of the block."""
    browser.execute_script(GO_ON_TYPING)
    try:
        yield
    finally:
        browser.execute_script(STOP_TYPING)


def settled(browser: WebDriver, state: str) -> str:
    """Wait until the answer area is in `state`, and give its name."""
    area = "document.querySelector('[data-sheet]').closest('section').querySelector('[data-answer]')"
    wait(browser, f"return {area}.dataset.state === '{state}'")
    return state


def wait(browser: AnyDriver, script: str) -> None:
    """Wait until a script gives true."""
    waiter = WebDriverWait(browser, PATIENCE_S, poll_frequency=0.05)
    waiter.until(lambda _: browser.execute_script(script), f"never true: {script}")

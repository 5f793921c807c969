"""What a test does on the screens of a visit, and where in the reference visit it begins."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.places import PROJECT
from calculators.shared.words import read_words
from calculators.visiting import run
from tests.browser.visit.visits_page import open_visits, put_visit, with_parts, worked_visit
from tests.browser.work_sheet import START_S, wait

LEVELER = "brk-001"
REST_MS = 450
"""A little longer than a screen takes no act for after it is shown."""
MAIN = ".ht-visit-acts .ht-visit-main"
Screen = dict[str, Any]


def begin(browser: WebDriver, address: str, site: Path, wanted: Callable[[Screen], bool]) -> str:
    """Open the reference visit at its first screen that is `wanted`; return its id."""
    if not browser.current_url.startswith(f"{address}visit.html"):
        open_visits(browser, address)
    visit = str(uuid.uuid4())
    put_visit(browser, visit, LEVELER, until(site, wanted))
    show_visit(browser, visit)
    return visit


def until(site: Path, wanted: Callable[[Screen], bool]) -> list[dict[str, Any]]:
    """Return the reference visit's events up to its first screen that is `wanted`."""
    events = worked_visit(site)
    plan = (site / "half-turn" / "visit_plan.json").read_text(encoding="utf-8")
    words = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    for count, event in enumerate(events, 1):
        if event["kind"] not in ("opened", "done", "answered", "replied"):
            continue
        log = [{**each, "v": 1, "id": f"e{seq}", "seq": seq} for seq, each in enumerate(events[:count])]
        found = json.loads(run("screen", json.dumps({"plan": plan, "events": log}), words))
        if wanted(found["screen"]):
            return events[:count]
    raise LookupError("the reference visit has no such screen")


def show_visit(browser: WebDriver, visit: str) -> None:
    """Show a visit where it stands."""
    browser.execute_script("location.hash = `visit=${arguments[0]}`", visit)
    wait(browser, "return document.querySelector('.ht-visit-acts, [data-kind] .ht-visit-notice')", START_S)
    rest(browser)


def rest(browser: WebDriver) -> None:
    """Wait until a screen takes acts: a thumb that bounces must not answer the next one."""
    browser.execute_async_script(f"setTimeout(arguments[0], {REST_MS})")


def heading(browser: WebDriver) -> str:
    """Return the heading of the screen."""
    return str(browser.execute_script("return document.querySelector('.ht-visit-heading').textContent"))


def step(browser: WebDriver) -> str:
    """Return what the screen says to do."""
    return str(browser.execute_script("return document.querySelector('.ht-visit-words').textContent"))


def tap(browser: WebDriver, selector: str, number: int = 0) -> None:
    """Tap on what a selector finds."""
    found = browser.find_elements("css selector", selector)[number]
    browser.execute_script("arguments[0].scrollIntoView({ block: 'center', behavior: 'instant' })", found)
    found.click()


def tap_on(browser: WebDriver, selector: str) -> None:
    """Tap on an act that leads to another screen, and wait for that."""
    browser.execute_script("document.querySelector('.ht-visit-screen').dataset.old = ''")
    tap(browser, selector)
    wait(browser, "return !('old' in document.querySelector('.ht-visit-screen').dataset)")
    rest(browser)


def log_of(browser: WebDriver, visit: str) -> list[dict[str, Any]]:
    """Return the events of a visit as they lie on disk."""
    found: list[dict[str, Any]] = with_parts(browser, "return log.eventsOf(given[0])", visit)
    return found


def steps(screen: Screen) -> bool:
    """Whether a screen asks for nothing but Done."""
    return screen["kind"] == "steps" and not screen["entries"] and not screen["order"]


def turn(screen: Screen) -> bool:
    """Whether a screen asks for a half turn."""
    return bool(screen["order"]) and screen["kind"] == "steps"


def asks(ask: str) -> Callable[[Screen], bool]:
    """Whether a screen asks for something."""
    return lambda screen: any(entry["of"] == ask for entry in screen["entries"])


def kind(name: str) -> Callable[[Screen], bool]:
    """Whether a screen is of a kind."""
    return lambda screen: bool(screen["kind"] == name)


def answer(screen: Screen) -> bool:
    """Whether a screen is a calculator's answer that a person reads."""
    return bool(screen["kind"] == "answer" and screen["asked"])

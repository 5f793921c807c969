"""What a test does on the page of visits, beside the steps."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.measuring.visit_taps import count_visit
from build_tools.places import PROJECT
from calculators.shared.words import read_words
from tests.browser.work_sheet import START_S, wait

HEADING = "return document.querySelector('.ht-visit-heading')?.textContent ?? ''"
CLASS = "brackenlow-a1"


def open_visits(browser: WebDriver, address: str, search: str = "") -> None:
    """Open the list of visits and wait until a visit can be begun."""
    browser.get(f"{address}visit.html{search}")
    wait(browser, "return document.querySelector('[data-part=begin]') !== null", START_S)


def show(browser: WebDriver, hash_: str, kind: str) -> None:
    """Show one of the pages beside the steps and wait for it."""
    browser.execute_script(
        "document.querySelector('.ht-visit-screen').dataset.kind = ''; location.hash = arguments[0]", hash_
    )
    wait(browser, f"return document.querySelector('.ht-visit-screen')?.dataset.kind === '{kind}'", START_S)


def with_parts(browser: WebDriver, script: str, *given: Any) -> Any:
    """Run a script that may wait, with the page's own modules as `parts`, the log as `log` and `given`."""
    # Written into one script: the page's policy lets no text be run.
    found = browser.execute_async_script(
        f"""
        const [given, done] = arguments;
        (async () => {{
            const root = new URL(`${{document.documentElement.dataset.root}}/`, location).href;
            const {{ parts }} = await import(`${{root}}half-turn/page/visit.js`);
            const log = await parts["log.js"].openLog("edition");
            {script}
        }})().then((value) => done({{ value }}), (error) => done({{ error: String(error.stack) }}));
        """,
        given,
    )
    assert "error" not in found, found["error"]
    return found["value"]


@cache
def worked_visit(site: Path) -> list[dict[str, Any]]:
    """The reference visit from opened to closed, as kinds and values, worked through the engine's door."""
    words = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    plan = (site / "half-turn" / "visit_plan.json").read_text(encoding="utf-8")
    events = count_visit(plan, words, CLASS).events
    opened = {"customer": "Mill <b>Foods", "address": "1 Lane", "gate": "Gate B", "door": "5"}
    first = {"kind": "opened", "values": {**events[0]["values"], **opened}}
    return [first, *({"kind": event["kind"], "values": event["values"]} for event in events[1:])]


def put_visit(browser: WebDriver, visit: str, leveler: str, drafts: list[dict[str, Any]]) -> None:
    """Write a visit into the page's log, as the page itself writes it."""
    with_parts(browser, "await log.append(given[0], given[1], given[2])", visit, leveler, drafts)


def forget_visits(browser: WebDriver) -> None:
    """Take every visit out of the log, for the next test."""
    with_parts(browser, "await log.eraseAll()")

"""What a test does on a calculator's work sheet, and what it reads there."""

from __future__ import annotations

import json
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement

from build_tools.access.filled_sheet import fill as fill
from build_tools.browsers.reading import waiting

PAGES = {
    "fold-time": "procedures/time-the-lip-fold.html",
    "turn-plan": "procedures/set-the-lip-assist-spring.html",
    "mainspring-plan": "procedures/set-the-mainspring.html",
    "counterbalance": "learn/how-the-counterbalance-works.html",
    "spring-rate": "repair/plan-a-spring-replacement.html",
    "dock-slope": "faults/lip-will-not-reach-the-truck.html",
    "fold-trend": "checks/is-it-drifting.html",
    "service-plan": "checks/plan-the-year.html",
    "rod-length": "adjust/hold-the-rod-against-the-count.html",
}
START_S = 90
"""Python's start takes about 3 s; a busy machine with several browsers takes far longer."""
ANSWER_S = 15


def open_sheet(browser: WebDriver, address: str, name: str) -> None:
    """Open a calculator's page and wait until its sheet is taken over, with what was written before."""
    browser.get(address + PAGES[name])
    wait(browser, "return document.querySelector('[data-sheet]')?.disabled === false", START_S)


def empty_sheet(browser: WebDriver, address: str, name: str) -> None:
    """Return an empty sheet; a page that is open already is emptied in place, to save Python's start."""
    if browser.current_url.partition("#")[0] != address + PAGES[name]:
        open_sheet(browser, address, name)
    browser.execute_script("""
        const choice = document.querySelector("[data-leveler] select");
        if (choice?.value) {
            choice.value = "";
            choice.dispatchEvent(new Event("change", { bubbles: true }));
        }
        document.querySelector("[data-act=new-sheet]").click();
        const mine = Object.keys(localStorage).filter((key) => key.includes("sheet"));
        for (const key of mine) localStorage.removeItem(key);
    """)


def wait(browser: WebDriver, script: str, seconds: float = ANSWER_S) -> Any:
    """Wait until a script gives something true, and give it."""
    waiter = waiting(browser, seconds)
    return waiter.until(lambda _: browser.execute_script(script), f"never true: {script}")


def wait_runtime(browser: WebDriver, state: str = "ready") -> None:
    """Wait until the page says that its Python is `state`."""
    wait(browser, f"return document.documentElement.dataset.runtime === '{state}'", START_S)


def wait_answer(browser: WebDriver, state: str = "answered") -> dict[str, Any]:
    """Wait until the answer is `state`; give what it shows, see `shown`."""
    area = "document.querySelector('[data-calculator] [data-answer]')"
    wait(browser, f"return {area}.dataset.state === '{state}'")
    return shown(browser)


def shown(browser: WebDriver) -> dict[str, Any]:
    """What the answer area shows: its state, each visible sentence, and the cautions in order."""
    found: dict[str, Any] = browser.execute_script("""
        const area = document.querySelector("[data-calculator] [data-answer]");
        const text = (selector) => area.querySelector(selector)?.innerText.trim() ?? "";
        return {
            state: area.dataset.state,
            headline: text("output[data-field=headline]"),
            first: text("[data-part=first]"),
            action: text("[data-part=do]"),
            missing: text("[data-part=missing]"),
            reasons: [...area.querySelectorAll("[data-list=reasons] li")].map((line) => line.textContent),
            cautions: [...area.querySelectorAll("aside[data-hazard]")]
                .filter((caution) => caution.offsetParent !== null).map((caution) => caution.dataset.hazard),
        };
    """)
    return found


def results(browser: WebDriver) -> dict[str, Any]:
    """The exact value of every result shown as a number, a choice or a table."""
    texts = browser.execute_script("""
        const places = [...document.querySelectorAll("[data-calculator] [data-answer] output[data-value]")];
        return Object.fromEntries(places.map((place) => [place.dataset.field, place.dataset.value]));
    """)
    return {name: json.loads(text) for name, text in texts.items()}


def entry(browser: WebDriver, name: str) -> WebElement:
    """The entry of one field by its name on the wire."""
    return browser.find_element(By.NAME, name)


def write(browser: WebDriver, name: str, text: str, *, leave: bool = True) -> None:
    """Write into one field by its exact name; `leave` moves on to the next one."""
    field = entry(browser, name)
    field.clear()
    field.send_keys(text, *(["\t"] if leave else []))


def press(browser: WebDriver, selector: str) -> None:
    """Press the first button that a selector finds, wherever it stands on the page."""
    browser.execute_script("document.querySelector(arguments[0]).click()", selector)


def choose(browser: WebDriver, name: str, value: str) -> None:
    """Take one of a group of choices."""
    press(browser, f'input[name="{name}"][value="{value}"]')


def choose_start(browser: WebDriver, way: str) -> None:
    """Choose how the open stopwatch's runs are started: countdown, helper or by-hand."""
    browser.execute_script(
        "const way = document.querySelector('dialog[open] [data-choice=way]');"
        "way.value = arguments[0]; way.dispatchEvent(new Event('change', { bubbles: true }));",
        way,
    )


def error_at(browser: WebDriver, name: str) -> str:
    """The message shown at one field, as its entry's description points to it."""
    described = str(entry(browser, name).get_attribute("aria-describedby")).split()
    texts = browser.execute_script(
        "return arguments[0].map((id) => document.getElementById(id))"
        ".filter((part) => part.dataset.error !== undefined && !part.hidden).map((part) => part.textContent)",
        described,
    )
    return " ".join(texts)


def take_common_window(browser: WebDriver) -> None:
    """Take the window that is common practice, as a person does who has no owner's manual."""
    press(browser, "button[data-offer=lip-fold-time]")


def faults_told(browser: WebDriver) -> list[str]:
    """The messages of the browser's console since the last call that tell of a fault in our own code."""
    told = [entry["message"] for entry in browser.get_log("browser") if entry["level"] == "SEVERE"]
    return [message for message in told if "favicon" not in message]


def kept_sheet(browser: WebDriver, name: str) -> Any:
    """What the phone keeps of a sheet."""
    text = browser.execute_script(
        "const key = Object.keys(localStorage).find((known) => known.endsWith(`sheet:${arguments[0]}`));"
        "return localStorage.getItem(key)",
        name,
    )
    return json.loads(text)


def open_what_if(browser: WebDriver) -> str:
    """Unfold "what if" and wait until it offers a value; give that value's place on the wire."""
    browser.execute_script("document.querySelector('[data-part=what-if]').open = true")
    return str(wait(browser, "return document.querySelector('[data-what-if-choice]').value"))


def move_what_if(browser: WebDriver, step: int) -> dict[str, Any]:
    """Move the slider to a step and wait for its answer; give what it shows, and how long it took in ms."""
    found: dict[str, Any] = browser.execute_async_script(
        """
        const [step, done] = arguments;
        const part = document.querySelector("[data-part=what-if]");
        const place = part.querySelector("[data-part=what-if-answer]");
        const slider = part.querySelector("[data-what-if-slider]");
        delete place.dataset.step;
        const seen = new MutationObserver(() => {
            if (place.dataset.step !== String(step) || place.hidden) return;
            seen.disconnect();
            const lines = [...place.querySelectorAll("output[data-value]")];
            const named = lines.map((line) => [line.dataset.whatIf, JSON.parse(line.dataset.value)]);
            done({
                took: performance.now() - begun,
                value: part.querySelector(".ht-what-if-value").textContent,
                mark: place.querySelector(".ht-what-if-mark").textContent,
                headline: place.querySelector("output[data-what-if=headline]")?.textContent ?? "",
                refused: place.querySelector("[data-part=what-if-refused]").textContent,
                results: Object.fromEntries(named.filter(([name]) => !name.includes("["))),
            });
        });
        seen.observe(place, { attributes: true });
        const begun = performance.now();
        slider.value = step;
        slider.dispatchEvent(new Event("input", { bubbles: true }));
        """,
        step,
    )
    return found

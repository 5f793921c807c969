"""How soon an answer follows a change once Python is ready, and how long the page is held up meanwhile."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.measuring.hosts import hosted, new_chromium, wait_until
from build_tools.measuring.row import Row
from build_tools.measuring.starts import CALCULATOR_PAGE, READY, REST

MOST_MS = 50
CHANGES = 20
WATCH = """
window.long = [];
new PerformanceObserver((list) => window.long.push(...list.getEntries().map(({ duration }) => duration)))
    .observe({ type: "longtask" });
"""
CHANGE = """
const [count, done] = arguments;
const sheet = document.querySelector("section[data-calculator=fold-time]");
const shown = sheet.querySelector("output[data-field=mean_s]");
const write = (place, value) => {
    const field = sheet.querySelector(`[name="runs_s[${place}]"]`);
    field.value = value;
    field.dispatchEvent(new Event("change", { bubbles: true }));
};
const answerAfter = (act) => new Promise((resolve) => {
    const before = shown.textContent;
    const begun = performance.now();
    new MutationObserver((_, watch) => {
        if (shown.textContent === before || !/[0-9]/.test(shown.textContent)) return; // "–" while it waits
        watch.disconnect();
        resolve(performance.now() - begun);
    }).observe(shown, { childList: true, characterData: true, subtree: true });
    act();
});
(async () => {
    sheet.querySelector("button[data-offer=lip-fold-time]").click();
    write(0, "17.00");
    write(1, "17.10");
    await answerAfter(() => write(2, (16 + Math.random()).toFixed(2)));
    const waits = [];
    for (let turn = 0; turn < count; turn += 1) {
        await new Promise((resolve) => setTimeout(resolve, 300));
        waits.push(await answerAfter(() => write(0, (17 + (turn + 1) / 10).toFixed(2))));
    }
    return waits;
})().then(done, (error) => done(String(error)));
"""


def rows(site: Path, scratch: Path, *, times: int) -> Iterator[Row]:
    """Return the median wait for an answer and the longest hold-up of the page, over `times` visits."""
    waits: list[float] = []
    held: list[float] = []
    with hosted(site) as address, new_chromium(scratch / "profile") as browser:
        page = f"{address}{CALCULATOR_PAGE}"
        for _ in range(times + 1):  # the first visit fetches the book
            browser.get("about:blank")
            browser.get(page)
            wait_until(browser, READY)
            wait_until(browser, REST)
            waits += answer_waits(browser)
            held.append(max([0.0, *browser.execute_script("return window.long")]))
    yield Row("answer after a change, Chromium", statistics.median(waits), "ms", digits=1, most=MOST_MS)
    longest = statistics.median(held)
    yield Row("longest task of the page while it answers", longest, "ms", digits=0, most=MOST_MS)


def answer_waits(browser: WebDriver) -> list[float]:
    """Ask again and again with other numbers; give the waits in ms."""
    browser.execute_script(WATCH)
    found = browser.execute_async_script(CHANGE, CHANGES)
    if isinstance(found, str):
        raise RuntimeError(found)
    return [float(wait) for wait in found]

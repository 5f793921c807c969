"""How soon a visit and a leveler's history are on the screen, on a phone that keeps 10,000 visits."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.measuring.hosts import hosted, new_chromium, wait_until
from build_tools.measuring.row import Row
from build_tools.measuring.visit_taps import count_visit
from build_tools.places import PROJECT
from calculators.shared.words import read_words

PAGE = "visit.html"
VISITS = 10_000
LEVELERS = 1_000
CLASS = "brackenlow-a1"
HISTORY_MS = 100
OPENING_MS = 50
WORKED = ("steps", "runs", "answer", "turn")
"""The kinds of screens on which a visit is worked."""
REST_S = 0.5
FILLING_S = 600
SHOWING_S = 60
READY = "return document.querySelector('[data-part=begin]') !== null"
FILL = """
const [drafts, visits, levelers, done] = arguments;
(async () => {
    const { parts } = await import(new URL("half-turn/page/visit.js", location.href).href);
    const log = await parts["log.js"].openLog("edition");
    const { database } = log;
    const ask = parts["asking.js"].askAbout;
    await log.append("whole", "leveler-0", drafts);
    await log.append("open", "leveler-1", drafts.slice(0, drafts.length / 2));
    const tools = { log, database, eventsOf: (id) => log.eventsOf(id), ask };
    const model = await parts["digests.js"].renewDigest(tools, "whole");
    const about = { v: 1, edition: "", device: "" };
    for (let first = 0; first < visits; first += levelers) {
        const at = new Date(Date.UTC(2016, 0, 1) + (first / levelers) * 90 * 24 * 3600 * 1000).toISOString();
        const timed = { fold_found_s: 14 + first / visits, runs: 3, ways: ["countdown", "sharp"] };
        const judged = { window_s: [14, 16], longest_months: 2, touched: 0 };
        const told = { ...model.told, on: at.slice(0, 10), ...timed, ...judged };
        const dates = { opened: at, last: at, told_to: at, told };
        const transaction = database.transaction(["digests", "events"], "readwrite");
        for (let number = 0; number < levelers; number += 1) {
            const of = { visit: `v${first + number}`, leveler: `leveler-${number}` };
            void transaction.objectStore("digests").put({ ...model, ...of, ...dates });
            for (const draft of [drafts[0], drafts.at(-1)])
                void transaction.objectStore("events").add({ ...draft, ...about, ...of, id: of.visit, at });
        }
        await transaction.done;
    }
    return database.count("digests");
})().then(done, (error) => done(String(error.stack)));
"""
SHOW = """
const [hash, kinds, done] = arguments;
const place = document.querySelector("[data-visit]");
const begun = performance.now();
const look = () => {
    if (!kinds.includes(place.querySelector(".ht-visit-screen")?.dataset.kind)) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun))); // that frame is painted
};
const watch = new MutationObserver(look);
watch.observe(place, { childList: true, subtree: true });
place.querySelector(".ht-visit-screen").dataset.kind = "";
location.hash = hash;
"""


def rows(site: Path, scratch: Path, *, times: int) -> Iterator[Row]:
    """Return the medians over `times` showings, each of another leveler's history and of the open visit."""
    drafts = _worked(site)
    with hosted(site) as address, new_chromium(scratch / "profile") as browser:
        browser.get(f"{address}{PAGE}")
        wait_until(browser, READY)
        browser.set_script_timeout(FILLING_S)
        filled = browser.execute_async_script(FILL, drafts, VISITS, LEVELERS)
        if filled != VISITS + 2:
            raise RuntimeError(f"the phone was not filled: {filled}")
        browser.set_script_timeout(SHOWING_S)
        _shown(browser, "visit=open", *WORKED)  # a phone has Python warm by then
        histories, opened = [], []
        for number in range(times):
            histories.append(_shown(browser, f"history=leveler-{number + 2}", "history"))
            opened.append(_shown(browser, "visit=open", *WORKED))
    kept = f"{VISITS:,} visits kept"
    yield Row(f"history of a leveler, {kept}", statistics.median(histories), "ms", None, 0, most=HISTORY_MS)
    yield Row(f"opening a visit, {kept}", statistics.median(opened), "ms", None, 0, most=OPENING_MS)


def _worked(site: Path) -> list[dict[str, Any]]:
    """The reference visit from opened to closed, as kinds and values."""
    words = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    plan = (site / "half-turn" / "visit_plan.json").read_text(encoding="utf-8")
    return [
        {name: event[name] for name in ("kind", "values")} for event in count_visit(plan, words, CLASS).events
    ]


def _shown(browser: WebDriver, hash_: str, *kinds: str) -> float:
    """Show a page and return how long it took, ms."""
    time.sleep(REST_S)  # what the page before does behind its screen is done
    return float(browser.execute_async_script(SHOW, hash_, kinds))

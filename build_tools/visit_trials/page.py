"""A visit's page in a browser of any engine: its log read past its own code, its screens, its clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

VISITS = "visit.html"
START_S = 90
Move = Sequence[Any]
"""["tap", selector], ["type", selector, text], ["skip", ms], ["see", selector] (wait until it is there)."""
LOG = """
    const done = arguments[arguments.length - 1];
    const asked = (request) => new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
    });
    (async () => {
        const found = (await indexedDB.databases()).find(({ name }) => name.endsWith("visits"));
        if (!found) return [[], []];
        const database = await asked(indexedDB.open(found.name));
        const stores = database.objectStoreNames;
        const all = (name) => asked(database.transaction(name).objectStore(name).getAll());
        const found_in = stores.contains("events") ? [await all("events"), await all("digests")] : [[], []];
        database.close();
        return found_in;
    })().then(done, (fault) => done(String(fault)));
"""
CLOCK = """
    if (!window.trialClock) {
        const trial = { ahead: 0, shift: 0 };
        const now = performance.now.bind(performance);
        const stamp = Object.getOwnPropertyDescriptor(Event.prototype, "timeStamp").get;
        const RealDate = Date;
        const sound = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, "currentTime").get;
        performance.now = () => now() + trial.ahead;
        Object.defineProperty(BaseAudioContext.prototype, "currentTime", {
            configurable: true,
            get() { return sound.call(this) + trial.ahead / 1000; },
        });
        Object.defineProperty(Event.prototype, "timeStamp", {
            configurable: true,
            get() { return stamp.call(this) + trial.ahead; },
        });
        window.Date = class extends RealDate {
            constructor(...given) {
                if (given.length) super(...given);
                else super(RealDate.now() + trial.ahead + trial.shift);
            }
            static now() { return RealDate.now() + trial.ahead + trial.shift; }
        };
        window.trialClock = trial;
    }
"""
"""Puts a page's clocks under our hand: `ahead` moves all of them, `shift` only the one of the wall, in ms."""
WORK = """
    const [moves, stays] = arguments, done = arguments[arguments.length - 1];
    const screenNow = () => document.querySelector(".ht-visit-screen");
    const seen = async (what) => {
        for (let waited = 0; waited < 20000; waited += 10) {
            const found = what();
            if (found) return found;
            await new Promise((resolve) => setTimeout(resolve, 10));
        }
        throw new Error(`never: ${what}: ${screenNow()?.innerText}`);
    };
    const hands = {
        tap: async (selector) => (await seen(() => document.querySelector(selector))).click(),
        type: async (selector, text) => {
            const field = await seen(() => document.querySelector(selector));
            field.value = text;
            field.dispatchEvent(new Event("input", { bubbles: true }));
        },
        skip: (ms) => { window.trialClock.ahead += ms; },
        see: (selector) => seen(() => document.querySelector(selector)),
    };
    (async () => {
        const before = screenNow();
        for (const [what, ...given] of moves) await hands[what](...given);
        if (stays) return before.parentElement.innerText;
        const after = await seen(() => {
            const now = screenNow();
            return now && now !== before && !document.documentElement.dataset.unsaved ? now : null;
        });
        return after.parentElement.innerText;
    })().then(done, (fault) => done(["fault", String(fault)]));
"""
SHOWN = """
    const screen = document.querySelector(".ht-visit-screen");
    if (!screen) return null;
    return {
        kind: screen.dataset.kind ?? "",
        title: screen.querySelector("h1").textContent,
        asks: [...screen.querySelectorAll(".ht-visit-entry")].map((entry) => entry.dataset.ask),
        hazards: [...screen.querySelectorAll("[data-hazard]")].map((aside) => aside.dataset.hazard),
        text: screen.parentElement.innerText,
        reads: screen.querySelector(".ht-visit-acts") === null,
    };
"""


class PageFault(RuntimeError):
    """What a page's script said that could not be worked."""


@dataclass(frozen=True)
class Shown:
    """What stands on the page: its kind, heading, entries, hazards, and all its words."""

    kind: str
    title: str
    asks: tuple[str, ...]
    hazards: tuple[str, ...]
    text: str
    reads: bool
    """Whether it has no acts at its foot."""


def touch(browser: Any) -> None:
    """Let a Chromium's page play sound, as after a person's first touch; the others need none."""
    if hasattr(browser, "execute_cdp_cmd"):
        browser.execute_cdp_cmd("Runtime.evaluate", {"expression": "0", "userGesture": True})


def stores(browser: Any) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Return what is on disk: every event in the order of seq, and every visit's row. Raises PageFault."""
    found = browser.execute_async_script(LOG)
    if isinstance(found, str):
        raise PageFault(found)
    return found[0], found[1]


def log_of(browser: Any, visit: str = "") -> list[dict[str, Any]]:
    """Return the events on disk in the order of seq, of one visit or of all. Raises PageFault."""
    return [event for event in stores(browser)[0] if not visit or event["visit"] == visit]


def shown(browser: Any) -> Shown | None:
    """Return what stands on the page now, None where no screen of a visit does."""
    found = browser.execute_script(SHOWN)
    if found is None:
        return None
    return Shown(**{**found, "asks": tuple(found["asks"]), "hazards": tuple(found["hazards"])})


def work(browser: Any, moves: Sequence[Move], *, stays: bool = False) -> str:
    """Do these moves, wait for the next screen unless this one `stays`, give its words. Raises PageFault."""
    found = browser.execute_async_script(CLOCK + WORK, [list(move) for move in moves], stays)
    if isinstance(found, list):
        raise PageFault(found[1])
    return str(found)

"""The phone throws a part of the book away, at random: what it says, and how it mends itself."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass

from build_tools.browsers.host import Host
from build_tools.browsers.reading import status
from build_tools.browsers.small_book import files_of
from build_tools.browsers.trial import (
    Phone,
    damaged,
    keep_whole,
    pages_wrong,
    settled_level,
    untrue,
    wait_level,
    wait_quiet,
)
from build_tools.browsers.trial_cuts import Editions

PARTS = ("files", "records", "spare-records", "entries", "worker", "databases", "written")
"""What can go: a whole cache, single entries of any, the service worker, the databases, what was written."""
THROW_AWAY = """
    const [parts, share, seed, done] = arguments;
    let state = seed;
    const next = () => (state = (state * 1103515245 + 12345) % 2147483648) / 2147483648;
    (async () => {
        for (const name of await caches.keys()) {
            if (parts.includes(name.split("/").pop())) await caches.delete(name);
            else if (parts.includes("entries")) {
                const cache = await caches.open(name);
                for (const request of await cache.keys()) if (next() < share) await cache.delete(request);
            }
        }
        if (parts.includes("worker")) {
            for (const worker of await navigator.serviceWorker.getRegistrations()) await worker.unregister();
        }
        if (parts.includes("databases")) {
            for (const {name} of await indexedDB.databases()) indexedDB.deleteDatabase(name);
        }
        if (parts.includes("written")) localStorage.clear();
    })().then(() => done(null), (error) => done(String(error)));
"""
LEFT = """
    (async () => {
        const records = [];
        for (const name of await caches.keys()) {
            for (const request of await (await caches.open(name)).keys()) {
                if (request.url.endsWith("record/current")) records.push(name);
            }
        }
        return [records.length, (await navigator.serviceWorker.getRegistrations()).length];
    })().then(arguments[0]);
"""


@dataclass(frozen=True, slots=True)
class Eviction:
    """What goes, and of single entries what share; `seed` picks them."""

    seed: int
    parts: tuple[str, ...]
    share: float

    def __str__(self) -> str:
        """As the trial is reported."""
        of_entries = f" ({self.share:.0%} of them)" if "entries" in self.parts else ""
        return f"seed {self.seed}: {', '.join(self.parts)}{of_entries}"


def eviction(seed: int) -> Eviction:
    """The eviction of a seed: one to three parts."""
    chance = random.Random(seed)
    parts = chance.sample(PARTS, chance.choice((1, 1, 2, 3)))
    return Eviction(seed, tuple(sorted(parts)), chance.choice((0.05, 0.2, 0.5, 0.9)))


def try_eviction(phone: Phone, editions: Editions, gone: Eviction) -> list[str]:
    """Keep the book, throw a part away, and give everything that is not as it must be."""
    with phone.host(editions.one) as host:
        keep_whole(phone, host.address + editions.visited)
        phone.storage(host)
        fault = phone.browser.execute_async_script(THROW_AWAY, list(gone.parts), gone.share, gone.seed)
        if fault:
            raise RuntimeError(fault)
        phone.stop("worker stopped")
        return _without_network(phone, host, editions) + _with_network(phone, host, editions)


def _without_network(phone: Phone, host: Host, editions: Editions) -> list[str]:
    """What is left opens, and what is not says so; where the browser has dropped the worker, nothing can."""
    kept = phone.storage(host)
    records, workers = phone.browser.execute_async_script(LEFT)
    host.stop()
    found = damaged(kept)
    if records and workers:
        stored = set(kept.values())
        found += pages_wrong(phone, host, editions.one, editions.pages, stored)
        phone.visit(host.address + editions.visited)
        settled_level(phone)
        found += untrue(phone, editions.one, stored)
        if _can_tell(editions, stored):
            found += _says_what_is_missing(phone, editions, stored)
    host.start()
    return found


def _can_tell(editions: Editions, stored: set[str]) -> bool:
    """Whether the page's own code and words are left, without which no page can say anything."""
    needed = ("half-turn/page/", "half-turn/words.json")
    return all(file["sha256"] in stored for file in files_of(editions.one) if file["url"].startswith(needed))


def _says_what_is_missing(phone: Phone, editions: Editions, stored: set[str]) -> list[str]:
    lacks = {
        tier: any(file["sha256"] not in stored for file in files_of(editions.one, tier))
        for tier in ("reading", "calculators")
    }
    said = status(phone.browser)
    sentence = "Everything is kept on this phone."
    if lacks["calculators"]:
        sentence = "The calculators are not yet."
    if lacks["reading"]:
        sentence = "Some pages are missing on this phone."
    return [] if sentence in said else [f"does not say '{sentence}' but: {said}"]


def _with_network(phone: Phone, host: Host, editions: Editions) -> list[str]:
    """One visit with a network makes all whole again, and nothing that is left is fetched again."""
    had = set(phone.storage(host).values())
    host.collected.clear()
    phone.visit(host.address + editions.visited)
    if not wait_level(phone, "complete"):
        return [f"never complete again: {status(phone.browser)}"]
    wait_quiet(host)
    urls = {file["url"] for file in files_of(editions.one) if file["sha256"] in had}
    asked = [path.removesuffix(".packed") for path in host.collected]
    found = [f"{path} was left, and is fetched again" for path in asked if path in urls]
    kept = phone.storage(host)
    host.stop()
    found += damaged(kept)
    if set(kept.values()) != {file["sha256"] for file in files_of(editions.one)}:
        found.append(f"not whole at the end: {json.dumps(sorted(kept))}")
    return found + pages_wrong(phone, host, editions.one, editions.pages, set(kept.values()))

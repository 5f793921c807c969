"""The connection breaks at one request of an install or an update: what must hold then, and after."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

from build_tools.browsers.host import Host
from build_tools.browsers.reading import accept_offer, kept_level, offer, status
from build_tools.browsers.small_book import change_files, files_of, write_small_book
from build_tools.browsers.trial import (
    IS_OURS,
    NO_NETWORK,
    PATIENCE_S,
    STOPS,
    Phone,
    damaged,
    false_records,
    keep_whole,
    offer_comes,
    pages_wrong,
    settled_level,
    untrue,
    wait_level,
    wait_quiet,
)

UPDATING = "A new edition"
UNTOLD = "is not told yet"
"""What a page says by itself, until its scripts and their words are here."""
INSTALL, UPDATE = "install", "update"


@dataclass(frozen=True, slots=True)
class Cut:
    """From the `request`th request of a visit on none is answered; `halved`: that one gets half its bytes."""

    visit: str
    request: int
    halved: bool
    stop: str

    def __str__(self) -> str:
        """As the trial is reported."""
        return f"{self.visit}, request {self.request} {'halved' if self.halved else 'refused'}, {self.stop}"


@dataclass(frozen=True, slots=True)
class Editions:
    """Two editions of one book, the page that is visited, and those opened to see if all is whole."""

    one: Path
    two: Path
    visited: str
    pages: tuple[str, ...]


SMALL_PAGES = ("index.html", "jobs/lip.html", "jobs/same.html")


def small_editions(scratch: Path, *, change_all: bool = False) -> Editions:
    """The small book in two editions: three files of them differ, or every one."""
    one, two = write_small_book(scratch / "one"), write_small_book(scratch / "two", edition=2)
    return Editions(one, change_files(two, "") if change_all else two, "", SMALL_PAGES)


def count_requests(phone: Phone, editions: Editions) -> dict[str, int]:
    """How many requests a first install and an update make, with nothing in their way."""
    with phone.host(editions.one) as host:
        keep_whole(phone, host.address + editions.visited)
        wait_quiet(host)
        counts = {INSTALL: len(host.requests)}
        host.folder = editions.two
        host.requests.clear()
        phone.browser.refresh()
        offer_comes(phone)
        wait_quiet(host)
        return {**counts, UPDATE: len(host.requests)}


def every_cut(counts: dict[str, int], *, turn: int = 0) -> list[Cut]:
    """Every request index of both visits, refused and halved, the stops taking turns from `turn` on."""
    cuts: list[Cut] = []
    for visit, count in counts.items():
        for request in range(count):
            for halved in (False, True):
                stop = STOPS[(turn + request + 2 * halved + len(cuts) // 8) % len(STOPS)]
                cuts.append(Cut(visit, request, halved, stop))
    return cuts


def one_way_each(cuts: list[Cut]) -> list[Cut]:
    """Of cuts that come in pairs, refused and halved, one of each pair, by turns."""
    return [cut for number, cut in enumerate(cuts) if number % 4 in (0, 3)]


def try_cut(phone: Phone, editions: Editions, cut: Cut) -> list[str]:
    """Break the connection there, and give everything that is not as it must be; an empty list is a pass."""
    with phone.host(editions.one) as host:
        if cut.visit == UPDATE:
            keep_whole(phone, host.address + editions.visited)
            host.folder = editions.two
        host.answer_only(cut.request, last_breaks_off=cut.halved)
        phone.visit(host.address + editions.visited)
        wait_broken(phone, host, cut.visit)
        wait_quiet(host)
        if not host.is_broken:
            return [f"nothing was cut: this visit made only {len(host.requests)} requests"]
        found = _while_cut(phone, host, editions, cut)
        phone.stop(cut.stop)
        found += _without_network(phone, host, editions, cut)
        return found + _when_mended(phone, host, editions, cut)


def wait_broken(phone: Phone, host: Host, visit: str) -> None:
    """Wait until the connection breaks, or the visit comes to its end without that."""
    end = time.monotonic() + PATIENCE_S
    while not host.is_broken and time.monotonic() < end:
        if (visit == INSTALL and kept_level(phone.browser) == "complete") or offer(phone.browser):
            return
        time.sleep(0.05)


def _while_cut(phone: Phone, host: Host, editions: Editions, cut: Cut) -> list[str]:
    """The page that saw it happen tells the truth about what is stored."""
    ours = phone.browser.execute_script(IS_OURS)
    said, level = (status(phone.browser), kept_level(phone.browser)) if ours else ("", "")
    claims = untrue(phone, editions.one, set(_stored_beside(phone, host).values()))
    if said and level != "complete" and not any(part in said for part in (NO_NETWORK, UPDATING, UNTOLD)):
        claims.append(f"does not say that there is no network: {said}")
    return claims


def _stored_beside(phone: Phone, host: Host) -> dict[str, str]:
    """What is stored, seen from a tab of its own, so that the page stays as it is."""
    page = phone.browser.current_window_handle
    phone.browser.switch_to.new_window("tab")
    stored = phone.storage(host)
    phone.browser.close()
    phone.browser.switch_to.window(page)
    return stored


def _without_network(phone: Phone, host: Host, editions: Editions, cut: Cut) -> list[str]:
    """After the stop, the server gone: a whole edition opens, or nothing of one does."""
    kept = phone.storage(host)
    stored = set(kept.values())
    found = damaged(kept) + false_records(phone, stored)
    host.stop()
    phone.visit(host.address + editions.visited)
    level = settled_level(phone)  # a page that the browser's own cache still has claims nothing
    found += untrue(phone, editions.one, stored)
    if cut.visit == UPDATE and level != "complete":
        found.append(f"the old edition is no longer whole: {level}")
    return found + (pages_wrong(phone, host, editions.one, editions.pages, stored) if level != "none" else [])


def _when_mended(phone: Phone, host: Host, editions: Editions, cut: Cut) -> list[str]:
    """With the network back it goes on, fetches nothing that it has, and ends with a whole edition."""
    host.mend()
    host.start()
    stored = set(phone.storage(host).values())
    host.requests.clear()
    host.collected.clear()
    target = editions.two if cut.visit == UPDATE else editions.one
    phone.visit(host.address + editions.visited)
    if cut.visit == UPDATE:
        if not offer_comes(phone):
            return [f"no offer after the network was back: {status(phone.browser)}"]
    elif not wait_level(phone, "complete"):
        return [f"never complete again: {status(phone.browser)}"]
    wait_quiet(host)
    found = _fetched_again(host, target, stored)
    if cut.visit == UPDATE:
        found += pages_wrong(phone, host, editions.one, editions.pages, stored)
        phone.visit(host.address + editions.visited)
        if not offer_comes(phone):
            return [*found, f"the offer is not made again: {status(phone.browser)}"]
        accept_offer(phone.browser)
        wait_level(phone, "complete")
        wait_quiet(host)
    left = phone.storage(host)
    host.stop()
    found += damaged(left)
    lacking = {file["sha256"] for file in files_of(target)} - set(left.values())
    found += [f"{len(lacking)} files are missing at the end"] if lacking else []
    return found + pages_wrong(phone, host, target, editions.pages, set(left.values()))


def _fetched_again(host: Host, target: Path, stored: set[str]) -> list[str]:
    """Each file that was stored already and was fetched once more, and each that was fetched twice."""
    asked = [path.removesuffix(".packed") for path in host.collected]
    had = {file["url"] for file in files_of(target) if file["sha256"] in stored}
    again = [f"{path} was stored, and is fetched again" for path in asked if path in had]
    return again + [f"{path} is fetched twice" for path in sorted({*asked}) if asked.count(path) > 1]

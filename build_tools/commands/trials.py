"""Try in full: keeping the book (`cuts`, `evict`, `bytes`), and a `visit`; the tests try a sample of each."""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from build_tools.browsers.needed import ensure_chromium
from build_tools.browsers.small_book import change_files
from build_tools.browsers.trial import keep_whole, trial_phone
from build_tools.browsers.trial_bytes import (
    runtime_files,
    some_reading_files,
    try_wrong_file,
    try_wrong_first_install,
)
from build_tools.browsers.trial_cuts import (
    Editions,
    count_requests,
    every_cut,
    one_way_each,
    small_editions,
    try_cut,
)
from build_tools.browsers.trial_evictions import eviction, try_eviction
from build_tools.commands.verbs import say
from build_tools.places import PROJECT
from build_tools.site.building import build_book
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.firefox_phone import firefox_phone
from build_tools.visit_trials.kills import KilledPhone, Visit, moments, try_kill, visit_elsewhere, visit_on
from build_tools.visit_trials.pages_count import count_pages
from build_tools.visit_trials.pages_count import told as told_of_pages
from build_tools.visit_trials.reference import count, told
from build_tools.visit_trials.webkit_phone import webkit_phone

VISIT = "visit"
Trial = tuple[str, Callable[..., list[str]]]
"""What is tried, in words, and the trial: a phone in, everything that is not as it must be out."""
PAGES = ("index.html", "about.html", "checks/weekly-check.html")
SAID_EVERY = 10


def run(arguments: Sequence[str]) -> int:
    """Run one kind of trial in full and report it. Returns 0 only where every trial passed."""
    parser = argparse.ArgumentParser(prog="build_tools trials", description=__doc__)
    parser.add_argument("kind", choices=(*KINDS, VISIT))
    parser.add_argument("--book", choices=("small", "whole", "both"), default="both", help="default: both")
    parser.add_argument("--seeds", type=int, default=100, help="evictions to try (default: 100)")
    parser.add_argument("--first", type=int, default=0, help="the trial to begin with")
    parser.add_argument("--times", type=int, default=100, help="kills within a visit (default: 100)")
    parser.add_argument("--seed", type=int, default=0, help="of the moments of these kills (default: 0)")
    parser.add_argument("--engine", choices=ENGINES, default="chromium", help="whose visit is killed")
    parser.add_argument("--reference", action="store_true", help="count a visit's taps instead of killing it")
    wanted = parser.parse_args(arguments)
    ensure_chromium(say)
    with tempfile.TemporaryDirectory(prefix="half-turn-trials-", ignore_cleanup_errors=True) as scratch:
        if wanted.kind == VISIT and wanted.reference:
            return count_taps(Path(scratch))
        if wanted.kind == VISIT:
            return kill_visits(Path(scratch), wanted)
        return report(wanted.kind, KINDS[wanted.kind](Path(scratch), wanted), Path(scratch), wanted.first)


def kill_visits(scratch: Path, wanted: argparse.Namespace) -> int:
    """Kill the browser within visits, as many times as asked for; say where the kills fell."""
    say("Building the book")
    site = build_book(PROJECT, scratch / "book").folder
    with ENGINES[wanted.engine](scratch / "phone", site) as (phone, visit):
        tries = [(str(each), attempt(try_kill, visit, each)) for each in moments(wanted.times, wanted.seed)]
        code = tried_one_by_one(f"{VISIT}, {wanted.engine}", tries, phone, wanted.first)
    for where, times in visit.fell.most_common():
        say(f"{times} {where}")
    return code


@contextmanager
def in_chromium(profile: Path, site: Path) -> Iterator[tuple[KilledPhone, Visit]]:
    """A visit in Chromium."""
    with trial_phone(profile) as phone, visit_on(phone, site) as visit:
        yield phone, visit


@contextmanager
def in_webkit(folder: Path, site: Path) -> Iterator[tuple[KilledPhone, Visit]]:
    """A visit in WebKitGTK, up to the timing of the lip."""
    with webkit_phone(folder, site) as phone:
        yield phone, visit_elsewhere(phone, site)


@contextmanager
def in_firefox(profile: Path, site: Path) -> Iterator[tuple[KilledPhone, Visit]]:
    """A visit in Firefox, up to the timing of the lip."""
    with firefox_phone(profile, site) as phone:
        yield phone, visit_elsewhere(phone, site)


ENGINES = {"chromium": in_chromium, "webkit": in_webkit, "firefox": in_firefox}


def count_taps(scratch: Path) -> int:
    """Work the reference visit by real taps, and count it on the pages too. Returns 0."""
    say("Building the book")
    site = build_book(PROJECT, scratch / "book").folder
    engine = Engine.of(site)
    with trial_phone(scratch / "phone") as phone, phone.host(site) as host:
        keep_whole(phone, host.address)
        counted, seconds = count(phone.browser, host.address, engine, real=True)
        on_pages = count_pages(phone.browser, host.address, engine)
    for line in (*told(counted, seconds), *told_of_pages(on_pages)):
        say(line)
    return 0


def report(kind: str, trials: Sequence[Trial], scratch: Path, first: int) -> int:
    """Try them one after the other; say each failure at once and the count at the end."""
    with trial_phone(scratch / "phone") as phone:
        return tried_one_by_one(kind, trials, phone, first)


def tried_one_by_one(kind: str, trials: Sequence[Trial], phone: KilledPhone, first: int) -> int:
    """Try them on one phone."""
    begun, failures = time.monotonic(), 0
    for number, (words, attempt) in enumerate(trials[first:], first):
        found = tried(phone, attempt)
        failures += bool(found)
        for fault in found:
            say(f"FAILED {number}: {words}: {fault}")
        if number % SAID_EVERY == 0:
            say(f"{number} of {len(trials)}: {words}: {'failed' if found else 'passed'}")
    minutes = (time.monotonic() - begun) / 60
    say(f"{kind}: {len(trials) - first} tried, {failures} failed, {minutes:.1f} min.")
    return 1 if failures else 0


def tried(phone: KilledPhone, attempt: Callable[..., list[str]]) -> list[str]:
    """Run one trial; one that breaks off has failed, and the next gets a browser of its own."""
    try:
        return attempt(phone)
    except Exception:  # noqa: BLE001 - the count goes on, and the failure is told
        phone.restart()
        return [traceback.format_exc()]


def cuts(scratch: Path, wanted: argparse.Namespace) -> list[Trial]:
    """Break the connection at every request of first installs and updates."""
    found: list[Trial] = []
    for turn, (editions, in_every_way) in enumerate(cut_books(scratch, wanted.book)):
        with trial_phone(scratch / "counting") as phone:
            counts = count_requests(phone, editions)
        every = every_cut(counts, turn=turn)
        chosen = every if in_every_way else one_way_each(every)
        say(f"Requests: {counts}; cuts: {len(chosen)}")
        found += [(str(cut), attempt(try_cut, editions, cut)) for cut in chosen]
    return found


def cut_books(scratch: Path, which: str) -> list[tuple[Editions, bool]]:
    """Return pairs of editions, and whether to cut each request in every way: the whole book takes long."""
    found = []
    if which != "whole":
        found.append((small_editions(scratch / "few"), True))
        found.append((small_editions(scratch / "all", change_all=True), True))
    if which != "small":
        found.append((whole_editions(scratch, ".html", "calculators.json"), False))
    return found


def evict(scratch: Path, wanted: argparse.Namespace) -> list[Trial]:
    """Throw parts of the small book away, as many times as asked for."""
    editions = small_editions(scratch)
    gone = [eviction(seed) for seed in range(wanted.seeds)]
    return [(str(each), attempt(try_eviction, editions, each)) for each in gone]


def wrong_bytes(scratch: Path, wanted: argparse.Namespace) -> list[Trial]:
    """Send every runtime file of the whole book wrong, in an install and in an update, and some pages."""
    editions = whole_editions(scratch, "")
    installs = runtime_files(editions.one)
    updates = runtime_files(editions.two) + some_reading_files(editions.two, every=3)
    install, update = try_wrong_first_install, try_wrong_file
    return [
        *((f"install: {wrong}", attempt(install, editions, wrong)) for wrong in installs),
        *((f"update: {wrong}", attempt(update, editions, wrong)) for wrong in updates),
    ]


KINDS: dict[str, Callable[[Path, argparse.Namespace], list[Trial]]] = {
    "cuts": cuts,
    "evict": evict,
    "bytes": wrong_bytes,
}


def attempt(trial: Callable[..., list[str]], *given: object) -> Callable[..., list[str]]:
    """Keep what a trial is given until its phone is there."""
    return lambda phone: trial(phone, *given)


def whole_editions(scratch: Path, *changed: str) -> Editions:
    """Build the real book, and make a second edition of it in which files of these endings differ."""
    say("Building the book")
    one = build_book(PROJECT, scratch / "book").folder
    two = Path(shutil.copytree(one, scratch / "book-two"))
    change_files(two, *changed)
    return Editions(one, two, PAGES[0], PAGES)

"""Look at every page, and every work sheet in every state: can everyone read and touch it?"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from selenium import webdriver

from build_tools.access.axe import ask_axe, ask_contrast
from build_tools.access.fault_path_screens import each_path_screen
from build_tools.access.findings import Finding, tally
from build_tools.access.reflow import NARROW, pushed_sideways
from build_tools.access.schemes import SCHEMES, put_on
from build_tools.access.sheet_states import each_state, open_sheet
from build_tools.access.targets import IN_A_VISIT_PX, LEAST_PX, targets, too_small_or_near
from build_tools.browsers.engines import PHONE, open_chromium
from build_tools.browsers.needed import ensure_chromium
from build_tools.commands.verbs import say
from build_tools.measuring.hosts import hosted
from build_tools.places import PROJECT
from build_tools.registers.registers import load_registers
from build_tools.site.building import build_book
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.page import VISITS
from build_tools.visit_trials.reference import Reference


@dataclass
class Look:
    """What has been looked at so far, and what was found."""

    looked: Counter[str] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    found: set[Finding] = field(default_factory=set)

    def at(
        self,
        browser: webdriver.Chrome,
        where: str,
        schemes: Iterable[str] = SCHEMES,
        least: int = LEAST_PX,
    ) -> None:
        """Look at the page as it stands: rules in each scheme, targets, and the narrow screen."""
        browser.execute_script("scrollTo(0, 0)")  # what lies under the page's head is no smaller for it
        for scheme in schemes:
            put_on(browser, scheme)
            self.found |= {
                *ask_axe(browser, f"{where} {scheme}"),
                *ask_contrast(browser, f"{where} {scheme}"),
            }
            self.looked["axe-core"] += 1
        put_on(browser, "light")
        touched = targets(browser)
        self.kinds.update(each.kind for each in touched)
        self.found |= set(too_small_or_near(touched, where, least))
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", NARROW)
        self.found |= set(pushed_sideways(browser, f"{where} 320 px"))
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
        self.looked["targets and reflow"] += 1


def run(arguments: Sequence[str]) -> int:
    """Look at all of it, or at the pages named; 0 where nothing is found."""
    parser = argparse.ArgumentParser(prog="build_tools access", description=__doc__)
    parser.add_argument("pages", nargs="*", metavar="PAGE", help="such as index.html (default: all)")
    wanted = parser.parse_args(arguments).pages
    ensure_chromium(say)
    begun = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="half-turn-access-") as scratch:
        site = build_book(PROJECT, Path(scratch) / "site").folder
        browser = open_chromium(Path(scratch) / "reader")
        try:
            with hosted(site) as address:
                look = look_at(browser, address, wanted or pages_of(site))
                if VISITS in (wanted or [VISITS]):
                    look_at_visit(browser, address, Engine.of(site), look)
        finally:
            browser.quit()
    say(report(look, time.monotonic() - begun))
    return 1 if look.found else 0


def look_at(browser: webdriver.Chrome, address: str, pages: Sequence[str]) -> Look:
    """Look at each page as it opens, and at its sheets in every state."""
    look = Look()
    for number, page in enumerate(pages, 1):
        before = len(look.found)
        browser.get(address + page)
        look.at(browser, page)
        for state in sheet_states(browser, address + page):
            look.at(browser, f"{page} {state}")
        for screen in each_path_screen(browser, address + page):
            look.at(browser, f"{page} {screen}")
        say(f"[{number}/{len(pages)}] {page}: {len(look.found) - before} found")
    return look


def look_at_visit(browser: webdriver.Chrome, address: str, engine: Engine, look: Look) -> None:
    """Look at every screen of a whole visit, each once."""
    before = len(look.found)

    def at(screen: str) -> None:
        look.at(browser, f"{VISITS} {screen}", least=IN_A_VISIT_PX)
        browser.execute_script("scrollTo(0, 0)")

    Reference(browser, address, engine, real=False, at=at).work()
    say(f"a whole visit: {len(look.found) - before} found")


def sheet_states(browser: webdriver.Chrome, address: str) -> Iterator[str]:
    """Bring the sheet of the open page, if it has one, into each of its states."""
    sheets = browser.find_elements("css selector", "section[data-calculator]")
    names = [str(sheet.get_attribute("data-calculator")) for sheet in sheets]
    examples = load_registers(PROJECT / "content" / "registers")[0].examples
    for name in names:
        open_sheet(browser, address, name)
        for state in each_state(browser, examples[name]["inputs"]):
            yield f"{name} {state}"


def pages_of(site: Path) -> list[str]:
    """Return every page of a finished book."""
    tiers = json.loads((site / "edition.json").read_text(encoding="utf-8"))["tiers"]
    return [file["url"] for files in tiers.values() for file in files if file["url"].endswith(".html")]


def report(look: Look, seconds: float) -> str:
    """Say what was looked at, what was left out, and what was found."""
    lines = [f"{what}: {count} looks" for what, count in look.looked.items()]
    lines += [f"touched in a {kind}: {look.kinds[kind]}" for kind in ("target", "sentence", "drawing")]
    lines += [f"{rule}: {count} found" for rule, count in sorted(tally(look.found).items())]
    lines += grouped(look.found)
    return "\n".join([*lines, f"{len(look.found)} found in {seconds:.0f} s"])


def grouped(found: Iterable[Finding]) -> list[str]:
    """One line for each thing found, however many states and schemes show it."""
    places: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for each in sorted(found):
        places[each.rule, each.element, each.why].append(each.where)
    return [
        f"{rule}: {element}: {why} (in {len(where)}, first {where[0]})"
        for (rule, element, why), where in sorted(places.items())
    ]

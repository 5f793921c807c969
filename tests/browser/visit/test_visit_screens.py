"""The screens of a visit: what stands on each, for everyone, and where its acts lead."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from build_tools.access.axe import ask_axe
from build_tools.access.schemes import put_on
from build_tools.access.targets import APART_PX, targets
from build_tools.browsers.engines import PHONE, open_chromium
from tests.browser.visit.visits_page import with_parts
from tests.browser.visit.worked_page import (
    LEVELER,
    MAIN,
    answer,
    asks,
    begin,
    heading,
    kind,
    log_of,
    rest,
    show_visit,
    step,
    steps,
    tap,
    tap_on,
    turn,
)
from tests.browser.work_sheet import wait

LEAST_PX = 56
BACK = ".ht-visit-acts button:nth-last-child(3)"
NOT_SO = ".ht-visit-acts button:nth-last-child(2)"
MENU = ".ht-visit-menu"
FOCUS = "return document.activeElement.textContent.trim()"
SIDEWAYS = "return document.documentElement.scrollWidth > document.documentElement.clientWidth"
TWICE = "--blink-settings=defaultFontSize=32"
SIZES: dict[str, dict[str, Any]] = {
    "small": {"width": 320, "height": 640, "deviceScaleFactor": 1, "mobile": False},
    "on its side": {"width": 844, "height": 390, "deviceScaleFactor": 1, "mobile": False},
}


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """A browser whose owner has set its letters to twice the usual size."""
    browser = open_chromium(tmp_path_factory.mktemp("large"), TWICE)
    browser.set_script_timeout(90)
    yield browser
    browser.quit()


def each_screen(browser: WebDriver, address: str, site: Path) -> Iterator[str]:
    """Show every kind of screen, one after another, and name it."""
    for name, wanted in (
        ("steps", steps),
        ("entries", asks("rod-found")),
        ("one tap", asks("rise")),
        ("answer", answer),
        ("runs", kind("runs")),
        ("turn", turn),
    ):
        begin(browser, address, site, wanted)
        yield name
    for name, act in (("menu", MENU), ("not so", NOT_SO), ("earlier", BACK)):
        tap(browser, act)
        wait(
            browser,
            f"return document.querySelector('.ht-visit-screen').dataset.kind === '{name.replace(' ', '-')}'",
        )
        yield name
        tap(browser, MAIN if name != "not so" else ".ht-visit-acts button")
        wait(browser, "return document.querySelector('.ht-visit-screen').dataset.kind === 'turn'")


def test_every_kind_of_screen_is_for_everyone(browser: WebDriver, address: str, site: Path) -> None:
    """axe finds nothing on any kind of screen, light, dark or in sunlight; nothing is pushed sideways."""
    found = []
    for name in each_screen(browser, address, site):
        for scheme in ("light", "dark", "sunlight"):
            put_on(browser, scheme)
            found += ask_axe(browser, f"{name}, {scheme}")
        put_on(browser, "light")
        assert not browser.execute_script(SIDEWAYS), name
    assert found == []


def test_targets_are_for_gloves(browser: WebDriver, address: str, site: Path) -> None:
    """Whatever is touched on a screen is 56 px each way, and 8 px from the next."""
    small, near = [], []
    for name in each_screen(browser, address, site):
        seen = [each for each in targets(browser) if each.kind == "target"]
        assert seen, name
        small += [(name, each.name, each.side) for each in seen if each.side < LEAST_PX - 0.5]
        own = [each for each in seen if not each.is_covered()]
        near += [
            (name, one.name, other.name)
            for index, one in enumerate(own)
            for other in own[index + 1 :]
            if one.distance(other) < APART_PX - 0.5
        ]
    assert (small, near) == ([], [])


def test_small_large_and_on_its_side_scroll_one_way(
    browser: WebDriver, large: WebDriver, address: str, site: Path
) -> None:
    """At 320 px, at 200 % text and on its side, no screen is pushed sideways and every act is reached."""
    wide = []
    try:
        for name, size in SIZES.items():
            browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
            wide += [
                (name, screen)
                for screen in each_screen(browser, address, site)
                if browser.execute_script(SIDEWAYS)
            ]
    finally:
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    large.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    wide += [
        ("200 %", screen) for screen in each_screen(large, address, site) if large.execute_script(SIDEWAYS)
    ]
    assert wide == []


def test_a_step_is_worked_by_keys_alone(browser: WebDriver, address: str, site: Path) -> None:
    """The focus begins at the heading; the hazard comes before Done; Enter leads to the next heading."""
    begin(browser, address, site, lambda screen: steps(screen) and bool(screen["hazards"]))
    assert browser.execute_script(FOCUS) == heading(browser)
    order = browser.execute_script(
        "const [heading, hazard, done] = [...document.querySelectorAll(arguments[0])];"
        "return [heading, hazard, done].map((each) => each.localName)",
        f".ht-visit-heading, .ht-visit-body .ht-hazard, {MAIN}",
    )
    assert order == ["h1", "aside", "button"]
    first = step(browser)
    while browser.execute_script(f"return !document.activeElement.matches('{MAIN}')"):
        ActionChains(browser).send_keys(Keys.TAB).perform()
    ActionChains(browser).send_keys(Keys.ENTER).perform()
    wait(browser, f"return document.querySelector('.ht-visit-words').textContent !== {first!r}")
    assert browser.execute_script(FOCUS) == heading(browser)


def test_a_choice_is_one_tap(browser: WebDriver, address: str, site: Path) -> None:
    """Where one choice is all that a screen asks for, it needs no Done."""
    visit = begin(browser, address, site, asks("rise"))
    assert browser.find_elements("css selector", MAIN) == []
    tap_on(browser, "[data-ask=rise] .ht-visit-choice")
    entered = next(event for event in log_of(browser, visit)[::-1] if event["kind"] == "entered")
    assert (entered["values"]["ask"], entered["values"]["rise"]) == ("rise", "short")


def test_what_is_missing_is_said_at_its_field(browser: WebDriver, address: str, site: Path) -> None:
    """Done with a blank field writes nothing, names it there, and brings the focus to it."""
    visit = begin(browser, address, site, asks("rod-found"))
    before = len(log_of(browser, visit))
    tap(browser, MAIN)
    wait(browser, "return document.querySelector('.ht-visit-error:not([hidden])') !== null")
    told = browser.find_element("css selector", ".ht-visit-error:not([hidden])").text
    assert told.startswith("Rod as found, mainspring 1: nothing was given.")
    assert browser.execute_script("return document.activeElement.matches('.ht-visit-input')")
    assert len(log_of(browser, visit)) == before


def test_a_length_goes_in_si_whatever_it_was_typed_in(browser: WebDriver, address: str, site: Path) -> None:
    """41.5 typed beside mm is 0.0415 m in the log."""
    visit = begin(browser, address, site, asks("rod-found"))
    for field in browser.find_elements("css selector", ".ht-visit-input"):
        field.send_keys("41.5")
    tap(browser, "[data-ask=tool] .ht-visit-choice")
    tap_on(browser, MAIN)
    entered = [
        event["values"] for event in log_of(browser, visit) if event["values"].get("ask") == "rod-found"
    ]
    assert {values["length_m"] for values in entered} == {0.0415}


def test_a_half_turn_says_which_way_and_how_far(browser: WebDriver, address: str, site: Path) -> None:
    """Direction first, in words; the spring; net so far and what is left; Done says what was done."""
    visit = begin(browser, address, site, turn)
    order = browser.find_element("css selector", ".ht-visit-order").text.split("\n")
    assert order[:2] == ["Tighten half a turn", "Mainspring"]
    assert order[2].startswith("Adjusting nut: right-hand thread, seen from the hinge end")
    ledger = browser.find_element("css selector", ".ht-visit-ledger").text
    assert ledger.split("\n")[0].endswith("as found")
    assert browser.find_element("css selector", MAIN).text == "Tightened half a turn"
    tap_on(browser, MAIN)
    turned = next(event for event in log_of(browser, visit) if event["kind"] == "turned")["values"]
    assert (turned["spring"], turned["which"], turned["direction"]) == ("mainspring", 1, "tighten")


def test_not_so_offers_the_pages_own_stops(browser: WebDriver, address: str, site: Path) -> None:
    """The list of the page; a note alone stays at the step, outlives a reload, and is told as left open."""
    visit = begin(browser, address, site, turn)
    tap(browser, NOT_SO)
    wait(browser, "return document.querySelector('#ht-visit-note') !== null")
    stops = browser.find_elements("css selector", ".ht-visit-body .ht-visit-choice")
    assert stops[2].text == "A spring, hook, rod, nut or thread is worn, cracked or stretched."
    before = log_of(browser, visit)
    tap(browser, ".ht-visit-body .ht-visit-choice", 2)
    assert log_of(browser, visit) == before, "a thumb on the list stops nothing yet"
    browser.find_element("css selector", "#ht-visit-note").send_keys("Rust on the rod.")
    browser.refresh()
    show_visit(browser, visit)
    tap(browser, NOT_SO)
    note = "return document.querySelector('#ht-visit-note')?.value === 'Rust on the rod.'"
    wait(browser, note)
    rest(browser)
    tap_on(browser, MAIN)
    assert browser.find_element("css selector", ".ht-left-open").text == "1 left open"
    noted = log_of(browser, visit)[-1]
    assert (noted["kind"], noted["values"]["note"]) == ("not-so", "Rust on the rod.")
    tap(browser, NOT_SO)
    wait(browser, "return document.querySelector('#ht-visit-note')?.value === ''")
    tap(browser, ".ht-visit-body .ht-visit-choice", 2)
    rest(browser)
    tap_on(browser, "[data-act=stop]")
    assert log_of(browser, visit)[-1]["values"]["stop_item"] == 2


def test_back_reads_and_writes_nothing(browser: WebDriver, address: str, site: Path) -> None:
    """Back shows the step before and what was entered there; a correction is a new entry, the first stays."""
    visit = begin(browser, address, site, asks("lip"))
    before = log_of(browser, visit)
    tap(browser, ".ht-visit-acts button")
    wait(browser, "return document.querySelector('[data-kind=earlier]') !== null")
    assert log_of(browser, visit) == before
    tap(browser, ".ht-visit-entered button")
    wait(browser, "return document.querySelector('[data-kind=correct]') !== null")
    rest(browser)
    tap(browser, "[data-kind=correct] .ht-visit-choice", 1)
    tap_on(browser, MAIN)
    after = log_of(browser, visit)
    assert after[:-1] == before
    assert (after[-1]["kind"], after[-1]["values"]["values"]) == ("corrected", {"rise": "full-gentle"})


def test_a_run_is_in_the_log_as_soon_as_it_is_stopped(browser: WebDriver, address: str, site: Path) -> None:
    """The stopwatch of the page's sheet writes into the visit, strikes out there, and says where a run is."""
    visit = begin(browser, address, site, kind("runs"))
    press = (
        "document.querySelector('[data-press]').dispatchEvent("
        "new PointerEvent('pointerdown', { isPrimary: true, button: 0, bubbles: true }))"
    )
    tap(browser, MAIN)
    browser.execute_script(
        "const way = document.querySelector('dialog[open] [data-choice=way]');"
        "way.value = 'helper'; way.dispatchEvent(new Event('change', { bubbles: true }));"
    )
    browser.execute_script(press)
    rest(browser)
    browser.execute_script(press)
    wait(
        browser,
        "return document.querySelector('[data-stopwatch-state]').textContent === 'Kept in the visit.'",
    )
    run = log_of(browser, visit)[-1]
    assert (run["kind"], run["values"]["started"]) == ("run", "helper")
    tap(browser, "[data-stopwatch-runs] button")
    wait(browser, "return document.querySelector('[data-stopwatch-runs] li:not([data-struck])') === null")
    struck = log_of(browser, visit)[-1]
    assert (struck["kind"], struck["values"]["of"]) == ("struck", run["id"])


def test_hazards_are_met_in_full_where_a_leveler_moves(browser: WebDriver, address: str, site: Path) -> None:
    """Every DANGER and WARNING of a screen is whole; none is folded."""
    begin(browser, address, site, asks("rise"))
    folded = browser.find_elements(
        "css selector", "[data-signal=WARNING] details, [data-signal=DANGER] details"
    )
    whole = browser.find_elements("css selector", ".ht-visit-body .ht-hazard .ht-hazard-avoid")
    assert (folded, len(whole) >= 2) == ([], True)


def test_a_new_edition_is_told_before_the_visit_goes_on(browser: WebDriver, address: str, site: Path) -> None:
    """A step that says something else now is shown with its words; reading it is one tap."""
    visit = begin(browser, address, site, steps)
    tap_on(browser, MAIN)
    other = """
        const events = await log.eventsOf(given[0]);
        const { values } = events.find(({ kind }) => kind === "done");
        const changed = { ...values, steps: values.steps.map((step) => ({ ...step, hash: "00000000" })) };
        await log.append(given[1], given[2], [
          { kind: "opened", values: events[0].values }, { kind: "done", values: changed }]);
    """
    with_parts(browser, other, visit, f"{visit[:-1]}x", LEVELER)
    browser.execute_script("location.hash = `visit=${arguments[0]}`", f"{visit[:-1]}x")
    wait(browser, "return document.querySelector('[data-kind=changed]') !== null")
    assert heading(browser) == "The book changed"
    assert "now says:" in browser.find_element("css selector", ".ht-visit-entered").text
    rest(browser)
    tap_on(browser, MAIN)
    assert heading(browser) != "The book changed"

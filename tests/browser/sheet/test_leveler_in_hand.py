"""The leveler in hand chooses how a thing is done and which figures are its own, never what warns."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.sheet.test_sheet_belonging import take_leveler
from tests.browser.work_sheet import empty_sheet, entry, open_sheet, press, take_common_window, wait

SAFETY = "[data-hazard], [data-caution], #stop-and-call, #stop-and-call ~ *"
"""What warns, and what stops the work."""
WITHOUT_DAMPER = """
    const fetched = window.fetch;
    window.fetch = async (address, ...rest) => {
        const response = await fetched(address, ...rest);
        if (!String(address).endsWith("equipment.json")) return response;
        const book = await response.json();
        const leveler = book.levelers.find(({ id }) => id === "brackenlow-a1");
        leveler.ways.damper = "undamped-lip";
        delete leveler.figures.window_low_s;
        delete leveler.figures.window_high_s;
        return new Response(JSON.stringify(book));
    };
"""
"""A leveler without a damper whose manual's window is not in its row, in place of Brackenlow A1."""


@pytest.fixture
def without_damper(browser: WebDriver) -> Iterator[WebDriver]:
    """A browser that finds A1 without a damper."""
    script = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": WITHOUT_DAMPER})
    yield browser
    browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", script)


def own_figures(browser: WebDriver) -> list[str]:
    """The leveler's own figures on the page, each with the figure that it stands beside."""
    found: list[str] = browser.execute_script("""
        return [...document.querySelectorAll("[data-own-figure]")]
            .map((own) => own.previousElementSibling.dataset.figure + own.textContent);
    """)
    return found


def ways_seen(browser: WebDriver) -> set[str]:
    """The ways of which a sentence can be seen."""
    found = browser.execute_script("""
        return [...document.querySelectorAll("[data-way]")]
            .filter((part) => part.checkVisibility()).map((part) => part.dataset.way);
    """)
    return set(found)


def told_for_safety(browser: WebDriver) -> list[str]:
    """The text of every hazard and stop on the page that can be seen."""
    found: list[str] = browser.execute_script(
        "return [...document.querySelectorAll(arguments[0])].filter((part) => part.checkVisibility())"
        ".map((part) => part.textContent)",
        SAFETY,
    )
    return found


def test_the_proof_lift_has_the_levelers_own_figure(browser: WebDriver, address: str) -> None:
    """It stands beside the book's own, in that sentence alone, and goes with its leveler."""
    empty_sheet(browser, address, "fold-time")
    take_leveler(browser, "brackenlow-b2")
    name = "Brackenlow B2, two mainsprings (practice)"
    assert own_figures(browser) == [f"lip-lift-force ({name}: 120 N (27 lbf); invented B2 manual, page 14)"]
    take_leveler(browser, "brackenlow-a1")
    assert own_figures(browser) == []
    take_leveler(browser, "")
    assert own_figures(browser) == []


@pytest.mark.parametrize(
    ("page", "leveler", "left_out"),
    [
        ("procedures/run-the-operating-cycle.html", "brackenlow-b2", {"no-support-legs", "lip-by-hold"}),
        ("procedures/run-the-operating-cycle.html", "brackenlow-a1", {"support-legs", "lip-by-hold"}),
        ("procedures/make-the-dock-safe.html", "brackenlow-b2", {"power"}),
        ("procedures/time-the-lip-fold.html", "brackenlow-c3", {"lip-by-hand", "undamped-lip"}),
    ],
)
def test_a_leveler_shows_its_own_ways_and_every_caution(
    browser: WebDriver, address: str, page: str, leveler: str, left_out: set[str]
) -> None:
    """Other ways go out of sight and come back with one tap; hazards and stops are the same throughout."""
    browser.get(address + page)
    take_in_hand(browser, address, "")
    browser.get(address + page)
    every, safety = ways_seen(browser), told_for_safety(browser)
    take_in_hand(browser, address, leveler)
    browser.get(address + page)
    wait(browser, "return document.querySelector('[data-ways] button') !== null")
    assert ways_seen(browser) == every - left_out
    assert left_out <= every
    assert told_for_safety(browser) == safety
    press(browser, "[data-ways] button")
    assert ways_seen(browser) == every
    take_in_hand(browser, address, "")


def take_in_hand(browser: WebDriver, address: str, leveler: str) -> None:
    """Keep a leveler as the one in hand, as its choice on the first page does; "" for none."""
    browser.execute_script(
        "const [name, id] = arguments;"
        "if (id) localStorage.setItem(name, JSON.stringify(id)); else localStorage.removeItem(name);",
        f"{address}leveler",
        leveler,
    )


def test_a_lip_without_a_damper_is_offered_no_common_window(without_damper: WebDriver, address: str) -> None:
    """The maker's window alone: no offer, a sentence that says so, and what was taken before goes."""
    browser = without_damper
    open_sheet(browser, address, "fold-time")
    empty_sheet(browser, address, "fold-time")
    take_common_window(browser)
    assert entry(browser, "window_low_s").get_attribute("value") == "18"
    take_leveler(browser, "brackenlow-a1")
    if browser.execute_script("return document.querySelector('[data-sheet]').disabled"):
        press(browser, "[data-act=keep-sheet]")
    assert entry(browser, "window_low_s").get_attribute("value") == ""
    offer = "return document.querySelector('[data-offer=lip-fold-time]').checkVisibility()"
    assert browser.execute_script(offer) is False
    told = "return document.querySelector('[data-not-offered=lip-fold-time]').innerText"
    assert browser.execute_script(told) == (
        "The common figure holds for this alone: Lip with a damper. Brackenlow A1, one mainspring (practice) "
        "is built otherwise. Take the owner's manual's own figure, and no other."
    )
    take_leveler(browser, "")
    assert browser.execute_script(offer) is True
    assert browser.execute_script(told) == ""

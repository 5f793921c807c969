"""What comes out of the printer: one or two sheets a procedure, cautions whole, page furniture gone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.paper import A4, LETTER, printed, sheets, sizes_mm
from tests.browser.work_sheet import PAGES, fill, open_sheet, wait_answer, wait_runtime

LONGEST = (
    "procedures/set-the-mainspring",
    "procedures/set-the-lip-assist-spring",
    "checks/yearly-inspection",
    "faults/will-not-rise-fully",
    "faults/will-not-stay-down",
    "repair/plan-a-spring-replacement",
)
"""Letter is shorter than A4; these come nearest to a third sheet."""


@pytest.fixture(scope="module")
def procedures(site: Path) -> list[str]:
    """The address of every procedure, without its ending."""
    pages = sorted(site.rglob("*.html"))
    return [
        page.relative_to(site).as_posix().removesuffix(".html")
        for page in pages
        if '<div class="ht-procedure">' in page.read_text(encoding="utf-8")
    ]


@pytest.fixture
def on_paper(browser: WebDriver) -> Iterator[WebDriver]:
    """The browser showing pages with the style of paper, and of the screen again afterwards."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    yield browser
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def count(browser: WebDriver, address: str, page: str, size: tuple[float, float]) -> int:
    """Open a page and count the sheets that it takes."""
    browser.get(f"{address}{page}.html")
    return sheets(printed(browser, size))


def test_a_procedure_takes_one_sheet_or_two(browser: WebDriver, address: str, procedures: list[str]) -> None:
    """Every procedure prints to at most two sheets of A4; without scripts, which add nothing to paper."""
    assert len(procedures) > 25
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        taken = {page: count(browser, address, page, A4) for page in procedures}
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})

    assert {page: found for page, found in taken.items() if found not in (1, 2)} == {}


def test_letter_paper_is_enough_too(browser: WebDriver, address: str) -> None:
    """The longest procedures print to two sheets of US Letter."""
    assert {page: count(browser, address, page, LETTER) for page in LONGEST} == dict.fromkeys(LONGEST, 2)


def test_the_pocket_card_is_two_sides_of_a6(browser: WebDriver, address: str) -> None:
    """The page of the card prints as exactly two pages of 105 by 148 mm, whatever else stands on it."""
    browser.get(f"{address}reference/pocket-card.html")
    pdf = printed(browser)
    assert (sheets(pdf), sizes_mm(pdf)) == (2, {(105, 148)})


def test_the_words_of_the_card_can_be_read(on_paper: WebDriver, address: str) -> None:
    """No word of the card is smaller than 7 points, but for the small sign of a figure's basis."""
    on_paper.get(f"{address}reference/pocket-card.html")
    smallest = on_paper.execute_script("""
        const words = [...document.querySelectorAll(".ht-card-side *")].filter((part) =>
            !part.matches(".ht-basis, .ht-spoken") &&
            [...part.childNodes].some((node) => node.nodeType === 3 && node.data.trim()));
        return Math.min(...words.map((part) => parseFloat(getComputedStyle(part).fontSize)));
    """)
    assert smallest * 72 / 96 >= 6.99


def test_furniture_stays_off_paper(on_paper: WebDriver, address: str) -> None:
    """Header, menus, buttons, forms, examples, methods and states of the phone are not printed."""
    seen = {}
    for page in (PAGES["mainspring-plan"], PAGES["spring-rate"], "faults/noisy.html"):
        on_paper.get(address + page)
        seen[page] = on_paper.execute_script("""
            const furniture = `.md-header, .md-sidebar, .md-search, .md-dialog, [data-status], button, form,
                .headerlink, .ht-units, .ht-what-if, .ht-example, .ht-method, .ht-working, .ht-leveler,
                dialog, .ht-needs-serving`;
            return [...document.querySelectorAll(furniture)]
                .filter((part) => part.checkVisibility()).map((part) => part.outerHTML.slice(0, 80));
        """)
    assert {page: parts for page, parts in seen.items() if parts} == {}


def test_what_must_stay_whole_stays_whole(on_paper: WebDriver, address: str) -> None:
    """No caution, step, drawing or figure may break; boxes to tick and the owner's manual line stay."""
    on_paper.get(address + PAGES["mainspring-plan"])
    found = on_paper.execute_script("""
        const all = (selector) =>
            [...document.querySelectorAll(selector)].filter((part) => part.checkVisibility());
        const whole = ".ht-hazard, ol.steps > li, .ht-drawing, .ht-paper-sheet";
        return {
            broken: all(whole).filter((part) => getComputedStyle(part).breakInside !== "avoid").length,
            wrapped: all(".ht-figure")
                .filter((part) => getComputedStyle(part).whiteSpace !== "nowrap").length,
            cautions: all(".ht-hazard").length,
            ticks: all("ol.steps > li .ht-tick input").length === all("ol.steps > li").length,
            manual: all("[data-caution=defer]").length,
            foot: document.documentElement.dataset.paperName,
        };
    """)
    assert found == {
        "broken": 0,
        "wrapped": 0,
        "cautions": 11,
        "ticks": True,
        "manual": 1,
        "foot": "Set the mainspring",
    }


def test_an_answered_sheet_prints_as_the_record(page: WebDriver, address: str) -> None:
    """Once a sheet is answered, paper shows what was typed and the answer, and no lines for the pen."""
    open_sheet(page, address, "fold-time")
    wait_runtime(page)
    runs = {"runs_s": [17.1, 17.3, 17.0], "window_low_s": 18, "window_high_s": 20}
    fill(page, runs)
    wait_answer(page)
    page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    seen = page.execute_script("""
        const sheet = document.querySelector("section[data-calculator]");
        const visible = (selector) =>
            [...sheet.querySelectorAll(selector)].filter((part) => part.checkVisibility());
        return {
            typed: visible(".ht-sheet input:not([type=checkbox])").map((input) => input.value).slice(0, 5),
            headline: visible("output[data-field=headline]").length,
            pen: visible(".ht-paper-sheet").length,
            buttons: visible("button").length,
        };
    """)
    pdf = printed(page, A4)
    page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})

    assert seen["typed"] == ["17.1", "17.3", "17.0", "18", "20"]
    assert (seen["headline"], seen["pen"], seen["buttons"]) == (1, 0, 0)
    assert sheets(pdf) <= 2

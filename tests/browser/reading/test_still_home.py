"""The first page stays still: nothing in sight changes its place while scripts fill it in."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium import webdriver

from build_tools.browsers.engines import open_chromium
from tests.browser.work_sheet import wait

TOPS = """
[".ht-home h1", ".ht-emergency", ".ht-jump", ".ht-home [data-leveler]", ".ht-home [data-status=offline]",
  "#something-is-wrong", ".ht-symptoms li"].map((each) =>
    [each, Math.round(document.querySelector(each).getBoundingClientRect().top + scrollY)])
"""
BEFORE = f"""
document.addEventListener("readystatechange", () => {{
  if (document.readyState === "interactive") window.topsBefore = {TOPS};
}});
"""
"""Runs when the page is read to its end and no module has begun."""
FILLED = "return document.querySelector('[data-leveler] select') && document.documentElement.dataset.offline"


@pytest.fixture(scope="module")
def still(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """A phone that has never seen the book, and notes where things stand before scripts run."""
    browser = open_chromium(tmp_path_factory.mktemp("still"))
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": BEFORE})
    yield browser
    browser.quit()


def moved(browser: webdriver.Chrome, offline: str) -> list[list[str]]:
    """What does not stand where it stood, once the page says that it is kept as far as `offline`."""
    wait(browser, f"{FILLED} === '{offline}'")
    before, now = browser.execute_script(f"return [window.topsBefore, {TOPS}]")
    assert len(before) == len(now) > 5
    return [pair for pair in zip(before, now, strict=True) if pair[0] != pair[1]]


def test_nothing_moves_on_a_first_visit(still: webdriver.Chrome, address: str) -> None:
    """The choice of a leveler and the line about keeping have their room, from the first word to the last."""
    still.get(address)
    wait(still, f"{FILLED} !== undefined")
    assert moved(still, str(still.execute_script("return document.documentElement.dataset.offline"))) == []
    assert moved(still, "complete") == []


def test_nothing_moves_with_a_leveler_in_hand(still: webdriver.Chrome, address: str, site: Path) -> None:
    """Whichever leveler was chosen: the first page names it, its sheets say more about it."""
    levelers = json.loads((site / "half-turn/equipment.json").read_text(encoding="utf-8"))["levelers"]
    assert levelers
    for leveler in levelers:
        still.get(address)
        wait(still, FILLED)
        choose = "const s = document.querySelector('[data-leveler] select'); s.value = arguments[0];"
        still.execute_script(f"{choose} s.dispatchEvent(new Event('change'))", leveler["id"])
        still.get(address)
        assert moved(still, "complete") == []


def test_what_is_told_later_moves_nothing(still: webdriver.Chrome, address: str) -> None:
    """Pages to be read first, and the offer of a new edition, come without taking room from the page."""
    still.get(address)
    assert moved(still, "complete") == []
    for status in ("changes", "edition"):
        still.execute_script(
            "document.querySelector(`.ht-home > [data-status=${arguments[0]}]`).append('New. '.repeat(80))",
            status,
        )
        assert moved(still, "complete") == []

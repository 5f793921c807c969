"""What stands in storage under the palette's name may be anything: the page reads all the same."""

from __future__ import annotations

import json

import pytest
from selenium import webdriver

from build_tools.browsers.reading import open_page, pages_found, search_for, waiting
from tests.browser.keeping.test_offline_book import logged

KEY = "new URL(document.documentElement.dataset.root + '/', location).pathname + '.__palette'"
AS_IS = {"media": "", "scheme": "slate", "primary": None, "accent": None}
SPOILT = [
    "{half",
    '"slate"',
    '{"index": 1}',
    '{"index": "x", "color": {"scheme": "slate"}}',
    '{"index": 1, "color": {"no name": "slate"}}',
    '{"index": 1, "color": {"scheme": {"a": 1}}}',
]


def palette(browser: webdriver.Chrome) -> str | None:
    """What is kept under the palette's name."""
    kept: str | None = browser.execute_script(f"return localStorage.getItem({KEY})")
    return kept


@pytest.mark.parametrize("spoilt", SPOILT)
def test_a_spoilt_palette_is_as_none(browser: webdriver.Chrome, address: str, spoilt: str) -> None:
    """No script ends at it, the page has the colors of a first visit, and the search finds."""
    browser.get(f"{address}faults/noisy.html")
    browser.execute_script(f"localStorage.setItem({KEY}, arguments[0])", spoilt)
    logged(browser)
    browser.get(f"{address}faults/noisy.html")
    search_for(browser, "grease points")
    waiting(browser, 20).until(pages_found)
    assert logged(browser) == []
    assert palette(browser) != spoilt


def test_a_palette_that_was_chosen_stays(browser: webdriver.Chrome, address: str) -> None:
    """What the theme wrote for somebody who chose the dark one is read again as it stands."""
    open_page(browser, f"{address}faults/noisy.html", level="complete")
    chosen = json.dumps({"index": 3, "color": AS_IS})
    browser.execute_script(f"localStorage.setItem({KEY}, arguments[0])", chosen)
    browser.refresh()
    scheme = browser.execute_script("return document.body.dataset.mdColorScheme")
    told = json.loads(palette(browser) or "{}")
    browser.execute_script(f"localStorage.removeItem({KEY})")
    assert (scheme, told["index"]) == ("slate", 3)

"""Walk a fault path in an open page: by first answers to its end, by last answers, then as the table."""

from __future__ import annotations

from collections.abc import Iterator

from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.access.sheet_states import wait

PATH = "section[data-fault-path]"
ANSWERS = f"{PATH} .ht-path-answers button"
WAYS = {"first answers": 0, "last answers": -1}


def each_path_screen(browser: WebDriver, address: str) -> Iterator[str]:
    """Return the name of each screen of the path at `address` while it is shown; none without a path."""
    if not browser.find_elements(By.CSS_SELECTOR, PATH):
        return
    for way, which in WAYS.items():
        browser.get("about:blank")  # the answers stand in the address: the page alone would not begin again
        browser.get(address)
        wait(browser, f"return document.querySelector('{ANSWERS}') !== null")
        number = 1
        while answers := browser.find_elements(By.CSS_SELECTOR, ANSWERS):
            yield f"{way}, question {number}"
            answers[which].click()
            number += 1
        yield f"{way}, end"
    browser.find_element(By.CSS_SELECTOR, f"{PATH} [data-part=view]").click()
    yield "as a table"

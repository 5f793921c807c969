"""What every engine must do, in words that do not depend on how a browser is driven."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from build_tools.browsers.host import Host
from build_tools.browsers.reading import heading, open_page, wait_offer, words_on
from build_tools.browsers.small_book import files_of, write_small_book
from build_tools.registers.registers import Registers
from build_tools.sheets.given import given
from calculators import answering
from tests.browser.work_sheet import fill, results, shown, wait, wait_answer, wait_runtime

SAMPLE = 3
"""Pages read in a dead spot; all of them are read there in Chromium."""


def opens_pages_and_opens_them_again(browser: Any, address: str, site: Path, *, seed: str) -> None:
    """A few pages of the book open, and open again by a reload."""
    pages = [file["url"] for file in files_of(site) if file["url"].endswith(".html")]
    for page in random.Random(seed).sample(pages, SAMPLE):
        open_page(browser, address + page)
        title = heading(browser)
        assert title != ""
        browser.refresh()
        assert heading(browser) == title


def answers_and_outlasts_a_reload(browser: Any, registers: Registers) -> None:
    """What is written on the open fold-time sheet is answered, and both stand there again after a reload."""
    inputs = registers.examples["fold-time"]["inputs"]
    fill(browser, inputs)
    before = (wait_answer(browser), results(browser))
    asked = {**given(answering.module("fold-time").INPUTS, registers.figures), **inputs}
    expected = json.loads(answering.run("fold-time", json.dumps(asked), registers.words))
    assert before[0]["headline"] == expected["headline"]["text"]
    assert before[1]["mean_s"] == expected["mean_s"]
    browser.refresh()
    wait_runtime(browser)
    wait_answer(browser)
    assert (shown(browser), results(browser)) == before


def takes_a_new_edition_when_asked(browser: Any, folder: Path, accept: Callable[[Any], None]) -> None:
    """An update waits until it is asked for; then every page is the new one, with the server stopped too."""
    host = Host(write_small_book(folder / "one")).start()
    try:
        open_page(browser, host.address)
        host.folder = write_small_book(folder / "two", edition=2)
        browser.refresh()
        assert "A new edition of 3 December 2026 is ready." in wait_offer(browser)
        assert words_on(browser) == "Home of edition 1"
        accept(browser)
        wait(browser, "return document.querySelector('#words')?.textContent === 'Home of edition 2'")
        host.stop()
        for page, words in {
            "jobs/lip.html": "Lip of edition 2",
            "jobs/added.html": "Added of edition 2",
        }.items():
            open_page(browser, host.address + page)
            assert words_on(browser) == words
    finally:
        host.stop()

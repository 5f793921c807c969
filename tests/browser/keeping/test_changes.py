"""A phone that updates shows once what is to be read first, and what changed since its edition before."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement

from build_tools.browsers.host import Host
from build_tools.browsers.reading import accept_offer, open_page, wait_offer, waiting, words_on
from build_tools.browsers.small_book import write_small_book
from build_tools.edition.edition import write_edition

PLACES = '<div data-status="changes"></div><section data-changes="since" hidden></section>'
LIP = {"mark": "aaaaaaaaaaaa", "url": "jobs/lip.html", "title": "Lip", "date": "2026-12-03"}
ADDED = {"mark": "bbbbbbbbbbbb", "url": "jobs/added.html", "title": "Added", "date": "2026-12-03"}
OLD = {"mark": "cccccccccccc", "url": "jobs/same.html", "title": "Same", "date": "2026-11-20"}
NOTICE = "Read before your next job:\nLip\nAdded\nWhat changed\nI have read this"
SINCE = {
    "2026-11-20": [
        {"url": "jobs/lip.html", "title": "Lip", "kind": "changed", "was": ["Was."], "now": ["<Now>."]},
        {"url": "jobs/added.html", "title": "Added", "kind": "new", "was": [], "now": []},
        {"url": None, "title": "Gone", "kind": "removed", "was": [], "now": []},
    ]
}


def edition(folder: Path, number: int, marks: list[dict[str, str]], since: dict[str, Any]) -> Path:
    """Edition 1 or 2 of the small book, with what it tells of its changes."""
    write_small_book(folder, edition=number)
    date = json.loads((folder / "edition.json").read_text(encoding="utf-8"))["date"]
    for page in folder.rglob("*.html"):
        page.write_text(page.read_text("utf-8").replace("</body>", f"{PLACES}</body>"), encoding="utf-8")
    data = {"date": date, "page": "what-changed.html", "marks": marks, "since": since}
    (folder / "half-turn" / "changes.json").write_text(json.dumps(data), encoding="utf-8")
    write_edition(folder, date=date, preview=False)
    return folder


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Edition 2, which asks for two pages to be read first."""
    return edition(tmp_path / "two", 2, [LIP, ADDED, OLD], SINCE)


@pytest.fixture
def updated(phone: WebDriver, tmp_path: Path, small_host: Host, two: Path) -> WebDriver:
    """A phone that had edition 1 and has just opened edition 2, on the first page."""
    small_host.folder = edition(tmp_path / "first", 1, [OLD], {})
    open_page(phone, small_host.address)
    settled(phone)
    small_host.folder = two
    phone.refresh()
    wait_offer(phone)
    accept_offer(phone)
    wait = waiting(phone, 20)
    wait.until(lambda _: words_on(phone) == "Home of edition 2", "no swap")
    settled(phone)
    return phone


def settled(phone: WebDriver) -> None:
    """Wait until the page has noted its edition."""
    noted = "return Object.keys(localStorage).some((name) => name.endsWith('changes'))"
    waiting(phone, 20).until(lambda _: phone.execute_script(noted), "nothing noted")


def notice(phone: WebDriver) -> str:
    """What the page asks to be read first, as a person sees it; "" where it asks nothing."""
    return phone.find_element(By.CSS_SELECTOR, "[data-status=changes]").text


def wait_notice(phone: WebDriver, text: str) -> None:
    """Wait until the page asks for this."""
    wait = waiting(phone, 20)
    wait.until(lambda _: notice(phone) == text, f"{text!r} was expected")


def shown_since(phone: WebDriver) -> WebElement:
    """Wait for the list of what changed since this phone's edition before."""
    place = phone.find_element(By.CSS_SELECTOR, "[data-changes=since]")
    waiting(phone, 20).until(lambda _: place.is_displayed(), "never shown")
    return place


def test_a_phone_without_an_older_edition_has_missed_nothing(
    phone: WebDriver, small_host: Host, two: Path
) -> None:
    """The first edition that a phone opens asks for nothing, however many pages it marks."""
    small_host.folder = two
    open_page(phone, small_host.address)
    settled(phone)

    assert notice(phone) == ""


def test_an_update_shows_its_marks_until_they_are_read_and_never_again(
    updated: WebDriver, small_host: Host
) -> None:
    """Every page shows the new marks, offline too, until a person says that they are read."""
    wait_notice(updated, NOTICE)
    small_host.stop()
    updated.get(f"{small_host.address}jobs/same.html")
    wait_notice(updated, NOTICE)

    updated.find_element(By.CSS_SELECTOR, "[data-status=changes] button").click()

    assert notice(updated) == ""
    updated.get(small_host.address)
    shown_since(updated)  # filled in after the notice
    assert notice(updated) == ""


def test_a_page_that_was_opened_is_read(updated: WebDriver, small_host: Host) -> None:
    """Opening a marked page takes it off the list."""
    wait_notice(updated, NOTICE)
    updated.find_element(By.LINK_TEXT, "Lip").click()

    wait_notice(updated, "Read before your next job:\nAdded\nWhat changed\nI have read this")


def test_changes_since_the_edition_that_this_phone_had(updated: WebDriver) -> None:
    """The page of changes tells what differs from the phone's own edition before, sentences as plain text."""
    place = shown_since(updated)

    assert place.text.split("\n") == [
        "New since the edition of 20 November 2026 that this phone had",
        "Lip",
        "Was.",
        "<Now>.",
        "Added",
        "This page is new. Read it whole.",
        "Gone",
        "This page is no longer in the book.",
    ]
    assert [element.tag_name for element in place.find_elements(By.CSS_SELECTOR, "del, ins")] == [
        "del",
        "ins",
    ]
    assert [link.text for link in place.find_elements(By.TAG_NAME, "a")] == ["Lip", "Added"]

"""A page has several addresses, x, x.html and x/: each of them is the page, online and offline."""

from __future__ import annotations

from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.book.withdrawn import Withdrawal
from build_tools.browsers.host import Host
from build_tools.browsers.reading import heading, open_page, wait_kept, wait_offer, waiting, words_on
from build_tools.browsers.small_book import DATES, write_small_book

FORMS = ("jobs/lip", "jobs/lip.html", "jobs/lip/", "jobs/lip/index.html")
WITHDRAWN = "Do not use: update first"


@pytest.fixture
def stripping(small_host: Host) -> Host:
    """A host that leaves .html out of its addresses."""
    small_host.strips_html = True
    return small_host


def asked(browser: WebDriver, host: Host) -> str:
    """The address of the open page inside the book."""
    return str(browser.current_url).removeprefix(host.address)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("stopped", [False, True])
def test_every_form_is_the_page_with_its_query_and_place(
    phone: WebDriver, stripping: Host, form: str, stopped: bool
) -> None:
    """Once the book is kept each form opens the page at its one address, styles and status with it."""
    open_page(phone, stripping.address)
    if stopped:
        stripping.stop()
    phone.get(f"{stripping.address}{form}?from=home#words")
    wait_kept(phone, "complete")
    assert words_on(phone) == "Lip of edition 1"
    assert asked(phone, stripping) == "jobs/lip.html?from=home#words"
    assert phone.execute_script("return document.styleSheets.length") == 1
    for home in ("", "index", "index.html"):
        phone.get(stripping.address + home)
        wait_kept(phone, "complete")
        assert words_on(phone) == "Home of edition 1"


def test_what_is_ticked_on_a_first_visit_is_ticked_at_the_pages_own_address(
    phone: WebDriver, stripping: Host
) -> None:
    """The host shows the page at x; reloaded with no network it is the same page with the same ticks."""
    phone.get(stripping.address + "jobs/lip.html")
    wait_kept(phone, "complete")
    assert asked(phone, stripping) == "jobs/lip"
    phone.execute_script("document.querySelector('[data-step=two] input').click()")
    stripping.stop()
    phone.refresh()
    wait_kept(phone, "complete")
    assert asked(phone, stripping) == "jobs/lip.html"
    ticked = "return document.querySelector('[data-step=two] input').checked"
    waiting(phone, 10).until(lambda _: phone.execute_script(ticked), "the tick is lost")


@pytest.mark.parametrize("form", FORMS)
def test_a_withdrawn_page_is_covered_under_each_form(
    phone: WebDriver, stripping: Host, tmp_path: Path, form: str
) -> None:
    """What the host has withdrawn is covered whatever its address, offline too."""
    open_page(phone, stripping.address)
    withdrawal = Withdrawal(url="jobs/lip.html", before=DATES[2])
    stripping.folder = write_small_book(tmp_path / "two", edition=2, withdrawn=(withdrawal,))
    open_page(phone, stripping.address)
    wait_offer(phone)
    for _ in range(2):
        phone.get(stripping.address + form)
        waiting(phone, 10).until(lambda _: heading(phone) == WITHDRAWN, "it is readable")
        stripping.stop()


def test_an_open_page_without_its_ending_is_covered_when_it_is_withdrawn(
    phone: WebDriver, stripping: Host, tmp_path: Path
) -> None:
    """A tab that a first visit left at x learns of the withdrawal as one at x.html does."""
    phone.get(stripping.address + "jobs/lip")
    wait_kept(phone, "complete")
    assert asked(phone, stripping) == "jobs/lip"
    withdrawal = Withdrawal(url="jobs/lip.html", before=DATES[2])
    stripping.folder = write_small_book(tmp_path / "two", edition=2, withdrawn=(withdrawal,))
    phone.execute_script("window.dispatchEvent(new Event('online'))")
    waiting(phone, 10).until(lambda _: heading(phone) == WITHDRAWN, "it is readable")


@pytest.mark.parametrize("form", ["jobs/none", "jobs/none.html", "jobs/none/"])
def test_an_address_of_no_page_says_so_in_each_form(phone: WebDriver, stripping: Host, form: str) -> None:
    """With no network an address that the edition has no page for is told in words, not by the browser."""
    open_page(phone, stripping.address)
    stripping.stop()
    phone.get(stripping.address + form)
    assert heading(phone) == "This page is not in your edition"

"""From one edition to the next: asked for, whole, in every tab, never under a running stopwatch."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.book.withdrawn import Withdrawal
from build_tools.browsers.host import Host
from build_tools.browsers.reading import (
    accept_offer,
    forget_file,
    heading,
    offer,
    open_page,
    status,
    stored_files,
    wait_kept,
    wait_offer,
    wait_status,
    waiting,
    words_on,
)
from build_tools.browsers.small_book import DATES, files_of, hash_of, write_small_book
from build_tools.edition.edition import write_edition

OFFER = "A new edition of 3 December 2026 is ready. Open the new edition"
NEW_WORDS = {
    "": "Home of edition 2",
    "jobs/lip.html": "Lip of edition 2",
    "jobs/same.html": "Same of edition 1",  # its words are the same in both
    "jobs/added.html": "Added of edition 2",
}
HOLD_STOPWATCH = """
    navigator.locks.request(document.baseURI.replace(/jobs.*/, "") + "stopwatch", {mode: "shared"},
        () => new Promise((stop) => { window.stopStopwatch = stop; arguments[0](); }));
"""
WHAT_IS_LEFT = """
    Promise.all([caches.keys(), navigator.serviceWorker.getRegistrations()]).then(([caches, workers]) =>
        arguments[0]([...caches, ...workers.map((worker) => worker.scope)]));
"""


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Edition 2."""
    return write_small_book(tmp_path / "two", edition=2)


def reloads(browser: WebDriver) -> int:
    """How many pages this tab has opened since the test set its counter."""
    return int(browser.execute_script("return Number(sessionStorage.opened)"))


def count_reloads(browser: WebDriver) -> None:
    """Count every further page that this tab opens: each one leaves its mark as it goes."""
    browser.execute_script("sessionStorage.opened = 0")
    script = "addEventListener('pagehide', () => sessionStorage.opened = Number(sessionStorage.opened) + 1)"
    browser.execute_cdp_cmd("Page.enable", {})
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    browser.execute_script(script)


def wait_words(browser: WebDriver, words: str) -> None:
    """Wait for the paragraph that names the edition."""
    waiting(browser, 20).until(lambda _: words_on(browser) == words, words)


def test_new_edition_is_offered_and_opened_only_when_asked(
    phone: WebDriver, small_host: Host, book: Path, two: Path
) -> None:
    """Every page stays in the old edition until the person asks; then every page is new, offline too."""
    open_page(phone, small_host.address)
    small_host.folder = two
    small_host.requests.clear()
    phone.refresh()
    assert wait_offer(phone) == OFFER
    changed = {file["sha256"] for file in files_of(two)} - {file["sha256"] for file in files_of(book)}
    fetched = small_host.requests[small_host.requests.index("edition.json") + 1 :]
    assert sorted(fetched) == sorted(file["url"] for file in files_of(two) if file["sha256"] in changed)
    for page, words in {"": "Home", "jobs/lip.html": "Lip", "jobs/same.html": "Same"}.items():
        open_page(phone, small_host.address + page)
        assert words_on(phone) == f"{words} of edition 1"
    phone.get(small_host.address + "jobs/added.html")
    assert heading(phone) == "This page is not in your edition"
    open_page(phone, small_host.address)
    wait_offer(phone)
    accept_offer(phone)
    wait_words(phone, "Home of edition 2")
    wait_kept(phone, "complete")
    assert "3 December 2026" in status(phone)
    assert offer(phone) == ""
    small_host.stop()
    for page, words in NEW_WORDS.items():
        open_page(phone, small_host.address + page)
        assert words_on(phone) == words


def test_old_files_are_dropped_after_the_swap_and_not_before(
    phone: WebDriver, small_host: Host, book: Path, two: Path
) -> None:
    """While the new edition waits both are stored whole; after the swap only what the new one needs."""
    open_page(phone, small_host.address)
    small_host.folder = two
    phone.refresh()
    wait_offer(phone)
    old, new = ({file["sha256"] for file in files_of(folder)} for folder in (book, two))
    assert set(stored_files(phone).values()) == old | new
    accept_offer(phone)
    wait_words(phone, "Home of edition 2")
    wait_kept(phone, "complete")
    waiting(phone, 10).until(lambda _: set(stored_files(phone).values()) == new)


def test_every_tab_reloads_once_and_none_shows_a_mixture(
    phone: WebDriver, small_host: Host, two: Path
) -> None:
    """A swap asked in one tab reloads each tab exactly once, into the new edition."""
    open_page(phone, small_host.address + "jobs/lip.html")
    first = phone.current_window_handle
    phone.switch_to.new_window("tab")
    second = phone.current_window_handle
    open_page(phone, small_host.address)
    small_host.folder = two
    phone.refresh()
    wait_offer(phone)
    for tab in (first, second):
        phone.switch_to.window(tab)
        count_reloads(phone)
    accept_offer(phone)
    for tab, words in ((second, "Home of edition 2"), (first, "Lip of edition 2")):
        phone.switch_to.window(tab)
        wait_words(phone, words)
        wait_kept(phone, "complete")
        assert reloads(phone) == 1


def test_input_is_saved_before_the_reload(phone: WebDriver, small_host: Host, two: Path) -> None:
    """What a tab has to save is saved once before the swap reloads it, also where another saver fails."""
    open_page(phone, small_host.address)
    small_host.folder = two
    phone.refresh()
    wait_offer(phone)
    phone.execute_async_script("""
        import(document.baseURI + "half-turn/page/tabs.js").then(({onSaveBeforeSwap}) => {
            onSaveBeforeSwap(() => { throw new Error("a form that fails"); });
            onSaveBeforeSwap(async () => {
                await null;
                localStorage.saved = (localStorage.saved ?? "") + "18.4 ";
            });
            arguments[0]();
        });
    """)
    accept_offer(phone)
    wait_words(phone, "Home of edition 2")
    assert phone.execute_script("return localStorage.saved") == "18.4 "


@pytest.mark.parametrize("worker", ["alive", "restarted"])
def test_old_page_gets_its_own_files_until_it_reloads(
    phone: WebDriver, small_host: Host, two: Path, worker: str
) -> None:
    """Between the swap and its reload a tab is served from its own edition, also by a restarted worker."""
    open_page(phone, small_host.address)
    old_tab = phone.current_window_handle
    phone.execute_async_script("""
        import(document.baseURI + "half-turn/page/tabs.js").then(({onSaveBeforeSwap}) => {
            onSaveBeforeSwap(async () => {
                localStorage.seen = await (await fetch("jobs/lip.html")).text();
            });
            arguments[0]();
        });
    """)
    phone.switch_to.new_window("tab")
    small_host.folder = two
    phone.get(small_host.address + "jobs/lip.html")
    wait_offer(phone)
    if worker == "restarted":
        phone.execute_cdp_cmd("ServiceWorker.enable", {})
        phone.execute_cdp_cmd("ServiceWorker.stopAllWorkers", {})
    accept_offer(phone)
    wait_words(phone, "Lip of edition 2")
    phone.switch_to.window(old_tab)
    wait_words(phone, "Home of edition 2")
    assert "Lip of edition 1" in phone.execute_script("return localStorage.seen")


def test_swap_waits_for_a_running_stopwatch(phone: WebDriver, small_host: Host, two: Path) -> None:
    """While a stopwatch runs in another tab nothing is swapped and the page says why; afterwards it is."""
    open_page(phone, small_host.address + "jobs/lip.html")
    watching = phone.current_window_handle
    phone.execute_async_script(HOLD_STOPWATCH)
    phone.switch_to.new_window("tab")
    asking = phone.current_window_handle
    small_host.folder = two
    phone.get(small_host.address)
    wait_offer(phone)
    accept_offer(phone)
    waiting(phone, 10).until(lambda _: "A stopwatch is running." in offer(phone))
    assert words_on(phone) == "Home of edition 1"
    phone.switch_to.window(watching)
    assert phone.execute_script("return typeof window.stopStopwatch") == "function"
    assert words_on(phone) == "Lip of edition 1"
    phone.execute_script("window.stopStopwatch()")
    phone.switch_to.window(asking)
    accept_offer(phone)
    wait_words(phone, "Home of edition 2")


def test_new_edition_is_not_offered_before_it_has_every_tier_of_the_old(
    phone: WebDriver, small_host: Host, two: Path
) -> None:
    """With the calculators of the new edition still missing, the old one stays and no offer is made."""
    open_page(phone, small_host.address)
    small_host.folder = two
    small_host.tamper("half-turn/calculators.json", b"{}")
    phone.refresh()
    said = wait_status(phone, "half-turn/calculators.json is missing or damaged")
    total = len(files_of(two))
    assert f"A new edition of 3 December 2026 is being fetched: {total - 1} of {total} files." in said
    assert "Everything is kept on this phone. Edition of 20 November 2026" in said
    assert offer(phone) == ""
    small_host.mend()
    phone.refresh()
    assert wait_offer(phone) == OFFER


def test_update_cut_in_the_middle_leaves_the_old_edition_whole(
    phone: WebDriver, small_host: Host, two: Path
) -> None:
    """An update cut after its first file changes nothing that is shown, and goes on from there later."""
    open_page(phone, small_host.address)
    small_host.folder = two
    small_host.when_asked("edition.json", lambda: small_host.answer_only(1))
    phone.refresh()
    total = len(files_of(two))
    wait_status(phone, f"is being fetched: {total - 3} of {total} files.")
    small_host.stop()
    for page in ("", "jobs/lip.html"):
        open_page(phone, small_host.address + page)
        assert words_on(phone).endswith("of edition 1")
        assert offer(phone) == ""
    small_host.mend()
    small_host.start()
    small_host.requests.clear()
    phone.refresh()
    assert wait_offer(phone) == OFFER
    fetched = small_host.requests[small_host.requests.index("edition.json") + 1 :]
    # Small files come several at a time, in no order, so any one of them came before the cut.
    changed = {"index.html", "jobs/added.html", "jobs/lip.html", "half-turn/calculators.json"}
    assert len(fetched) == 3
    assert set(fetched) < changed


def test_a_miss_never_gets_bytes_of_another_edition(
    phone: WebDriver, small_host: Host, book: Path, two: Path
) -> None:
    """A page missing from the old edition is not taken from a host that has moved on; the phone says so."""
    open_page(phone, small_host.address)
    forget_file(phone, hash_of(book, "jobs/lip.html"))
    small_host.folder = two
    phone.get(small_host.address + "jobs/lip.html")
    assert heading(phone) == "This page is not on this phone now"
    assert wait_offer(phone) == OFFER
    accept_offer(phone)
    wait_words(phone, "Lip of edition 2")


def test_withdrawn_page_is_covered_at_once_offline_too(
    phone: WebDriver, small_host: Host, tmp_path: Path
) -> None:
    """An open page that the host withdraws is covered, offline too, until the new edition opens it."""
    open_page(phone, small_host.address + "jobs/lip.html")
    withdrawal = Withdrawal(url="jobs/lip.html", before=DATES[2])
    small_host.folder = write_small_book(tmp_path / "two", edition=2, withdrawn=(withdrawal,))
    phone.execute_script("window.dispatchEvent(new Event('online'))")
    waiting(phone, 10).until(lambda _: heading(phone) == "Do not use: update first")
    wait_offer(phone)
    small_host.stop()
    phone.get(small_host.address + "jobs/lip.html")
    assert heading(phone) == "Do not use: update first"
    open_page(phone, small_host.address + "jobs/same.html")
    assert heading(phone) == "Same"
    small_host.start()
    phone.get(small_host.address + "jobs/lip.html")
    wait_offer(phone)
    accept_offer(phone)
    wait_words(phone, "Lip of edition 2")


def test_preview_removes_the_worker_and_what_it_kept(
    phone: WebDriver, small_host: Host, tmp_path: Path
) -> None:
    """A preview served at the address of a kept edition is what the browser shows, and nothing stays kept."""
    open_page(phone, small_host.address)
    preview = write_small_book(tmp_path / "preview", edition=2)
    for file in preview.rglob("*.html"):
        file.write_text(file.read_text().replace("<html ", "<html data-preview "))
    write_edition(preview, date=DATES[2], preview=True)
    small_host.folder = preview
    phone.refresh()
    wait_words(phone, "Home of edition 2")
    assert wait_status(phone, "preview") == "This is a preview. Nothing is kept on this phone."
    assert phone.execute_async_script(WHAT_IS_LEFT) == []


def test_two_books_on_one_host_keep_apart(phone: WebDriver, book: Path, two: Path, tmp_path: Path) -> None:
    """Two books side by side on one host are kept and served each by itself."""
    (tmp_path / "both").mkdir()
    book.rename(tmp_path / "both" / "east")
    two.rename(tmp_path / "both" / "west")
    host = Host(tmp_path / "both", "/").start()
    for name, date in (("east", "20 November 2026"), ("west", "3 December 2026")):
        open_page(phone, f"{host.address}{name}/index.html")
        assert date in status(phone)
    host.stop()
    for name, number in (("east", 1), ("west", 2)):
        open_page(phone, f"{host.address}{name}/index.html")
        assert words_on(phone) == f"Home of edition {number}"
        assert offer(phone) == ""


def test_edition_ids_differ(book: Path, two: Path) -> None:
    """The two small books are two editions: what these tests rest on."""
    ids = {json.loads((folder / "edition.json").read_text())["edition"] for folder in (book, two)}
    assert len(ids) == 2

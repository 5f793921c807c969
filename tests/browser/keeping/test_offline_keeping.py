"""How a book comes onto a phone: two tiers, whole or not at all, taken up again where it was cut."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.browsers.reading import (
    forget_file,
    heading,
    kept_level,
    open_page,
    status,
    stored_files,
    wait_kept,
    wait_status,
    words_on,
)
from build_tools.browsers.small_book import files_of, hash_of, write_small_book
from build_tools.edition.edition import write_edition
from build_tools.edition.packing import pack
from tests.browser.conftest import NewBrowser

EVERYTHING = "Everything is kept on this phone. Edition of 20 November 2026 ({edition})."
PACKED = "half-turn/pyodide/pyodide.asm.wasm.packed"


def test_first_visit_keeps_everything_and_says_so(phone: WebDriver, small_host: Host, book: Path) -> None:
    """After one visit every file of both tiers is stored under its hash, and the page says so in words."""
    open_page(phone, small_host.address)
    edition = json.loads((book / "edition.json").read_text())["edition"]
    assert status(phone) == EVERYTHING.format(edition=edition)
    stored = stored_files(phone)
    hashes = {file["sha256"] for file in files_of(book)}
    assert stored == {f"{small_host.address}sha256/{sha256}": sha256 for sha256 in hashes}


def test_large_files_travel_packed_and_once(phone: WebDriver, small_host: Host) -> None:
    """A first visit asks for each runtime file once, and for a large one in its packed form only."""
    open_page(phone, small_host.address)
    folders = ("half-turn/pyodide/", "half-turn/worker/")
    runtime = [path for path in small_host.requests if path.startswith(folders)]
    assert sorted(runtime) == sorted([PACKED, "half-turn/worker/python.js"])


def test_every_page_opens_with_the_server_stopped(
    new_browser: NewBrowser, small_host: Host, book: Path, tmp_path: Path
) -> None:
    """With the server stopped each page opens, after a reload, and after the browser is closed and opened."""
    browser = new_browser(tmp_path / "profile")
    open_page(browser, small_host.address)
    small_host.stop()
    pages = [file["url"] for file in files_of(book) if file["url"].endswith(".html")]
    assert pages == ["index.html", "jobs/lip.html", "jobs/same.html"]
    browser.refresh()
    wait_kept(browser, "complete")
    browser.quit()
    browser = new_browser(tmp_path / "profile")
    for page in ["", *pages, "jobs/lip.html?from=home#steps", "?source=home-screen"]:
        open_page(browser, small_host.address + page)
        assert words_on(browser).endswith("of edition 1"), page


@pytest.mark.parametrize("prefix", ["/", "/a/handbook/"])
def test_works_at_any_depth_of_a_host(phone: WebDriver, book: Path, prefix: str) -> None:
    """A book at the root of a host, or two folders down, is kept whole and opens with the server stopped."""
    host = Host(book, prefix).start()
    open_page(phone, host.address)
    host.stop()
    open_page(phone, host.address + "jobs/lip.html")
    assert words_on(phone) == "Lip of edition 1"


CUT_AFTER: dict[str, Callable[[int, int], int]] = {
    "first file": lambda reading, everything: 0,
    "middle file": lambda reading, everything: reading // 2,
    "last page": lambda reading, everything: reading - 1,
    "last file": lambda reading, everything: everything - 1,
}


@pytest.mark.parametrize("point", CUT_AFTER)
def test_cut_install_leaves_a_whole_tier_or_none_and_goes_on(
    phone: WebDriver, small_host: Host, book: Path, point: str
) -> None:
    """A connection cut at any file leaves whole tiers only; the next visit fetches nothing that is there."""
    files = files_of(book)
    answered = CUT_AFTER[point](len(files_of(book, "reading")), len(files))
    small_host.when_asked("edition.json", lambda: small_host.answer_only(answered))
    phone.get(small_host.address)
    wait_status(phone, "There is no network now.")
    assert kept_level(phone) == ("reading" if point == "last file" else "none")
    stored = set(stored_files(phone).values())
    assert len(stored) == answered  # small files come several at a time, so which ones got through varies
    assert stored <= {file["sha256"] for file in files}
    small_host.mend()
    small_host.requests.clear()
    phone.refresh()
    wait_kept(phone, "complete")
    asked = [path.removesuffix(".packed") for path in small_host.requests]
    lacking = [file["url"] for file in files if file["sha256"] not in stored]
    assert sorted(asked[asked.index("edition.json") + 1 :]) == sorted(lacking)


@pytest.mark.parametrize("wrong", [b"not packed at all", pack(b"well packed, but another file"), b""])
def test_wrong_bytes_are_never_stored(phone: WebDriver, small_host: Host, book: Path, wrong: bytes) -> None:
    """A runtime file that is not the edition's is not stored; the page says which, and reading goes on."""
    small_host.tamper(PACKED, wrong)
    phone.get(small_host.address)
    said = wait_status(phone, "missing or damaged")
    assert f"On the host, {PACKED} is missing or damaged." in said
    assert "Pages are kept on this phone. The calculators are not yet." in said
    wasm = hash_of(book, "half-turn/pyodide/pyodide.asm.wasm")
    assert all(key.endswith(sha256) for key, sha256 in stored_files(phone).items())
    assert wasm not in stored_files(phone).values()
    small_host.mend()
    open_page(phone, small_host.address)
    assert wasm in stored_files(phone).values()


def test_cut_or_refused_runtime_file_is_never_stored(phone: WebDriver, small_host: Host, book: Path) -> None:
    """A body that breaks off half-way counts as no network, an error status as damage; neither is stored."""
    wasm = hash_of(book, "half-turn/pyodide/pyodide.asm.wasm")
    small_host.cut(PACKED)
    phone.get(small_host.address)
    wait_status(phone, "There is no network now.")
    assert wasm not in stored_files(phone).values()
    small_host.mend()
    small_host.fail(PACKED, 500)
    phone.refresh()
    wait_status(phone, "missing or damaged")
    assert wasm not in stored_files(phone).values()


@pytest.mark.parametrize("status_", [403, 404, 405, 415])
def test_a_host_that_refuses_packed_copies_gives_the_plain_files(
    phone: WebDriver, small_host: Host, book: Path, status_: int
) -> None:
    """Where no file of the packed copies' ending is sent, all is kept, each file checked by its hash."""
    packed = [file["packed"]["url"] for file in files_of(book) if "packed" in file]
    assert len(packed) > 1
    for url in packed:
        small_host.fail(url, status_)
    open_page(phone, small_host.address)
    assert set(stored_files(phone).values()) == {file["sha256"] for file in files_of(book)}


def test_behind_a_refused_packed_copy_nothing_is_believed_either(
    phone: WebDriver, small_host: Host, book: Path
) -> None:
    """A plain file that is wrong, or refused as well, is named and never stored."""
    plain = PACKED.removesuffix(".packed")
    wasm = hash_of(book, plain)
    for status_, content in ((200, b"another file"), (404, b"")):
        small_host.mend()
        small_host.fail(PACKED, 404)
        small_host.fail(plain, status_)
        small_host.tamper(plain, content)
        phone.get(small_host.address)
        assert f"On the host, {plain} is missing or damaged." in wait_status(phone, "missing or damaged")
        assert wasm not in stored_files(phone).values()


def test_sign_in_page_is_not_taken_for_the_book(phone: WebDriver, small_host: Host) -> None:
    """A network that answers everything with its own page leaves nothing, and the person is told why."""
    small_host.tamper("edition.json", b"<!doctype html><title>Sign in</title>")
    phone.get(small_host.address)
    assert "perhaps a sign-in page" in wait_status(phone, "sign-in")
    assert stored_files(phone) == {}


def test_edition_list_that_breaks_off_counts_as_no_network(phone: WebDriver, small_host: Host) -> None:
    """Half of edition.json is a broken connection, not a page of somebody else's."""
    small_host.cut("edition.json")
    phone.get(small_host.address)
    assert "sign-in" not in wait_status(phone, "There is no network now.")


def test_host_that_moves_on_during_an_install_is_followed(
    phone: WebDriver, small_host: Host, tmp_path: Path
) -> None:
    """Where the host changes editions in the middle, the newest one is installed whole."""
    two = write_small_book(tmp_path / "two", edition=2)

    def move() -> None:
        small_host.folder = two

    small_host.when_asked("index.html", move)
    open_page(phone, small_host.address)
    edition = json.loads((two / "edition.json").read_text())["edition"]
    assert edition in status(phone)
    assert set(stored_files(phone).values()) == {file["sha256"] for file in files_of(two)}
    assert small_host.requests.count("half-turn/page/keeper.js") == 2  # the page's own, and one for keeping


def test_evicted_file_is_repaired_online_and_told_offline(
    phone: WebDriver, small_host: Host, book: Path
) -> None:
    """A page that the phone threw away is fetched again, or, with no network, its place says so."""
    open_page(phone, small_host.address)
    lip = hash_of(book, "jobs/lip.html")
    forget_file(phone, lip)
    open_page(phone, small_host.address)
    assert lip in stored_files(phone).values()
    forget_file(phone, lip)
    small_host.stop()
    phone.get(small_host.address + "jobs/lip.html")
    assert heading(phone) == "This page is not on this phone now"
    said = wait_status(phone, "Some pages are missing on this phone.")
    assert f"{len(files_of(book, 'reading')) - 1} of {len(files_of(book, 'reading'))} files are here." in said
    small_host.start()
    phone.get(small_host.address + "jobs/lip.html")
    assert words_on(phone) == "Lip of edition 1"


@pytest.mark.parametrize("lost", ["files", "records"])
def test_lost_storage_is_filled_again(phone: WebDriver, small_host: Host, book: Path, lost: str) -> None:
    """Where the phone threw the files or the records away, the next visit with a network makes all whole."""
    open_page(phone, small_host.address)
    phone.execute_async_script("caches.delete(arguments[0]).then(arguments[1])", small_host.address + lost)
    small_host.requests.clear()
    phone.refresh()
    wait_kept(phone, "complete")
    assert set(stored_files(phone).values()) == {file["sha256"] for file in files_of(book)}
    fetched = [path for path in small_host.requests if path.startswith("half-turn/pyodide")]
    assert fetched == ([PACKED] if lost == "files" else [])


def test_records_are_kept_twice(phone: WebDriver, small_host: Host) -> None:
    """With the record of what is kept thrown away, its copy opens the book with the server stopped."""
    open_page(phone, small_host.address)
    records = small_host.address + "records"
    phone.execute_async_script("caches.delete(arguments[0]).then(arguments[1])", records)
    phone.execute_cdp_cmd("ServiceWorker.enable", {})
    phone.execute_cdp_cmd("ServiceWorker.stopAllWorkers", {})
    small_host.stop()
    open_page(phone, small_host.address + "jobs/lip.html")
    assert words_on(phone) == "Lip of edition 1"


def test_a_page_opened_before_the_book_is_whole_says_so(phone: WebDriver, small_host: Host) -> None:
    """With the network gone in the middle of the first install, a page in words stands in its place."""
    small_host.when_asked("edition.json", lambda: small_host.answer_only(3))
    phone.get(small_host.address)
    wait_status(phone, "There is no network now.")
    small_host.stop()
    phone.get(small_host.address + "jobs/same.html")
    assert heading(phone) == "The book is not whole on this phone yet"


def test_redirected_file_is_kept_as_a_plain_one(phone: WebDriver, small_host: Host, book: Path) -> None:
    """A page that the host answers with a redirect opens from the phone, without one."""
    (book / "moved.html").write_bytes((book / "jobs" / "lip.html").read_bytes())
    small_host.redirect("jobs/lip.html", "moved.html")
    open_page(phone, small_host.address)
    small_host.stop()
    open_page(phone, small_host.address + "jobs/lip.html")
    assert words_on(phone) == "Lip of edition 1"


def test_any_file_name_opens(phone: WebDriver, small_host: Host, book: Path) -> None:
    """A page whose name has spaces, brackets and foreign letters is kept and opens like any other."""
    (book / "jobs" / "Tür 1 (old), 50 %.html").write_bytes((book / "jobs" / "lip.html").read_bytes())
    write_edition(book, date="2026-11-20", preview=False)
    open_page(phone, small_host.address)
    small_host.stop()
    for written in ("Tür 1 (old), 50 %25.html", "T%C3%BCr%201%20%28old%29%2C%2050%20%25.html"):
        open_page(phone, f"{small_host.address}jobs/{written}")
        assert words_on(phone) == "Lip of edition 1"


def test_part_of_a_file_is_given_where_asked(phone: WebDriver, small_host: Host, book: Path) -> None:
    """A Range request gets that part of the kept file, one beyond its end is refused."""
    open_page(phone, small_host.address)
    script = """
        const [path, range, done] = arguments;
        fetch(path, {headers: {Range: range}}).then(async (answer) =>
            done([answer.status, answer.headers.get("Content-Range"), await answer.text()]));
    """
    whole = (book / "jobs" / "lip.html").read_text()
    ask: Callable[[str], object] = lambda part: phone.execute_async_script(script, "jobs/lip.html", part)  # noqa: E731
    assert ask("bytes=2-8") == [206, f"bytes 2-8/{len(whole)}", whole[2:9]]
    assert ask("bytes=-6") == [206, f"bytes {len(whole) - 6}-{len(whole) - 1}/{len(whole)}", whole[-6:]]
    assert ask("bytes=999999-") == [416, f"bytes */{len(whole)}", ""]


def test_without_a_secure_address_nothing_is_kept_and_the_page_says_so(
    phone: WebDriver, small_host: Host
) -> None:
    """Over plain http no worker can run: the book reads, and says that nothing is kept."""
    phone.get(small_host.address.replace("127.0.0.1", "dock.test") + "jobs/lip.html")
    assert wait_status(phone, "Nothing can be kept").endswith("The book needs a network.")
    assert words_on(phone) == "Lip of edition 1"
    assert kept_level(phone) == "none"


def test_ticks_stay_until_they_are_cleared(phone: WebDriver, small_host: Host) -> None:
    """A ticked step is ticked after a reload, on its own page only, until the ticks are cleared."""
    open_page(phone, small_host.address + "jobs/lip.html")
    boxes = "return [...document.querySelectorAll('ol.steps input')].map((box) => box.checked)"
    clear = "return [...document.querySelectorAll('ol.steps ~ button')].map((button) => button.hidden)"
    assert phone.execute_script(clear) == [True]
    phone.execute_script("document.querySelector('[data-step=two] input').click()")
    phone.refresh()
    wait_kept(phone, "complete")
    assert phone.execute_script(boxes) == [False, True]
    phone.get(small_host.address + "jobs/same.html")
    wait_kept(phone, "complete")
    assert phone.execute_script(boxes) == [False, False]
    phone.get(small_host.address + "jobs/lip.html")
    wait_kept(phone, "complete")
    phone.execute_script("document.querySelector('ol.steps ~ button').click()")
    assert phone.execute_script(boxes) == [False, False]
    phone.refresh()
    wait_kept(phone, "complete")
    assert phone.execute_script(boxes) == [False, False]
    assert phone.execute_script(clear) == [True]

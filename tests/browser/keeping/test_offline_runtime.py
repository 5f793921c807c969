"""What the calculators are told before they start: their files are kept, are on the network, or why not."""

from __future__ import annotations

from pathlib import Path

from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.browsers.reading import (
    kept_level,
    open_page,
    stored_files,
    wait_kept,
    wait_offer,
    wait_status,
)
from build_tools.browsers.small_book import hash_of, write_small_book
from build_tools.edition.edition import pack

WASM = "half-turn/pyodide/pyodide.asm.wasm"
READY = """
    import(new URL("half-turn/page/offline.js", document.baseURI).href)
        .then(({runtimeFilesReady}) => runtimeFilesReady())
        .then(arguments[0], (fault) => arguments[0]("refused: " + fault.code));
"""
FETCH_WASM = f"""
    fetch("{WASM}").then(async (answer) => arguments[0]([answer.status, (await answer.text()).length]));
"""

FETCH_BY_HASH = """
    const [hashes, done] = arguments;
    const get = async (hash) => {
        const answer = await fetch(new URL(`sha256/${hash}`, document.baseURI));
        return [answer.status, answer.headers.get("Content-Type"), await answer.text()];
    };
    Promise.all(hashes.map((hash) => get(hash).catch((fault) => fault.name))).then(done);
"""
FORGET_FILE = """
    const [hash, done] = arguments;
    (async () => {
        const name = (await caches.keys()).find((name) => name.endsWith("files"));
        return (await caches.open(name)).delete(new URL(`sha256/${hash}`, document.baseURI));
    })().then(done);
"""


def runtime_files(browser: WebDriver) -> str:
    """What runtimeFilesReady() comes to on the open page."""
    return str(browser.execute_async_script(READY))


def test_asked_at_once_on_a_first_visit_they_are_kept_first(phone: WebDriver, small_host: Host) -> None:
    """Asked before anything is kept, the answer waits until both tiers are, and nothing is fetched twice."""
    phone.get(small_host.address)
    assert runtime_files(phone) == "kept"
    assert kept_level(phone) == "complete"
    small_host.stop()
    assert phone.execute_async_script(FETCH_WASM) == [200, 320_000]
    assert [path for path in small_host.requests if "pyodide" in path] == [f"{WASM}.packed"]


def test_forced_reload_is_served_from_the_phone_too(phone: WebDriver, small_host: Host) -> None:
    """A page loaded past the worker is taken over by it before the calculators start."""
    open_page(phone, small_host.address)
    phone.execute_cdp_cmd("Page.reload", {"ignoreCache": True})
    wait_kept(phone, "complete")
    assert runtime_files(phone) == "kept"
    small_host.stop()
    assert phone.execute_async_script(FETCH_WASM) == [200, 320_000]


def test_asked_for_by_its_hash_it_is_that_file_or_none(
    phone: WebDriver, small_host: Host, book: Path
) -> None:
    """It is served as kept; one that is gone is fetched and verified; another hash never reaches the host."""
    small = "half-turn/words.json"
    right = (book / small).read_text(encoding="utf-8")
    open_page(phone, small_host.address)
    wait_kept(phone, "complete")
    asked = [hash_of(book, small), "0" * 64]
    small_host.requests.clear()
    expected = [[200, "application/json", right], "TypeError"]
    assert phone.execute_async_script(FETCH_BY_HASH, asked) == expected
    assert small_host.requests == []
    phone.execute_async_script(FORGET_FILE, asked[0])
    assert phone.execute_async_script(FETCH_BY_HASH, asked) == expected
    assert [path.removesuffix(".packed") for path in small_host.requests] == [small]
    phone.execute_async_script(FORGET_FILE, asked[0])
    small_host.tamper(f"{small}.packed", pack(b"another file"))
    assert phone.execute_async_script(FETCH_BY_HASH, asked) == ["TypeError", "TypeError"]


def test_nothing_is_shown_as_a_page_by_its_hash(phone: WebDriver, small_host: Host, book: Path) -> None:
    """A page has its policy from the address that it is served at; by its hash it is not to be had."""
    open_page(phone, small_host.address)
    wait_kept(phone, "complete")
    page = hash_of(book, "index.html")
    assert phone.execute_async_script(FETCH_BY_HASH, [page])[0][1] == "text/html; charset=utf-8"
    small_host.requests.clear()
    phone.get(f"{small_host.address}sha256/{page}")
    assert small_host.requests == [f"sha256/{page}"]
    assert phone.execute_script("return document.querySelectorAll('main, [data-status]').length") == 0


def test_without_a_network_the_fault_says_so(phone: WebDriver, small_host: Host) -> None:
    """With the pages kept and the network gone before the calculators came, they are refused by that name."""
    small_host.tamper(f"{WASM}.packed", b"")
    phone.get(small_host.address)
    wait_status(phone, "missing or damaged")
    small_host.stop()
    phone.refresh()
    wait_kept(phone, "reading")
    assert runtime_files(phone) == "refused: offline-not-kept"


def test_damaged_file_on_the_host_is_refused(phone: WebDriver, small_host: Host) -> None:
    """A runtime file of wrong bytes is never handed out, whichever way it is asked for."""
    small_host.tamper(f"{WASM}.packed", pack(b"another file"))
    small_host.tamper(WASM, b"another file")
    phone.get(small_host.address)
    assert runtime_files(phone) == "refused: damaged"
    assert phone.execute_async_script(FETCH_WASM) == [503, 0]


def test_host_that_has_moved_on_offers_its_edition_instead(
    phone: WebDriver, small_host: Host, tmp_path: Path
) -> None:
    """Calculators of an edition that the host has left are refused as moved; the new one is offered."""
    small_host.tamper("half-turn/calculators.json", b"")
    phone.get(small_host.address)
    wait_status(phone, "missing or damaged")
    small_host.mend()
    small_host.folder = write_small_book(tmp_path / "two", edition=2)
    phone.refresh()
    wait_offer(phone)
    assert runtime_files(phone) == "refused: moved"


def test_phone_without_room_runs_them_from_the_network_verified(
    phone: WebDriver, small_host: Host, book: Path
) -> None:
    """With storage full the pages stay kept, the status says why no more is, and the files come whole."""
    origin = {"origin": small_host.origin}
    # The pages take 215 kB, the runtime 320 kB more.
    phone.execute_cdp_cmd("Storage.overrideQuotaForOrigin", {**origin, "quotaSize": 400_000})
    phone.get(small_host.address)
    said = wait_status(phone, "This phone has no room left for the rest.")
    assert "Pages are kept on this phone. The calculators are not yet." in said
    assert runtime_files(phone) == "network"
    assert hash_of(book, WASM) not in stored_files(phone).values()
    assert phone.execute_async_script(FETCH_WASM) == [200, 320_000]
    phone.execute_cdp_cmd("Storage.overrideQuotaForOrigin", origin)
    open_page(phone, small_host.address)


def test_where_no_worker_can_run_they_come_from_the_network(phone: WebDriver, small_host: Host) -> None:
    """Over plain http from another machine the answer comes at once: the network."""
    phone.get(small_host.address.replace("127.0.0.1", "dock.test"))
    assert runtime_files(phone) == "network"

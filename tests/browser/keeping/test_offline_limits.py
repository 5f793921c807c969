"""Browsers that cannot do all of it: the book reads, and a sentence says what does not work."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.browsers.engines import CHROMIUM_FLAGS
from build_tools.browsers.host import Host
from build_tools.browsers.reading import (
    kept_level,
    open_page,
    status,
    wait_kept,
    wait_status,
    waiting,
    words_on,
)
from tests.browser.conftest import NewBrowser
from tests.browser.keeping.test_offline_book import logged

CALCULATOR_PAGE = "procedures/time-the-lip-fold.html"
BLOCK = 2
"""The browser's own number for it."""
NOTHING_KEPT = "Nothing can be kept on this phone"
NOT_WRITTEN = "What you write and tick is not kept"
NO_WORKER = "delete Navigator.prototype.serviceWorker;"
NO_STORAGE = """
    for (const name of ["localStorage", "sessionStorage", "indexedDB"]) {
        Object.defineProperty(window, name, {get() { throw new DOMException("Access is denied."); }});
    }
"""
LACKS = {
    "no service worker": (NO_WORKER, NOTHING_KEPT),
    "no service worker and no storage": (NO_WORKER + NO_STORAGE, NOT_WRITTEN),
    "no locks": ("delete Navigator.prototype.locks;", NOTHING_KEPT),
    "a worker that may not be registered": (
        "ServiceWorkerContainer.prototype.register = () => Promise.reject(new DOMException('not allowed'));",
        NOTHING_KEPT,
    ),
    "no WebAssembly": ("delete window.WebAssembly;", "The calculators do not run in this browser"),
}


@contextmanager
def lacking(browser: WebDriver, script: str) -> Iterator[None]:
    """Run a script before any of a page's own, in every page opened within the block."""
    browser.execute_cdp_cmd("Page.enable", {})
    added = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    try:
        yield
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)


@pytest.mark.parametrize("lack", LACKS)
def test_what_a_browser_lacks_is_said(phone: WebDriver, small_host: Host, lack: str) -> None:
    """Without one of its parts the page opens, and the line about keeping says what does not work."""
    script, sentence = LACKS[lack]
    with lacking(phone, script):
        phone.get(small_host.address + "jobs/lip.html")
        wait_status(phone, sentence)
        assert words_on(phone) == "Lip of edition 1"


def test_blocked_storage_says_what_it_forgets(phone: WebDriver, small_host: Host) -> None:
    """Where a page may store nothing itself the worker still keeps the book; the details name the loss."""
    with lacking(phone, NO_STORAGE):
        open_page(phone, small_host.address + "jobs/lip.html")
        phone.execute_script("document.querySelector('[data-step=two] input').click()")
        assert words_on(phone) == "Lip of edition 1"
        waiting(phone, 10).until(lambda _: NOT_WRITTEN in details(phone))


def details(browser: WebDriver) -> str:
    """What stands folded at the foot of the page."""
    script = "return document.querySelector('[data-details=kept]')?.textContent ?? ''"
    return str(browser.execute_script(script))


def test_a_browser_that_cannot_unpack_takes_the_plain_files(phone: WebDriver, small_host: Host) -> None:
    """Without DecompressionStream the plain copies are fetched, checked and kept."""
    worker = (small_host.folder / "service-worker.js").read_bytes()
    small_host.tamper("service-worker.js", b"delete self.DecompressionStream;\n" + worker)
    open_page(phone, small_host.address)
    runtime = [path for path in small_host.collected if "pyodide" in path]
    assert runtime == ["half-turn/pyodide/pyodide.asm.wasm"]


def test_a_worker_that_does_not_come_leaves_the_pages_readable(phone: WebDriver, small_host: Host) -> None:
    """Where the host does not send the worker's file, the page says that nothing can be kept."""
    small_host.fail("service-worker.js", 404)
    phone.get(small_host.address)
    wait_status(phone, NOTHING_KEPT)
    assert words_on(phone) == "Home of edition 1"


def test_a_network_that_breaks_before_the_worker_came_is_called_that(
    phone: WebDriver, small_host: Host
) -> None:
    """With the connection cut in the worker's file the page says so, and begins again when it is back."""
    small_host.when_asked("service-worker.js", lambda: small_host.answer_only(0))
    phone.get(small_host.address)
    told = wait_status(phone, "There is no network now.")
    assert told.startswith("The book is not kept on this phone yet.")
    small_host.mend()
    phone.execute_script("window.dispatchEvent(new Event('online'))")
    wait_kept(phone, "complete")


def test_without_its_sentences_a_page_shows_no_codes(phone: WebDriver, small_host: Host) -> None:
    """With the file of sentences cut off the line stays as the page has it, rather than naming a code."""
    small_host.cut("half-turn/words.json")
    phone.get(small_host.address + "jobs/lip.html")
    waiting(phone, 20).until(lambda _: len(small_host.collected) > 0)
    assert status(phone) == ""
    assert words_on(phone) == "Lip of edition 1"


def test_no_room_for_anything_is_said(phone: WebDriver, small_host: Host) -> None:
    """On a phone that has no room at all the page reads, and says that there is none."""
    origin = {"origin": small_host.origin}
    phone.execute_cdp_cmd("Storage.overrideQuotaForOrigin", {**origin, "quotaSize": 1000})
    phone.get(small_host.address)
    said = wait_status(phone, "This phone has no room left for the rest.")
    assert said.startswith("The book is not kept on this phone yet.")
    assert (words_on(phone), kept_level(phone)) == ("Home of edition 1", "none")
    phone.execute_cdp_cmd("Storage.overrideQuotaForOrigin", origin)


def test_a_private_window_keeps_the_book_and_says_for_how_long(
    new_browser: NewBrowser, small_host: Host, tmp_path: Path
) -> None:
    """In a private window all works, and the details say that closing it ends the keeping."""
    browser = new_browser(tmp_path / "profile", "--incognito")
    open_page(browser, small_host.address)
    ends = "A private window does so when you close it."
    waiting(browser, 10).until(lambda _: ends in details(browser))
    small_host.stop()
    open_page(browser, small_host.address + "jobs/lip.html")
    assert words_on(browser) == "Lip of edition 1"


@pytest.fixture
def blocking() -> Iterator[Callable[..., WebDriver]]:
    """A function that starts a Chromium whose settings block cookies, that is all storage, or JavaScript."""
    opened: list[WebDriver] = []

    def start(profile: Path, *blocked: str) -> WebDriver:
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium") or "chromium"
        for flag in (*CHROMIUM_FLAGS, f"--user-data-dir={profile}"):
            options.add_argument(flag)
        prefix = "profile.default_content_setting_values"
        options.add_experimental_option("prefs", {f"{prefix}.{what}": BLOCK for what in blocked})
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        service = webdriver.ChromeService(shutil.which("chromedriver"))
        opened.append(webdriver.Chrome(options=options, service=service))
        return opened[-1]

    yield start
    for browser in opened:
        browser.quit()


def test_storage_blocked_by_the_browsers_own_setting(
    blocking: Callable[..., WebDriver], host: Host, tmp_path: Path
) -> None:
    """With all site data blocked for real no script of the book ends in an error, and the page says it."""
    browser = blocking(tmp_path, "cookies")
    browser.get(host.address)
    said = wait_status(browser, NOTHING_KEPT)
    assert NOT_WRITTEN in said
    assert logged(browser) == []


def test_scripts_blocked_by_the_browsers_own_setting(
    blocking: Callable[..., WebDriver], host: Host, tmp_path: Path
) -> None:
    """With JavaScript off the real book reads, and after a while two sentences say what does not work."""
    browser = blocking(tmp_path, "javascript")
    browser.get(host.address + CALCULATOR_PAGE)
    assert browser.find_element(By.CSS_SELECTOR, "[data-needs=serving]").is_displayed()
    line = browser.find_element(By.CSS_SELECTOR, ".ht-untold")
    waiting(browser, 10).until(lambda _: line.is_displayed())
    assert line.text.startswith("What is kept on this phone is not told yet.")
    assert not browser.find_element(By.CSS_SELECTOR, ".ht-from-disk").is_displayed()


ASK_KEEPER = """
    const [message, done] = arguments;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    navigator.serviceWorker.controller.postMessage(null);  // nothing to answer to, and nothing that breaks
    navigator.serviceWorker.controller.postMessage(message, [port2]);
"""


@pytest.mark.parametrize("name", ["__proto__", "__defineGetter__", "constructor", "no-such-job"])
def test_a_message_that_names_no_job_is_only_told_how_things_stand(
    phone: WebDriver, small_host: Host, name: str
) -> None:
    """Names that every object has are no job of the keeper, and no tier: nothing kept changes."""
    open_page(phone, small_host.address)
    told = phone.execute_async_script(ASK_KEEPER, {"type": name})
    assert told["fault"] is None
    edition = told["standing"]["current"]["edition"]
    step = {"type": "step", "edition": edition, "tiers": [name]}
    refused = phone.execute_async_script(ASK_KEEPER, step)
    assert refused["fault"]["code"] == "moved"
    assert refused["standing"]["current"]["kept"] == ["reading", "calculators"]


def test_an_address_with_a_stray_percent_sign_is_no_page(phone: WebDriver, small_host: Host) -> None:
    """With no network, too, it is said in words that the book has no such page, and the way home works."""
    open_page(phone, small_host.address)
    small_host.stop()
    phone.get(small_host.address + "jobs/lip%.html")
    wait_kept(phone, "complete")
    assert phone.execute_script("return document.documentElement.dataset.notice") == "not-in-edition"


NO_MODULES = "window.Worker = function () { throw new TypeError(); };"
CANNOT_START = {
    "no WebAssembly": (f"delete window.WebAssembly; {NO_MODULES}", "The calculators do not run in this"),
    "no module workers": (NO_MODULES, "The calculators did not start."),
}


@pytest.mark.parametrize("lack", CANNOT_START)
def test_calculators_that_cannot_start_say_so(phone: WebDriver, host: Host, lack: str) -> None:
    """Where Python cannot run, the sheet says so and what still holds; the page above it is whole."""
    script, sentence = CANNOT_START[lack]
    with lacking(phone, NO_WORKER + script):
        phone.get(host.address + CALCULATOR_PAGE)
        line = phone.find_element(By.CSS_SELECTOR, "[data-status=runtime] [data-text]")
        waiting(phone, 20).until(lambda _: sentence in line.text)
        assert "table below" in line.text
        again = phone.find_element(By.CSS_SELECTOR, "[data-status=runtime] [data-act=restart]")
        assert again.is_displayed() == (lack != "no WebAssembly")

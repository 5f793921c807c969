"""What every browser test needs: the book's host, and a Chromium of phone size with a profile of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from _pytest.terminal import TerminalReporter
from selenium import webdriver

from build_tools.browsers.engines import PHONE, open_chromium
from build_tools.browsers.host import Host
from build_tools.browsers.small_book import write_small_book
from tests.browser.work_sheet import START_S, faults_told, open_sheet, wait_runtime

OTHER_ENGINES = {"test_webkit": "WebKit", "test_firefox": "Firefox"}
DOCK = "--host-resolver-rules=MAP dock.test 127.0.0.1"
"""Plain http under a name is no secure address, as 127.0.0.1 is."""
NewBrowser = Callable[..., webdriver.Chrome]
"""new_browser(profile folder, *further flags)"""


@pytest.fixture
def new_browser() -> Iterator[NewBrowser]:
    """A function that starts a browser on a profile folder; whatever is still open is closed at the end."""
    opened: list[webdriver.Chrome] = []

    def start(profile: Path, *flags: str) -> webdriver.Chrome:
        browser = open_chromium(profile, *flags)
        opened.append(browser)
        return browser

    yield start
    for browser in opened:
        process = browser.service.process
        if process is not None and process.poll() is None:  # not closed by the test itself
            browser.quit()


@pytest.fixture(scope="session")
def shared_browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """One browser for every test that does not restart it; it reaches hosts as dock.test too."""
    browser = open_chromium(tmp_path_factory.mktemp("phone"), DOCK)
    yield browser
    browser.quit()


@pytest.fixture
def phone(shared_browser: webdriver.Chrome) -> Iterator[webdriver.Chrome]:
    """The shared browser with one empty tab. A host on a port of its own finds nothing kept there."""
    yield shared_browser
    first, *others = shared_browser.window_handles
    for tab in others:
        shared_browser.switch_to.window(tab)
        shared_browser.close()
    shared_browser.switch_to.window(first)
    shared_browser.get("about:blank")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Edition 1 of the small book."""
    return write_small_book(tmp_path / "one")


@pytest.fixture
def small_host(book: Path) -> Iterator[Host]:
    """Edition 1, served under /handbook/."""
    host = Host(book).start()
    yield host
    host.stop()


@pytest.fixture
def host(site: Path) -> Iterator[Host]:
    """The real book, served under /handbook/."""
    host = Host(site).start()
    yield host
    host.stop()


@pytest.fixture(scope="session")
def address(site: Path) -> Iterator[str]:
    """Where the real book is served as long as there are tests, to whoever leaves its host alone."""
    host = Host(site).start()
    yield host.address
    host.stop()


@pytest.fixture(scope="session")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """The one Chromium that reads the real book at `address`, and keeps the book and its Python."""
    opened = open_chromium(tmp_path_factory.mktemp("reader"))
    opened.set_script_timeout(START_S)
    yield opened
    opened.quit()


@pytest.fixture(scope="module")
def browser(reader: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The reader's Chromium for the tests of one file: a new tab, and nothing that was written before."""
    old = reader.window_handles
    reader.switch_to.new_window("tab")
    new = reader.current_window_handle
    for tab in old:
        reader.switch_to.window(tab)
        reader.close()
    reader.switch_to.window(new)
    written = {"origin": address.removesuffix("/handbook/"), "storageTypes": "local_storage"}
    reader.execute_cdp_cmd("Storage.clearDataForOrigin", written)
    reader.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    faults_told(reader)
    return reader


@pytest.fixture(scope="module")
def page(browser: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The file's browser on the fold-time sheet of the real book, its Python ready."""
    open_sheet(browser, address, "fold-time")
    wait_runtime(browser)
    return browser


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """Say how many browser tests really ran in which engine."""
    ran: Counter[str] = Counter()
    for outcome in ("passed", "failed", "skipped"):
        for report in terminalreporter.stats.get(outcome, []):
            if not report.nodeid.startswith("tests/browser/"):
                continue
            engine = next((name for part, name in OTHER_ENGINES.items() if part in report.nodeid), "Chromium")
            ran[f"left out in {engine}" if outcome == "skipped" else engine] += 1
    if ran:
        told = ", ".join(f"{count} {what}" for what, count in sorted(ran.items()))
        terminalreporter.write_line(f"Browser tests by engine: {told}")

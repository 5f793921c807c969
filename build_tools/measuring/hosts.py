"""Hosts and browsers for the measurements: a plain static host, and new browsers of each engine on it."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler
from pathlib import Path
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver as Chrome
from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.browsers.engines import open_chromium, webkit
from build_tools.browsers.firefox import Firefox, firefox
from build_tools.browsers.needed import FIREFOX, WEBKIT
from build_tools.edition.serving import ADDRESS, TYPES, LocalServer

PATIENCE_S = 180

Browser = WebDriver | Firefox
NewBrowser = Callable[[], AbstractContextManager[Browser]]
"""A browser that has never been anywhere, for the time of a block."""


class FileHandler(SimpleHTTPRequestHandler):
    """Sends files as a plain static host does: no compression, cached for ten minutes."""

    extensions_map = TYPES

    def end_headers(self) -> None:
        """Let the browser keep what it got for a while, as static hosts do."""
        self.send_header("Cache-Control", "max-age=600")
        super().end_headers()

    def log_message(self, format: str, *arguments: Any) -> None:
        """Say nothing."""


@contextmanager
def hosted(folder: Path) -> Iterator[str]:
    """Serve a folder for the time of the block; gives its address."""
    with LocalServer((ADDRESS, 0), partial(FileHandler, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        yield f"http://{ADDRESS}:{server.server_address[1]}/"
        server.shutdown()


@contextmanager
def new_chromium(profile: Path) -> Iterator[Chrome]:
    """Open a Chromium with an empty profile of its own for the time of the block."""
    browser = open_chromium(profile)
    try:
        yield browser
    finally:
        browser.quit()
        shutil.rmtree(profile, ignore_errors=True)


@contextmanager
def new_firefox(profile: Path) -> Iterator[Firefox]:
    """Open a Firefox with an empty profile of its own for the time of the block."""
    try:
        with firefox(profile) as browser:
            yield browser
    finally:
        shutil.rmtree(profile, ignore_errors=True)


def engines(scratch: Path) -> dict[str, NewBrowser]:
    """Return the engines that are on this machine."""
    found: dict[str, NewBrowser] = {"Chromium": lambda: new_chromium(scratch / "profile")}
    if WEBKIT.is_there():
        found["WebKitGTK"] = webkit
    if FIREFOX.is_there():
        found["Firefox"] = lambda: new_firefox(scratch / "firefox")
    return found


def wait_until(browser: Browser, script: str) -> None:
    """Wait until a script gives true. Raises TimeoutError."""
    end = time.monotonic() + PATIENCE_S
    while not browser.execute_script(script):
        if time.monotonic() > end:
            raise TimeoutError(script)
        time.sleep(0.1)

"""How soon a page can be read and its calculator used, in the same Chromium as a bare loadPyodide page."""

from __future__ import annotations

import shutil
import statistics
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from http.server import SimpleHTTPRequestHandler
from pathlib import Path
from typing import Any

from selenium import webdriver
from selenium.webdriver.chrome.service import Service

from build_tools.commands.browsers import BROWSERS, CHROMIUM_DRIVER
from build_tools.commands.desk_host import ADDRESS, TYPES, DeskServer
from build_tools.vendor.refresh import AS_THEY_ARE, FOLDER, LOCK

CALCULATOR_PAGE = "procedures/time-the-lip-fold.html"
LATER_VISITS = 2
PATIENCE_S = 120
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--window-size=390,844",
)
QUIET = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
)
NOTE_READY = """
new MutationObserver(() => {
  if (document.documentElement?.dataset.runtime === "ready") window.readyAt ??= performance.now();
}).observe(document, {attributes: true, childList: true, subtree: true, attributeFilter: ["data-runtime"]});
"""
BARE_PAGE = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Bare runtime</title>
<script type="module">
import { loadPyodide } from "./pyodide.mjs";
const python = await loadPyodide();
python.runPython("1 + 1");
document.documentElement.dataset.runtime = "ready";
</script></html>
"""
SENT = """
const entries = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")];
return entries.reduce((sum, entry) => sum + entry.encodedBodySize, 0);
"""


@dataclass(frozen=True, slots=True)
class Ready:
    """Median seconds from opening a page to its runtime being ready."""

    first: float
    later: float


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
    with DeskServer((ADDRESS, 0), partial(FileHandler, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        yield f"http://{ADDRESS}:{server.server_address[1]}/"
        server.shutdown()


@contextmanager
def chromium(profile: Path) -> Iterator[webdriver.Chrome]:
    """Open a Chromium with a profile of its own for the time of the block."""
    options = webdriver.ChromeOptions()
    options.binary_location = next(found for name in BROWSERS if (found := shutil.which(name)))
    for flag in (*FLAGS, *QUIET, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    browser = webdriver.Chrome(options=options, service=Service(shutil.which(CHROMIUM_DRIVER)))
    browser.set_page_load_timeout(PATIENCE_S)
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": NOTE_READY})
    try:
        yield browser
    finally:
        browser.quit()
        shutil.rmtree(profile, ignore_errors=True)


def write_stock_runtime(folder: Path) -> Path:
    """Write a page that does nothing but start the runtime as its package brings it."""
    folder.mkdir()
    for name in (*AS_THEY_ARE, LOCK):
        shutil.copy(FOLDER / name, folder / name)
    (folder / "index.html").write_text(BARE_PAGE, encoding="utf-8")
    return folder


def first_reading_bytes(site: Path, scratch: Path) -> int:
    """Return the bytes that the start page and what it loads take on a first visit, until it has loaded."""
    with hosted(site) as address, chromium(scratch / "reader") as browser:
        browser.get(f"{address}index.html")
        return int(browser.execute_script(SENT))


def ready_seconds(ours: Path, stock: Path, scratch: Path, *, visits: int) -> dict[str, Ready]:
    """Visit both pages in turns, each time for the first time in a new profile, then again; medians in s."""
    first: dict[str, list[float]] = {"ours": [], "stock": []}
    later: dict[str, list[float]] = {"ours": [], "stock": []}
    with hosted(ours) as our_address, hosted(stock) as stock_address:
        pages = {"ours": f"{our_address}{CALCULATOR_PAGE}", "stock": f"{stock_address}index.html"}
        for _ in range(visits):
            for name, page in pages.items():
                with chromium(scratch / "visitor") as browser:
                    first[name].append(seconds_to_ready(browser, page))
                    if name == "ours":
                        wait_until(browser, "return document.documentElement.dataset.offline === 'complete'")
                    for _ in range(LATER_VISITS):
                        later[name].append(seconds_to_ready(browser, page))
    return {name: Ready(statistics.median(first[name]), statistics.median(later[name])) for name in pages}


def seconds_to_ready(browser: webdriver.Chrome, page: str) -> float:
    """Open a page anew and return the time from there until its runtime is ready, in s."""
    browser.get("about:blank")
    browser.get(page)
    wait_until(browser, "return window.readyAt !== undefined")
    return float(browser.execute_script("return window.readyAt")) / 1000


def wait_until(browser: webdriver.Chrome, script: str) -> None:
    """Wait until a script gives true. Raises TimeoutError."""
    end = time.monotonic() + PATIENCE_S
    while not browser.execute_script(script):
        if time.monotonic() > end:
            raise TimeoutError(script)
        time.sleep(0.1)

"""A first look at one procedure: bytes and largest paint, beside plain Material on the same Markdown."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.measuring.hosts import hosted, new_chromium, wait_until
from build_tools.measuring.row import Row
from build_tools.measuring.sizes import gzipped

PROCEDURE = "procedures/make-the-dock-safe.html"
MOST = 1.15
WATCH_PAINT = """
new PerformanceObserver((list) => (window.painted = list.getEntries().at(-1).startTime))
    .observe({ type: "largest-contentful-paint", buffered: true });
"""
LOADED = """
const entries = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")];
return entries.map(({ name }) => name);
"""


def rows(site: Path, stock_site: Path, scratch: Path, *, times: int) -> Iterator[Row]:
    """Return what a first view loads and when its largest part is painted: medians over new browsers."""
    found: dict[str, list[tuple[int, float]]] = {"ours": [], "stock": []}
    with hosted(site) as ours, hosted(stock_site) as stock:
        sides = {"ours": (ours, site), "stock": (stock, stock_site)}
        for _ in range(times):
            for name, (address, folder) in sides.items():
                with new_chromium(scratch / "profile") as browser:
                    found[name].append(first_view(browser, address, folder))
    sizes = {name: statistics.median(size for size, _ in views) for name, views in found.items()}
    paints = {name: statistics.median(paint for _, paint in views) for name, views in found.items()}
    what = "first view of a procedure"
    yield Row(f"{what}, gzipped", sizes["ours"] / 1e3, "kB", sizes["stock"] / 1e3, 0, ratio_most=MOST)
    yield Row(f"{what}, largest paint", paints["ours"], "ms", paints["stock"], 0, ratio_most=MOST)


def first_view(browser: WebDriver, address: str, folder: Path) -> tuple[int, float]:
    """Open the procedure; return the gzipped size of all that the page loads, and its largest paint in ms."""
    browser.get(f"{address}{PROCEDURE}")
    browser.execute_script(WATCH_PAINT)
    wait_until(browser, "return document.readyState === 'complete' && window.painted !== undefined")
    paths = {unquote(urlsplit(name).path).lstrip("/") for name in browser.execute_script(LOADED)}
    size = sum(gzipped(folder / path) for path in paths if (folder / path).is_file())
    return size, float(browser.execute_script("return window.painted"))

"""How soon a calculator is ready, beside a bare page that calls loadPyodide in the same engine and run."""

from __future__ import annotations

import shutil
import statistics
import time
from collections.abc import Iterator
from pathlib import Path

from build_tools.measuring.hosts import Browser, engines, hosted, wait_until
from build_tools.measuring.row import Row
from build_tools.vendor.refresh import AS_THEY_ARE, FOLDER, LOCK

CALCULATOR_PAGE = "procedures/time-the-lip-fold.html"
LATER_VISITS = 3
SETTLED_S = 5
"""A later visit does not begin while the device still writes down what the first one left."""
BETWEEN_S = 2
"""Nobody opens the page again in the moment in which it is left: its compilers are still at work then."""
FIRST_MOST = 1.05
LATER_MOST = 0.25
BARE_PAGE = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Bare runtime</title>
<script type="module">
import { loadPyodide } from "./pyodide.mjs";
const python = await loadPyodide();
python.runPython("1 + 1");
performance.mark("ready");
document.documentElement.dataset.runtime = "ready";
</script></html>
"""
READY = "return document.documentElement.dataset.runtime === 'ready'"
REST = """
const { offline, start, memory } = document.documentElement.dataset;
return offline === "complete" && (start === "memory" || memory !== undefined);
"""
READY_AT = "return performance.getEntriesByName('ready')[0].startTime"


def rows(site: Path, scratch: Path, *, times: int) -> Iterator[Row]:
    """Return first and later starts in each engine, the later ones beside stock's first and later ones."""
    stock_page = write_stock_runtime(scratch / "bare")
    with hosted(site) as ours, hosted(stock_page) as stock:
        pages = {"ours": f"{ours}{CALCULATOR_PAGE}", "stock": f"{stock}index.html"}
        for engine, new_browser in engines(scratch).items():
            seconds: dict[tuple[str, bool], list[float]] = {}
            for _ in range(times):
                for name, page in pages.items():
                    with new_browser() as browser:
                        seconds.setdefault((name, True), []).append(ready_seconds(browser, page))
                        if name == "ours":
                            wait_until(browser, REST)
                        time.sleep(SETTLED_S)
                        later = [ready_again_seconds(browser, page) for _ in range(LATER_VISITS)]
                        seconds.setdefault((name, False), []).extend(later)
            medians = {key: statistics.median(found) for key, found in seconds.items()}
            first, later_start = medians["ours", True], medians["ours", False]
            start = f"page open to calculator ready, {engine}"
            stock_first, stock_later = medians["stock", True], medians["stock", False]
            yield Row(f"{start}, first", first, "s", stock_first, ratio_most=FIRST_MOST)
            for against, stock_start in (("first", stock_first), ("later", stock_later)):
                what = f"{start}, later; beside stock's {against}"
                yield Row(what, later_start, "s", stock_start, ratio_most=LATER_MOST)


def write_stock_runtime(folder: Path) -> Path:
    """Write a page that does nothing but start the runtime as its package brings it."""
    folder.mkdir()
    for name in (*AS_THEY_ARE, LOCK):
        shutil.copy(FOLDER / name, folder / name)
    (folder / "index.html").write_text(BARE_PAGE, encoding="utf-8")
    return folder


def ready_again_seconds(browser: Browser, page: str) -> float:
    """Leave the page, wait a moment, and give how long it takes until it is ready again, in s."""
    browser.get("about:blank")
    time.sleep(BETWEEN_S)
    return ready_seconds(browser, page)


def ready_seconds(browser: Browser, page: str) -> float:
    """Open a page anew and return the time from there until its runtime is ready, in s."""
    browser.get("about:blank")
    browser.get(page)
    wait_until(browser, READY)
    return float(browser.execute_script(READY_AT)) / 1000

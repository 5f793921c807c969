"""Measure sizes and times beside the stock tools on the same machine, and write the table."""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from build_tools.commands.bench_build import build_seconds, write_stock_book
from build_tools.commands.bench_pages import first_reading_bytes, ready_seconds, write_stock_runtime
from build_tools.commands.bench_sizes import edition_bytes, package_bytes, packed_bytes, stock_runtime_bytes
from build_tools.commands.browsers import ensure_chromium
from build_tools.commands.build import build_book
from build_tools.commands.environment import PROJECT
from build_tools.commands.verbs import say

TABLE = PROJECT / "build_tools" / "bench.md"
HEADER = """\
# Measured beside the stock tools

Written by `python3 -m build_tools bench`. Times are medians; ours and stock took turns in one run.
Stock book: plain Material for MkDocs on the same Markdown.
Stock runtime: a bare page that calls `loadPyodide`.
Sizes are what a host sends that does not compress by itself, ours packed by the build; stock sizes are given
gzipped, as a good host would send them, so the comparison favours stock.

{machine}

| what | ours | stock | ours / stock |
| --- | ---: | ---: | ---: |
"""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    what: str
    ours: float
    stock: float
    unit: str
    digits: int = 2

    def text(self) -> str:
        """The line as Markdown."""
        ours = f"{self.ours:.{self.digits}f} {self.unit}"
        stock = f"{self.stock:.{self.digits}f} {self.unit}"
        return f"| {self.what} | {ours} | {stock} | {self.ours / self.stock:.2f} |"


def run(arguments: Sequence[str]) -> int:
    """Measure everything, print the table and write it to build_tools/bench.md."""
    parser = argparse.ArgumentParser(prog="build_tools bench", description=__doc__)
    parser.add_argument("--builds", type=int, default=3, help="builds of each book (default: 3)")
    parser.add_argument("--visits", type=int, default=5, help="first visits of each page (default: 5)")
    wanted = parser.parse_args(arguments)
    ensure_chromium(say)
    before = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    with tempfile.TemporaryDirectory(prefix="half-turn-bench-") as scratch:
        rows = list(measure(Path(scratch), builds=wanted.builds, visits=wanted.visits))
    text = HEADER.format(machine=machine(before)) + "\n".join(row.text() for row in rows) + "\n"
    TABLE.write_text(text, encoding="utf-8")
    print(text)
    return 0


def measure(scratch: Path, *, builds: int, visits: int) -> Iterable[Row]:
    """Give the rows of the table, measuring each when it is asked for."""
    say(f"Building each book {builds} times")
    stock_book = write_stock_book(PROJECT, scratch / "stock-book")
    yield Row(
        "build of the book, mkdocs and all", *build_seconds(PROJECT, stock_book, scratch, times=builds), "s"
    )
    site = build_book(PROJECT, scratch / "site").folder
    stock_site = scratch / "stock-site"
    ours, stock = package_bytes(PROJECT / "build_tools/requirements/book.txt", "mkdocs-material")
    yield Row("installed packages", ours / 1e6, stock / 1e6, "MB", 1)
    say("Opening the start page")
    ours, stock = first_reading_bytes(site, scratch), first_reading_bytes(stock_site, scratch)
    yield Row("start page, first visit, as sent without compression", ours / 1e3, stock / 1e3, "kB", 0)
    reading, everything = edition_bytes(site)
    plain = packed_bytes(stock_site)
    yield Row("every page and the search, on the phone", reading / 1e6, plain / 1e6, "MB")
    yield Row(
        "everything, calculators included", everything / 1e6, (plain + stock_runtime_bytes()) / 1e6, "MB"
    )
    say(f"Opening a calculator {visits} times for the first time, each followed by later visits")
    times = ready_seconds(site, write_stock_runtime(scratch / "bare"), scratch, visits=visits)
    yield Row("page open to calculator ready, first visit", times["ours"].first, times["stock"].first, "s")
    yield Row("page open to calculator ready, later visits", times["ours"].later, times["stock"].later, "s")


def machine(load: float) -> str:
    """Say what it was measured on, and how busy that was."""
    system = f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors"
    return f"Measured with Python {platform.python_version()} on {system}, load at the start {load:.1f}."

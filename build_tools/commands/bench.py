"""Measure sizes and times beside the stock tools on the same machine, and write the table."""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from build_tools.browsers.needed import ensure_chromium
from build_tools.commands.verbs import say
from build_tools.measuring import answers as bench_answers
from build_tools.measuring import builds as bench_build
from build_tools.measuring import sizes as bench_sizes
from build_tools.measuring import starts as bench_start
from build_tools.measuring import views as bench_view
from build_tools.measuring.row import HEAD, Row
from build_tools.places import PROJECT
from build_tools.site.building import build_book

TABLE = PROJECT / "build_tools" / "measuring" / "bench.md"
HEADER = """\
# Measured beside the stock tools

Written by `python3 -m build_tools bench`.
Times are medians over {times} runs, ours and stock in turns.
"Later" counts three visits a run, from 5 s after the first has come to rest and 2 s apart.
The book of 1,000 pages is built once.
A first build has nothing kept from builds before; between two builds a page is changed, in stock too.
Stock book: plain Material for MkDocs on the same Markdown.
Stock runtime: a bare page that calls `loadPyodide`.
Sizes are what is sent: ours as the build packs it, without the host's help; stock's gzipped at level 9.

{machine}

"""


def run(arguments: Sequence[str]) -> int:
    """Measure what is asked for and print the table; with everything measured, write measuring/bench.md."""
    parser = argparse.ArgumentParser(prog="build_tools bench", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"only these: {', '.join(PARTS)}")
    parser.add_argument("--times", type=int, default=5, help="runs of each (default: 5)")
    wanted = parser.parse_args(arguments)
    if unknown := set(wanted.parts) - set(PARTS):
        parser.error(f"no part is called {', '.join(sorted(unknown))}; there are {', '.join(PARTS)}")
    ensure_chromium(say)
    before = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    with tempfile.TemporaryDirectory(prefix="half-turn-bench-") as scratch:
        rows = list(measure(Path(scratch), wanted.parts or list(PARTS), times=wanted.times))
    text = HEADER.format(machine=machine(before), times=wanted.times)
    text += HEAD + "\n".join(row.text() for row in rows) + "\n"
    if not wanted.parts:
        TABLE.write_text(text, encoding="utf-8")
    print(text)
    return 0


def measure(scratch: Path, parts: Sequence[str], *, times: int) -> Iterator[Row]:
    """Give the rows of the parts, measuring each when it is asked for."""
    say("Building the book")
    site = build_book(PROJECT, scratch / "site").folder
    for part in parts:
        say(f"Measuring: {part}")
        place = scratch / part
        place.mkdir()
        yield from PARTS[part](site, place, times)


def _view(site: Path, scratch: Path, times: int) -> Iterator[Row]:
    stock = bench_build.write_stock_book(PROJECT, scratch / "stock")
    bench_build.build_apart(stock, scratch / "stock-site")
    return bench_view.rows(site, scratch / "stock-site", scratch, times=times)


PARTS: dict[str, Callable[[Path, Path, int], Iterator[Row]]] = {
    "sizes": lambda site, scratch, times: bench_sizes.rows(site),
    "start": lambda site, scratch, times: bench_start.rows(site, scratch, times=times),
    "answers": lambda site, scratch, times: bench_answers.rows(site, scratch, times=times),
    "view": _view,
    "build": lambda site, scratch, times: bench_build.rows(PROJECT, scratch, times=times),
}
"""What can be measured by itself, in the order of the table."""


def machine(load: float) -> str:
    """Say what it was measured on, and how busy that was."""
    system = f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors"
    return f"Measured with Python {platform.python_version()} on {system}, load at the start {load:.1f}."

"""Measure sizes and times beside the stock tools on the same machine; show each row, and write the table."""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from build_tools.browsers.needed import ensure_chromium
from build_tools.commands.verbs import say
from build_tools.measuring import answers as bench_answers
from build_tools.measuring import builds as bench_build
from build_tools.measuring import sizes as bench_sizes
from build_tools.measuring import starts as bench_start
from build_tools.measuring import views as bench_view
from build_tools.measuring import visits as bench_visits
from build_tools.measuring.row import HEAD, Row
from build_tools.places import PROJECT
from build_tools.site.building import build_book

TABLE = PROJECT / "build_tools" / "measuring" / "bench.md"
HEADER = """\
# Measured beside the stock tools

Written by `python3 -m build_tools bench`.
Times are medians over {times} runs, ours and stock in turns.
"Later" counts three visits a run, from 5 s after the first has come to rest and 2 s apart.
The book of 1,000 pages, measured where it is asked for (`--huge`), is built once.
A first build has nothing kept from builds before; between two builds a page is changed, in stock too.
Stock book: plain Material for MkDocs on the same Markdown.
Stock runtime: a bare page that calls `loadPyodide`.
Sizes are what is sent: ours as the build packs it, without the host's help; stock's gzipped at level 9.

{machine}

"""


class Asked(NamedTuple):
    """How often each thing is measured, and whether the book of 1,000 pages is built too."""

    times: int
    huge: bool


class Part(NamedTuple):
    """What can be measured by itself: how long one run of it takes, s, and what gives its rows.

    The seconds are those of the machine of measuring/bench.md, pauses and starts of browsers included.
    """

    run_s: float
    rows: Callable[[Path, Path, Asked], Iterator[Row]]


def run(arguments: Sequence[str]) -> int:
    """Measure what is asked for and show each row at once; with everything measured, write the table."""
    parser = argparse.ArgumentParser(prog="build_tools bench", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"only these: {', '.join(PARTS)}")
    parser.add_argument("--times", type=int, default=5, help="runs of each (default: 5)")
    parser.add_argument("--huge", action="store_true", help="build a book of 1,000 pages too, once")
    wanted = parser.parse_args(arguments)
    if unknown := set(wanted.parts) - set(PARTS):
        parser.error(f"no part is called {', '.join(sorted(unknown))}; there are {', '.join(PARTS)}")
    ensure_chromium(say)
    before = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    asked = Asked(wanted.times, wanted.huge)
    with tempfile.TemporaryDirectory(prefix="half-turn-bench-") as scratch:
        lines = list(shown(measure(Path(scratch), wanted.parts or list(PARTS), asked)))
    say(f"\n{machine(before)}")
    if not wanted.parts:
        header = HEADER.format(machine=machine(before), times=wanted.times)
        table = "\n".join(lines)
        before_it = TABLE.read_text(encoding="utf-8") if TABLE.exists() else ""
        TABLE.write_text(f"{header}{HEAD}{table}\n{measured_once(before_it)}", encoding="utf-8")
        say(f"The table is in {TABLE.relative_to(PROJECT)}.")
    return 0


def measured_once(text: str) -> str:
    """Return what of the table's file was measured by hand: all from its second heading on."""
    _, heading, rest = text.partition("\n## ")
    return heading + rest


def measure(scratch: Path, parts: Sequence[str], asked: Asked) -> Iterator[Row]:
    """Yield the rows of the parts, each as it is measured; say first how long a part will take."""
    say("Building the book")
    site = build_book(PROJECT, scratch / "site").folder
    for name in parts:
        say(f"\nMeasuring: {name}, {how_long(name, asked)}\n{HEAD.rstrip()}")
        place = scratch / name
        place.mkdir()
        yield from PARTS[name].rows(site, place, asked)


def shown(rows: Iterator[Row]) -> Iterator[str]:
    """Show each row as soon as it is measured; give its line of the table."""
    for row in rows:
        say(row.text())
        yield row.text()


def how_long(name: str, asked: Asked) -> str:
    """Say about how long a part will take."""
    seconds = PARTS[name].run_s * asked.times + (HUGE_S if asked.huge and name == "build" else 0)
    return f"about {seconds / 60:.0f} min" if seconds >= 90 else f"about {seconds:.0f} s"


def _view(site: Path, scratch: Path, asked: Asked) -> Iterator[Row]:
    stock = bench_build.write_stock_book(PROJECT, scratch / "stock")
    bench_build.build_apart(stock, scratch / "stock-site")
    return bench_view.rows(site, scratch / "stock-site", scratch, times=asked.times)


PARTS = {
    "sizes": Part(0.4, lambda site, scratch, asked: bench_sizes.rows(site)),
    "start": Part(100, lambda site, scratch, asked: bench_start.rows(site, scratch, times=asked.times)),
    "answers": Part(15, lambda site, scratch, asked: bench_answers.rows(site, scratch, times=asked.times)),
    "view": Part(6, _view),
    "visits": Part(10, lambda site, scratch, asked: bench_visits.rows(site, scratch, times=asked.times)),
    "build": Part(
        45,
        lambda site, scratch, asked: bench_build.rows(PROJECT, scratch, times=asked.times, huge=asked.huge),
    ),
}
"""In the order of the table."""

HUGE_S = 240
"""How long the builds of the book of 1,000 pages take."""


def machine(load: float) -> str:
    """Say what it was measured on, and how busy that was."""
    system = f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors"
    return f"Measured with Python {platform.python_version()} on {system}, load at the start {load:.1f}."

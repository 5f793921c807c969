"""Check pages and registers without building; fill in step ids; record that somebody has checked a figure."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Sequence
from pathlib import Path

from build_tools.book.book import REGISTERS, read_book
from build_tools.book.kept_results import kept_results
from build_tools.checks.all_checks import check_book
from build_tools.faults import Fault
from build_tools.places import PROJECT
from build_tools.reading.problems import closest, has_errors, render
from build_tools.reading.step_ids import fill_step_ids
from build_tools.registers.record_check import record_check
from build_tools.site.settings import settings_problems


def run(arguments: Sequence[str]) -> int:
    """Run the checks and print what they find. Returns 1 where anything but warnings was found."""
    parser = argparse.ArgumentParser(prog="build_tools check", description=__doc__)
    parser.add_argument("--fix", action="store_true", help="write an id at each step that has none")
    parser.add_argument(
        "--record", metavar="FIGURE", help="note in figures.yml that this figure has been checked"
    )
    parser.add_argument("--by", metavar="NAME", help="who checked it (with --record)")
    wanted = parser.parse_args(arguments)
    if bool(wanted.record) != bool(wanted.by):
        parser.error("--record FIGURE and --by NAME go together")
    today = datetime.date.today().isoformat()
    if wanted.record:
        record(PROJECT, wanted.record, wanted.by, today)
    if wanted.fix:
        fix(PROJECT)
    kept = kept_results(PROJECT)
    problems = [*check_book(PROJECT, today=today, kept=kept), *settings_problems(PROJECT)]
    kept.save("check")
    print(render(problems) or "No mistakes found.", file=sys.stderr if has_errors(problems) else sys.stdout)
    return 1 if has_errors(problems) else 0


def record(project: Path, figure: str, by: str, on: str) -> None:
    """Write the check of one figure into the register. Raises Fault for a figure that is not there."""
    book, _ = read_book(project)
    figures = book.registers.figures
    if figure not in figures:
        near = closest(figure, figures)
        raise Fault(
            f"There is no figure '{figure}' in figures.yml.",
            f"--record {near}" if near else "look up its id there.",
        )
    record_check(book.docs / REGISTERS / "figures.yml", figure, by, on)
    print(f"{figures[figure].text()}: the check of '{figure}' by {by} on {on} is in figures.yml.")


def fix(project: Path) -> None:
    """Fill in the missing step ids of every page and say which."""
    book, _ = read_book(project)
    for src in sorted(book.pages):
        for step in fill_step_ids(book.docs / src):
            print(f"{src}: step {{#{step}}} has an id now")

"""How long a book takes to build, and how much memory, beside plain Material on the same Markdown."""

from __future__ import annotations

import datetime
import os
import re
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from build_tools.book import kept_results
from build_tools.measuring.row import Row
from build_tools.places import PROJECT
from build_tools.setting_up.set_up import compile_own

PLAIN = """\
site_name: The same Markdown
docs_dir: content
use_directory_urls: false
theme: {name: material, font: false}
plugins: [search]
"""
MOST = 1.5
PER_PAGE_MOST = 1.2
LARGE, HUGE = 300, 1000
ONCE = ("registers", "faults")
"""Folders that a book can have only once; every other one may stand in it under further names."""
NAMES = ("ours", "stock")
FIRST = "first build"
NEW_DAY = "build after a page got a new date"
AGAIN = "build after its words were changed again"
KINDS = (FIRST, NEW_DAY, AGAIN)
"""In this order in each run, ours and stock in turns."""
CHANGED = "about.md"
ADDED = "This page was changed at "
REVISED = re.compile(r"^revised: (\d{4}-\d{2}-\d{2})$", re.MULTILINE)


class Build(NamedTuple):
    """How long a build took, s, and the most memory that it held."""

    seconds: float
    bytes: float


def rows(project: Path, scratch: Path, *, times: int, huge: bool) -> Iterator[Row]:
    """Return build times of the book as it is, of one of 300 pages and, if `huge`, of one of 1,000, and their
    memory.

    Three kinds: with nothing kept; then after one page was changed and got a new date, which every page of an
    edition shows; then after that page was changed again on the same day, which is what an author waits for.
    """
    compile_own(PROJECT)  # as the set-up did, and pip for stock; sources may have been changed since
    per_page = []
    for pages, runs in ((0, times), (LARGE, times), *([(HUGE, 1)] if huge else [])):
        folder = scratch / f"book-{pages}"
        count = write_large_book(project, folder / "ours", pages=pages)
        stock = write_stock_book(folder / "ours", folder / "stock")
        taken = measured(folder / "ours", stock, scratch, times=runs)
        limit = None if pages == HUGE else MOST
        for kind, found in taken.items():
            ours, theirs = (statistics.median(each.seconds for each in found[name]) for name in NAMES)
            yield Row(f"{kind}, {count} pages", ours, "s", theirs, ratio_most=limit)
        memory = [max(each.bytes for each in taken[FIRST][name]) / 1e6 for name in NAMES]
        yield Row("memory of that first build", memory[0], "MB", memory[1], 0)
        per_page.append(statistics.median(each.seconds for each in taken[FIRST]["ours"]) / count)
    what = "a page at 300 (as ours) and in the book as it is (as stock), first build"
    yield Row(what, per_page[1] * 1e3, "ms", per_page[0] * 1e3, 1, ratio_most=PER_PAGE_MOST)


def write_large_book(project: Path, folder: Path, *, pages: int) -> int:
    """Write the project's own book, its folders repeated until it has `pages`; returns how many it has.

    Every page stands in the menu, which each page shows in full.
    """
    folder.mkdir(parents=True)
    content = folder / "content"
    shutil.copytree(project / "content", content)
    settings = yaml.safe_load((project / "mkdocs.yml").read_text(encoding="utf-8"))
    count = len(list(content.rglob("*.md")))
    folders = sorted(path for path in content.iterdir() if path.is_dir() and path.name not in ONCE)
    for turn, original in product(range(2, 2 + pages), folders):
        if count >= pages:
            break
        copy = content / f"{original.name}-{turn}"
        shutil.copytree(original, copy)
        copied = sorted(page.relative_to(content).as_posix() for page in copy.rglob("*.md"))
        settings["nav"].append({copy.name: copied})
        count += len(copied)
    _write_settings(folder, settings)
    return count


def write_stock_book(project: Path, folder: Path) -> Path:
    """Write a plain Material site of the project's own pages, with its menu; what is special to this book
    stays as typed."""
    shutil.copytree(project / "content", folder / "content", ignore=shutil.ignore_patterns("registers"))
    nav = yaml.safe_load((project / "mkdocs.yml").read_text(encoding="utf-8"))["nav"]
    _write_settings(folder, {**yaml.safe_load(PLAIN), "nav": list(_written_pages(nav, folder / "content"))})
    return folder


def _written_pages(nav: list[Any], content: Path) -> Iterator[Any]:
    """Return a menu without the pages that only our build makes."""
    for item in nav:
        title, target = next(iter(item.items())) if isinstance(item, dict) else (None, item)
        if isinstance(target, list):
            yield {title: list(_written_pages(target, content))}
        elif (content / target).is_file():
            yield item


def _write_settings(folder: Path, settings: dict[str, Any]) -> None:
    text = yaml.safe_dump(settings, allow_unicode=True, sort_keys=False)
    (folder / "mkdocs.yml").write_text(text, encoding="utf-8")


def measured(ours: Path, stock: Path, scratch: Path, *, times: int) -> dict[str, dict[str, list[Build]]]:
    """Build both books in turns, each time in a new process, first and after changes. The sites stay."""
    found: dict[str, dict[str, list[Build]]] = {kind: {name: [] for name in NAMES} for kind in KINDS}
    for _ in range(times):
        shutil.rmtree(ours / kept_results.FOLDER, ignore_errors=True)
        for kind in KINDS:
            for name, book in zip(NAMES, (ours, stock), strict=True):
                if kind != FIRST:
                    change_a_page(book, new_date=kind == NEW_DAY)
                begun = time.perf_counter()
                memory = build_apart(book, scratch / f"{name}-site")
                found[kind][name].append(Build(time.perf_counter() - begun, memory))
    return found


def change_a_page(book: Path, *, new_date: bool) -> None:
    """Change the words of one page, as an author does who has it in hand; `new_date` revises it a day later
    than any page of the book."""
    page = book / "content" / CHANGED
    text = page.read_text(encoding="utf-8").partition(ADDED)[0].rstrip("\n")
    if new_date:
        text = REVISED.sub(f"revised: {newest_date(book) + datetime.timedelta(days=1)}", text, count=1)
    page.write_text(f"{text}\n\n{ADDED}{time.time_ns()}.\n", encoding="utf-8")


def newest_date(book: Path) -> datetime.date:
    """Return the newest date of all pages, which is the date of the edition."""
    texts = (page.read_text(encoding="utf-8") for page in (book / "content").rglob("*.md"))
    found = (REVISED.search(text) for text in texts)
    return max(datetime.date.fromisoformat(date[1]) for date in found if date)


def build_apart(project: Path, into: Path) -> float:
    """Run `mkdocs build` as any MkDocs user does; returns the most memory it held, in bytes.

    Linux counts what this process itself held before, so no less than that comes out.
    """
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--clean", "--site-dir", str(into)]
    surroundings = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    begun = subprocess.Popen(
        command, cwd=project, env=surroundings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(begun.pid, 0)
    begun.returncode = os.waitstatus_to_exitcode(status)
    if begun.returncode:
        raise subprocess.CalledProcessError(begun.returncode, command)
    return used.ru_maxrss * 1024.0  # Linux counts in KiB

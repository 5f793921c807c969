"""How long a book takes to build, and how much memory, beside plain Material on the same Markdown."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from build_tools.commands.bench_row import Row

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


def rows(project: Path, scratch: Path, *, times: int) -> Iterator[Row]:
    """Give build times of the book as it is, of one of 300 pages and of one of 1,000, and their memory."""
    per_page: dict[str, list[float]] = {}
    for pages, runs in ((0, times), (LARGE, times), (HUGE, 1)):
        folder = scratch / f"book-{pages}"
        count = write_large_book(project, folder / "ours", pages=pages)
        stock = write_stock_book(folder / "ours", folder / "stock")
        taken = measured(folder / "ours", stock, scratch, times=runs)
        seconds = {name: statistics.median(each for each, _ in found) for name, found in taken.items()}
        for name, each in seconds.items():
            per_page.setdefault(name, []).append(each / count)
        limit = None if pages == HUGE else MOST
        yield Row(f"build, {count} pages", seconds["ours"], "s", seconds["stock"], ratio_most=limit)
        megabytes = {name: max(each for _, each in found) / 1e6 for name, found in taken.items()}
        yield Row("memory of that build", megabytes["ours"], "MB", megabytes["stock"], 0)
    small, large, _ = per_page["ours"]
    what = "a page at 300 (as ours) and in the book as it is (as stock)"
    yield Row(what, large * 1e3, "ms", small * 1e3, 1, ratio_most=PER_PAGE_MOST)


def write_large_book(project: Path, folder: Path, *, pages: int) -> int:
    """Write the project's own book, its folders repeated until it has `pages`; returns how many it has."""
    folder.mkdir(parents=True)
    content = folder / "content"
    shutil.copytree(project / "content", content)
    settings = (project / "mkdocs.yml").read_text(encoding="utf-8")
    theme = (project / "build_tools" / "theme").as_posix()
    (folder / "mkdocs.yml").write_text(settings.replace("build_tools/theme", theme), encoding="utf-8")
    count = len(list(content.rglob("*.md")))
    folders = sorted(path for path in content.iterdir() if path.is_dir() and path.name not in ONCE)
    for turn in range(2, 2 + pages):
        for original in folders:
            if count >= pages:
                return count
            copy = content / f"{original.name}-{turn}"
            shutil.copytree(original, copy)
            count += len(list(copy.rglob("*.md")))
    return count


def write_stock_book(project: Path, folder: Path) -> Path:
    """Write a plain Material site of the project's own pages; what is special to this book stays as typed."""
    shutil.copytree(project / "content", folder / "content", ignore=shutil.ignore_patterns("registers"))
    (folder / "mkdocs.yml").write_text(PLAIN, encoding="utf-8")
    return folder


def measured(ours: Path, stock: Path, scratch: Path, *, times: int) -> dict[str, list[tuple[float, float]]]:
    """Build both books in turns, each time in a new process; give s and bytes of each. The sites stay."""
    found: dict[str, list[tuple[float, float]]] = {"ours": [], "stock": []}
    for _ in range(times):
        for name, project in (("ours", ours), ("stock", stock)):
            begun = time.perf_counter()
            memory = build_apart(project, scratch / f"{name}-site")
            found[name].append((time.perf_counter() - begun, memory))
    return found


def build_apart(project: Path, into: Path) -> float:
    """Run `mkdocs build` as any MkDocs user does; returns the most memory it held, in bytes."""
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

"""How long the book takes to build, beside plain Material on the same Markdown."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import time
from pathlib import Path

PLAIN = """\
site_name: The same Markdown
docs_dir: content
use_directory_urls: false
theme: {name: material, font: false}
plugins: [search]
"""


def write_stock_book(project: Path, folder: Path) -> Path:
    """Write a plain Material site of the project's own pages; what is special to this book stays as typed."""
    shutil.copytree(project / "content", folder / "content", ignore=shutil.ignore_patterns("registers"))
    (folder / "mkdocs.yml").write_text(PLAIN, encoding="utf-8")
    return folder


def build_seconds(ours: Path, stock: Path, scratch: Path, *, times: int) -> tuple[float, float]:
    """Build both books in turns, each time in a new process; return the medians in s. The sites stay."""
    seconds: dict[str, list[float]] = {"ours": [], "stock": []}
    for _ in range(times):
        for name, project in (("ours", ours), ("stock", stock)):
            begun = time.perf_counter()
            build_apart(project, scratch / f"{name}-site")
            seconds[name].append(time.perf_counter() - begun)
    return statistics.median(seconds["ours"]), statistics.median(seconds["stock"])


def build_apart(project: Path, into: Path) -> None:
    """Run `mkdocs build` as any MkDocs user does."""
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--clean", "--site-dir", str(into)]
    surroundings = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    subprocess.run(command, cwd=project, env=surroundings, check=True, capture_output=True)

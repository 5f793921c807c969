"""The performance table: what its sizes count, and what a line says. Times are measured, not tested."""

from __future__ import annotations

import gzip
import json
from pathlib import Path

import pytest

from build_tools.commands import bench_sizes
from build_tools.commands.bench import Row
from build_tools.commands.bench_build import build_apart, write_stock_book
from build_tools.commands.build import Built


def test_a_line_gives_both_values_and_their_ratio() -> None:
    """A line of the table shows ours, stock and ours divided by stock."""
    assert Row("build", 3.0, 2.0, "s").text() == "| build | 3.00 s | 2.00 s | 1.50 |"
    assert Row("page", 549.4, 362.2, "kB", 0).text() == "| page | 549 kB | 362 kB | 1.52 |"


def test_an_edition_counts_what_is_sent(built: Built) -> None:
    """The bytes of an edition are those of its files on the host, the packed copy where there is one."""
    tiers = json.loads((built.folder / "edition.json").read_text(encoding="utf-8"))["tiers"]
    sent = {
        name: sum((built.folder / (file.get("packed") or file)["url"]).stat().st_size for file in files)
        for name, files in tiers.items()
    }

    assert bench_sizes.edition_bytes(built.folder) == (sent["reading"], sum(sent.values()))


def test_a_stock_site_counts_gzipped_files(tmp_path: Path) -> None:
    """Stock files count gzipped where that is smaller, source maps not at all."""
    text = b"word " * 1000
    (tmp_path / "a.html").write_bytes(text)
    (tmp_path / "b.png").write_bytes(b"\x00\x81\xfe")
    (tmp_path / "c.js.map").write_bytes(text)

    assert bench_sizes.packed_bytes(tmp_path) == len(gzip.compress(text, 9, mtime=0)) + 3


def test_a_package_comes_with_what_it_requires() -> None:
    """Stock counts the packages that mkdocs-material requires, extras left out."""
    needed = bench_sizes.requirements("mkdocs-material", set())

    assert {"mkdocs-material", "mkdocs", "jinja2", "markupsafe"} <= needed
    assert {"pytest", "pillow"} & needed == set()
    assert bench_sizes.installed_bytes("mkdocs-material") > 1_000_000


def test_a_package_that_is_not_here_counts_nothing() -> None:
    """A locked package that this system does not need has no size."""
    assert bench_sizes.installed_bytes("pywin32-ctypes-of-nowhere") == 0


@pytest.mark.parametrize("name", ["index.html", "procedures/time-the-lip-fold.html"])
def test_the_stock_book_is_the_same_markdown(project: Path, tmp_path: Path, name: str) -> None:
    """Plain Material builds the same pages, registers left out."""
    stock = write_stock_book(project, tmp_path / "stock")
    build_apart(stock, tmp_path / "site")

    assert (tmp_path / "site" / name).is_file()
    assert not (tmp_path / "site/registers").exists()

"""Building as a whole: mistakes stop it in time, figures carry through, bytes are the same."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from mkdocs.commands.build import build
from mkdocs.config import load_config

from build_tools.book.book import read_book
from build_tools.checks.all_checks import check_book
from build_tools.measuring.builds import write_large_book
from build_tools.places import PROJECT
from build_tools.reading.problems import render
from build_tools.registers.record_check import record_check
from build_tools.site.building import BookMistakes, build_book
from build_tools.site.plugin import edition_date


def _mkdocs(project: Path, *arguments: str, **environment: str) -> subprocess.Popen[str]:
    """Start MkDocs as a person would, in a process of its own."""
    here = str(PROJECT)
    return subprocess.Popen(
        [sys.executable, "-m", "mkdocs", *arguments],
        cwd=project,
        env={**os.environ, "PYTHONPATH": here, "NO_MKDOCS_2_WARNING": "1", **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def _files(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_mistakes_stop_mkdocs_before_anything_is_written(
    good_book: Path, changed: Callable[[Path, str, str], None]
) -> None:
    """All mistakes are shown at once, exit code 1, no traceback, and the site that was there stays."""
    changed(good_book / "content/learn/why.md", "kind: guide", "kind: giude")
    changed(good_book / "content/registers/figures.yml", "  high: 20\n", "  high: 21\n")
    site = good_book / "site"
    site.mkdir()
    (site / "index.html").write_text("the book that was there", encoding="utf-8")

    run = _mkdocs(good_book, "build", "--strict")
    said, _ = run.communicate()

    assert run.returncode == 1
    assert render(check_book(good_book)) in said
    assert said.count("\n  why: ") == 2
    assert "Traceback" not in said
    assert _files(site) == {"index.html": hashlib.sha256(b"the book that was there").hexdigest()}


def test_a_plain_configuration_gives_the_whole_book(good_book: Path, tmp_path: Path) -> None:
    """With name, theme, plugins and menu alone a page has the book's frame and asks no other host."""
    site = build_book(good_book, tmp_path / "site").folder
    page = BeautifulSoup((site / "learn/why.html").read_text(encoding="utf-8"), "html.parser")
    loaded = [str(tag.get("href") or tag.get("src")) for tag in page.select("link[href], script[src]")]

    assert "../half-turn/style/sheet.css" in loaded
    assert page.select_one("footer.ht-foot") is not None
    assert [address for address in loaded if "//" in address] == []


@pytest.mark.parametrize(
    ("old", "new"),
    [("  - half-turn\n", ""), ("name: material", "name: material\n  font: {text: Roboto}")],
    ids=["no plugin", "fonts"],
)
def test_a_wrong_configuration_is_told_as_check_does(
    good_book: Path, tmp_path: Path, changed: Callable[[Path, str, str], None], old: str, new: str
) -> None:
    """Where MkDocs would not even run the plugin, the build stops with what `check` says."""
    changed(good_book / "mkdocs.yml", old, new)
    with pytest.raises(BookMistakes) as stopped:
        build_book(good_book, tmp_path / "site")

    assert stopped.value.text == render(check_book(good_book))
    assert not (tmp_path / "site").exists()


def test_a_plain_preview_is_marked(good_book: Path, tmp_path: Path) -> None:
    """Pages of `mkdocs serve` say so, and then the browser keeps nothing."""
    config = load_config(str(good_book / "mkdocs.yml"), site_dir=str(tmp_path / "preview"))
    config.plugins.on_startup(command="serve", dirty=False)
    build(config)

    html = BeautifulSoup((tmp_path / "preview/index.html").read_text(encoding="utf-8"), "html.parser").html
    assert html is not None
    assert html.has_attr("data-preview")


def test_two_builds_give_the_same_bytes(project: Path, tmp_path: Path) -> None:
    """Under another hash seed and in another time zone every file of the book is the same."""
    one, two = tmp_path / "one", tmp_path / "two"
    books = [tmp_path / "first", tmp_path / "second"]
    for book in books:  # of a copy nothing is kept that either build could take from the other
        write_large_book(project, book, pages=0)
    runs = [
        _mkdocs(books[0], "build", "--strict", "-d", str(one), PYTHONHASHSEED="1", TZ="America/Chicago"),
        _mkdocs(books[1], "build", "--strict", "-d", str(two), PYTHONHASHSEED="7", TZ="Asia/Tokyo"),
    ]
    for run in runs:
        said, _ = run.communicate()
        assert run.returncode == 0, said

    first, second = _files(one), _files(two)
    assert sorted(first) == sorted(second)
    assert [name for name, digest in first.items() if second[name] != digest] == []
    assert "edition.json" in first


def test_the_editions_date_is_never_the_clocks(good_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An edition is dated by its newest page, or by SOURCE_DATE_EPOCH where that is set."""
    book, _ = read_book(good_book)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert edition_date(book) == "2026-11-25"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1800000000")
    assert edition_date(book) == "2027-01-15"


@pytest.fixture
def copied_project(project: Path, tmp_path: Path) -> Path:
    """The real book in a folder of its own, to be changed."""
    copy = tmp_path / "project"
    shutil.copytree(project / "content", copy / "content")
    shutil.copy(project / "mkdocs.yml", copy / "mkdocs.yml")
    return copy


def test_a_changed_figure_stops_the_build_until_it_is_checked_and_then_changes_every_page(
    copied_project: Path, tmp_path: Path, changed: Callable[[Path, str, str], None]
) -> None:
    """Unchecked: no book. Checked: each page and worked answer that uses the figure has the new value."""
    register = copied_project / "content/registers/figures.yml"
    pages_before = _pages_with(read_book(copied_project)[0].docs, "lip-fold-time")
    changed(register, "  low: 18\n  high: 20\n  unit: s\n", "  low: 18\n  high: 20.5\n  unit: s\n")

    with pytest.raises(BookMistakes, match=r"changed without a new check: was 18 to 20 s, now 18 to 20\.5 s"):
        build_book(copied_project, tmp_path / "site")
    assert not (tmp_path / "site").exists()

    record_check(register, "lip-fold-time", "I. Pell", "2026-11-26")
    site = build_book(copied_project, tmp_path / "site").folder

    shown: dict[str, set[str]] = {}
    for path in site.rglob("*.html"):
        page = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        for span in page.select("span[data-figure=lip-fold-time]"):
            first = span.find(string=True)
            shown.setdefault(path.relative_to(site).as_posix(), set()).add(str(first))
        for example in page.select("[data-example=fold-time]"):
            assert '"window_high_s": 20.5' in str(example["data-inputs"])
    assert set(shown) >= pages_before | {"figures.html"}
    assert set().union(*shown.values()) <= {"18 to 20.5 s", "18 s", "20.5 s"}
    assert any("18 to 20.5 s" in texts for texts in shown.values())


def _pages_with(docs: Path, figure: str) -> set[str]:
    """The addresses of the pages whose source shows a figure, read without any of the build's own code."""
    return {
        path.relative_to(docs).with_suffix(".html").as_posix()
        for path in docs.rglob("*.md")
        if f"{{{{ {figure} }}}}" in path.read_text(encoding="utf-8")
    }

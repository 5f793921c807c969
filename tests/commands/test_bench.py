"""The performance table: what its sizes count, and what a line says. Times are measured, not tested."""

from __future__ import annotations

import gzip
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from build_tools.book.kept_results import FOLDER
from build_tools.commands import bench
from build_tools.measuring import builds as bench_build
from build_tools.measuring import sizes as bench_sizes
from build_tools.measuring.builds import build_apart, write_large_book, write_stock_book
from build_tools.measuring.row import HEAD, Row
from build_tools.site.building import Built


def test_a_line_gives_both_values_their_ratio_and_the_limit() -> None:
    """A line shows ours, stock, ours divided by stock, the limit, and whether it is met."""
    assert Row("build", 3.0, "s", 2.0).text() == "| build | 3.00 s | 2.00 s | 1.50 |  |  |"
    assert Row("page", 549.4, "kB", 362.2, 0, ratio_most=1.15).text() == (
        "| page | 549 kB | 362 kB | 1.52 | 1.15 | **no** |"
    )
    assert Row("start", 0.5, "s", 2.0, ratio_most=0.25).text() == (
        "| start | 0.50 s | 2.00 s | 0.25 | 0.25 | yes |"
    )
    assert Row("book", 5.5, "MB", most=6).text() == "| book | 5.50 MB |  |  | 6.00 MB | yes |"


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """What is said and measured, in order, with no browser looked for and two played rows a part."""
    told: list[str] = []

    def rows(site: Path, scratch: Path, asked: bench.Asked) -> Iterator[Row]:
        for number in (1, 2):
            told.append(f"measured {scratch.name} {number}, huge: {asked.huge}")
            yield Row(f"{scratch.name} {number}", number, "s")

    parts = {"start": bench.Part(100, rows), "build": bench.Part(5, rows)}
    monkeypatch.setattr(bench, "PARTS", parts)
    monkeypatch.setattr(bench, "PROJECT", tmp_path)
    monkeypatch.setattr(bench, "TABLE", tmp_path / "bench.md")
    monkeypatch.setattr(bench, "ensure_chromium", lambda say: None)
    monkeypatch.setattr(bench, "build_book", lambda project, into: Built(into, "e", "2026-11-20"))
    monkeypatch.setattr(bench, "say", lambda line: told.extend(line.splitlines()))
    return told


def test_a_part_says_how_long_it_takes_and_each_row_is_shown_at_once(played: list[str]) -> None:
    """Before a part begins its time is told, and a row stands there before the next one is measured."""
    assert bench.run(["build", "start", "--times", "3"]) == 0

    head = HEAD.splitlines()
    assert played[:-2] == [
        "Building the book",
        *("", "Measuring: build, about 15 s", *head),
        *("measured build 1, huge: False", "| build 1 | 1.00 s |  |  |  |  |"),
        *("measured build 2, huge: False", "| build 2 | 2.00 s |  |  |  |  |"),
        *("", "Measuring: start, about 5 min", *head),
        *("measured start 1, huge: False", "| start 1 | 1.00 s |  |  |  |  |"),
        *("measured start 2, huge: False", "| start 2 | 2.00 s |  |  |  |  |"),
    ]
    assert played[-2] == "" and played[-1].startswith("Measured with Python ")
    assert not bench.TABLE.exists()


def test_everything_measured_is_written_down(played: list[str]) -> None:
    """Without a part named all are measured, and the table has every row that was shown."""
    assert bench.run([]) == 0

    shown = [line for line in played if line.startswith(("| start", "| build"))]
    written = bench.TABLE.read_text(encoding="utf-8").splitlines()
    assert len(shown) == 4
    assert [line for line in written if line.startswith(("| start", "| build"))] == shown
    assert played[-1] == "The table is in bench.md."


def test_a_thousand_pages_are_built_where_they_are_asked_for(
    played: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The book of 1,000 pages costs minutes: it is built with --huge alone, and its time is told."""
    bench.run(["build", "--huge"])
    assert "Measuring: build, about 4 min" in played
    assert "measured build 1, huge: True" in played

    asked: list[int] = []
    build = bench_build.Build(1.0, 1e6)
    taken = {kind: {name: [build] for name in bench_build.NAMES} for kind in bench_build.KINDS}
    monkeypatch.setattr(bench_build, "compile_own", lambda project: None)
    monkeypatch.setattr(bench_build, "write_stock_book", lambda ours, stock: stock)
    monkeypatch.setattr(bench_build, "measured", lambda *_, **__: taken)
    monkeypatch.setattr(
        bench_build, "write_large_book", lambda *_, pages: asked.append(pages) or max(pages, 42)
    )
    for huge in (False, True):
        list(bench_build.rows(tmp_path, tmp_path, times=5, huge=huge))
    assert asked == [0, 300, 0, 300, 1000]


def test_an_edition_counts_what_is_sent(built: Built) -> None:
    """The bytes of an edition are those of its files on the host, the packed copy where there is one."""
    tiers = json.loads((built.folder / "edition.json").read_text(encoding="utf-8"))["tiers"]
    sent = {
        name: sum((built.folder / (file.get("packed") or file)["url"]).stat().st_size for file in files)
        for name, files in tiers.items()
    }

    assert bench_sizes.edition_bytes(built.folder) == (sent["reading"], sum(sent.values()))


def test_stock_counts_gzipped_files(tmp_path: Path) -> None:
    """A stock file counts gzipped where that is smaller."""
    text = b"word " * 1000
    (tmp_path / "a.html").write_bytes(text)
    (tmp_path / "b.png").write_bytes(b"\x00\x81\xfe")

    assert bench_sizes.gzipped(tmp_path / "a.html") == len(gzip.compress(text, 9, mtime=0))
    assert bench_sizes.gzipped(tmp_path / "b.png") == 3


def test_the_phone_keeps_more_than_is_sent(built: Built) -> None:
    """What is kept counts unpacked bytes; the runtime alone is less than all that the calculators need."""
    reading, everything = bench_sizes.edition_bytes(built.folder)
    files, kept = bench_sizes.kept_on_phone(built.folder)

    assert kept > everything
    assert files == len(set(listed(built)))
    assert 0 < bench_sizes.runtime_bytes(built.folder) < everything - reading


def listed(built: Built) -> list[str]:
    """The addresses of an edition's files."""
    tiers = json.loads((built.folder / "edition.json").read_text(encoding="utf-8"))["tiers"]
    return [file["url"] for files in tiers.values() for file in files]


def test_a_large_book_repeats_the_folders(project: Path, tmp_path: Path) -> None:
    """A book of 100 pages has at least as many, the registers and the faults once."""
    count = write_large_book(project, tmp_path / "large", pages=100)

    content = tmp_path / "large" / "content"
    assert count == len(list(content.rglob("*.md"))) >= 100
    assert not (content / "registers-2").exists()
    assert not (content / "faults-2").exists()
    menu = (tmp_path / "large/mkdocs.yml").read_text(encoding="utf-8")
    written = {page.relative_to(content).as_posix() for page in content.rglob("*.md")}
    assert {name for name in written if f"- {name}\n" not in menu and f": {name}\n" not in menu} == set()


def test_every_build_after_the_first_has_a_change_to_show(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is kept before a first build; before each later one a page of both books is another."""
    ours, stock = tmp_path / "ours", tmp_path / "stock"
    write_large_book(project, ours, pages=0)
    write_stock_book(ours, stock)
    seen: list[tuple[str, bool, str, str]] = []

    def note(book: Path, into: Path) -> float:
        text = (book / "content" / bench_build.CHANGED).read_text(encoding="utf-8")
        date, words = bench_build.REVISED.findall(text)[0], text.splitlines()[-1]
        seen.append((book.name, (book / FOLDER).exists(), date, words))
        (book / FOLDER).mkdir(exist_ok=True)
        return 1.0

    monkeypatch.setattr(bench_build, "build_apart", note)
    found = bench_build.measured(ours, stock, tmp_path, times=2)

    assert [len(builds) for each in found.values() for builds in each.values()] == [2] * 6
    by_book = {name: [build[1:] for build in seen if build[0] == name] for name in bench_build.NAMES}
    assert [has_kept for has_kept, _, _ in by_book["ours"]] == [False, True, True] * 2
    for builds in by_book.values():
        dates, words = [date for _, date, _ in builds], [text for _, _, text in builds]
        assert dates[0] < dates[1] == dates[2] == dates[3] < dates[4] == dates[5]
        assert len({words[0], words[1], words[2], words[4], words[5]}) == 5


def test_a_changed_page_is_built(good_copy: Path) -> None:
    """The changes are such as the checks let pass, and the site shows them."""
    bench_build.change_a_page(good_copy, new_date=True)
    bench_build.build_apart(good_copy, good_copy / "site")
    first = (good_copy / "site/about.html").read_text(encoding="utf-8")
    bench_build.change_a_page(good_copy, new_date=False)
    bench_build.build_apart(good_copy, good_copy / "site")
    second = (good_copy / "site/about.html").read_text(encoding="utf-8")

    assert bench_build.ADDED in first
    assert bench_build.ADDED in second
    assert first != second


@pytest.fixture
def good_copy(project: Path, tmp_path: Path) -> Path:
    """The real book in a folder of its own."""
    write_large_book(project, tmp_path / "copy", pages=0)
    return tmp_path / "copy"


def test_a_package_comes_with_what_it_requires() -> None:
    """Stock counts the packages that mkdocs-material requires, extras left out."""
    needed = bench_sizes.requirements("mkdocs-material", set())

    assert {"mkdocs-material", "mkdocs", "jinja2", "markupsafe"} <= needed
    assert {"pytest", "pillow"} & needed == set()
    assert bench_sizes.installed_bytes("mkdocs-material") > 1_000_000


def test_a_package_that_is_not_here_counts_nothing() -> None:
    """A locked package that this system does not need has no size."""
    assert bench_sizes.installed_bytes("pywin32-ctypes-of-nowhere") == 0


def test_the_stock_book_is_the_same_markdown(project: Path, tmp_path: Path) -> None:
    """Plain Material builds the same pages, registers left out."""
    stock = write_stock_book(project, tmp_path / "stock")
    build_apart(stock, tmp_path / "site")

    assert (tmp_path / "site/index.html").is_file()
    assert (tmp_path / "site/procedures/time-the-lip-fold.html").is_file()
    menu = (stock / "mkdocs.yml").read_text(encoding="utf-8")
    pages = [page.relative_to(stock / "content").as_posix() for page in stock.rglob("*.md")]
    assert len(pages) > 40
    assert all(f"- {page}\n" in menu or f": {page}\n" in menu for page in pages)
    assert not (tmp_path / "site/registers").exists()


def test_what_was_measured_by_hand_stays() -> None:
    """A table that is written anew leaves the sections below it as they are."""
    text = "# Measured\n\n| a |\n\n## By hand\n\n| b |\n\n## Twice\n"
    assert bench.measured_once(text) == "\n## By hand\n\n| b |\n\n## Twice\n"
    assert bench.measured_once("# Measured\n\n| a |\n") == ""

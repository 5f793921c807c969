"""What is kept from build to build: it changes nothing but the time, and holds no more than was asked for."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from build_tools.book import kept_file, kept_results
from build_tools.book.kept_file import read_results
from build_tools.book.kept_results import FOLDER, NOTHING_KEPT, KeptResults
from build_tools.site.building import BookMistakes, build_book

Change = Callable[[Path, str, str], None]

CHANGES = {
    "page": ("content/learn/why.md", "plain words", "clear words"),
    "summary": ("content/procedures/time-the-lip.md", "summary: ", "summary: Now and then. "),
    "hazard": ("content/registers/hazards.yml", "  what: ", "  what: Often, "),
    "sentence": ("content/registers/words/en.yml", 'page.answer: "Answer"', 'page.answer: "The answer"'),
    "settings": ("mkdocs.yml", "site_name: ", "site_name: The other "),
}


@pytest.fixture(autouse=True)
def _code_at_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody changes our code while a test runs, even where it has just been fetched."""
    monkeypatch.setattr(kept_results, "_code_is_at_rest", lambda: True)


def site_of(book: Path, scratch: Path) -> dict[str, bytes]:
    """Build a book; give every file of its site."""
    built = build_book(book, scratch / "site").folder
    return {
        path.relative_to(built).as_posix(): path.read_bytes() for path in built.rglob("*") if path.is_file()
    }


def site_of_copy(book: Path, scratch: Path) -> dict[str, bytes]:
    """Build a copy of a book of which nothing is kept."""
    copy = scratch / "copy"
    shutil.copytree(book, copy, ignore=shutil.ignore_patterns(FOLDER))
    site = site_of(copy, scratch)
    shutil.rmtree(copy)
    return site


def test_a_build_with_kept_results_gives_the_same_site(good_book: Path, tmp_path: Path) -> None:
    """With what an earlier build kept, every file of the site is the same to the last byte."""
    first = site_of(good_book, tmp_path)
    assert read_results(good_book / FOLDER / "build.kept")

    assert site_of(good_book, tmp_path) == first
    assert site_of_copy(good_book, tmp_path) == first


@pytest.mark.parametrize("kind", CHANGES)
def test_what_was_changed_is_noticed(kind: str, good_book: Path, changed: Change, tmp_path: Path) -> None:
    """After any change the site is that of a build without kept results, and back again after the change
    is taken back."""
    name, old, new = CHANGES[kind]
    before = site_of(good_book, tmp_path)
    text = (good_book / name).read_text(encoding="utf-8")
    assert old in text
    (good_book / name).write_text(text.replace(old, new, 1), encoding="utf-8")

    after = site_of(good_book, tmp_path)

    assert after == site_of_copy(good_book, tmp_path)
    assert {page for page in before if page.endswith(".html") and before[page] != after.get(page)}
    (good_book / name).write_text(text, encoding="utf-8")
    assert site_of(good_book, tmp_path) == before


def test_an_extension_that_reads_other_files_is_asked_each_time(good_book: Path, tmp_path: Path) -> None:
    """Where mkdocs.yml asks for an extension of Markdown that is not ours, no page is kept."""
    settings = good_book / "mkdocs.yml"
    settings.write_text(
        settings.read_text(encoding="utf-8")
        + f"markdown_extensions:\n  - pymdownx.snippets:\n      base_path: ['{tmp_path.as_posix()}']\n",
        encoding="utf-8",
    )
    page = good_book / "content/learn/why.md"
    page.write_text(page.read_text(encoding="utf-8") + '\n--8<-- "piece.txt"\n', encoding="utf-8")
    for told in ("One piece.", "Another piece."):
        (tmp_path / "piece.txt").write_text(told, encoding="utf-8")
        assert told.encode() in site_of(good_book, tmp_path)["learn/why.html"]


def test_a_damaged_file_is_worked_out_anew(good_book: Path, tmp_path: Path) -> None:
    """A file that is cut off gives the same site, and no fault; the build after it finds all again."""
    first = site_of(good_book, tmp_path)
    file = good_book / FOLDER / "build.kept"
    whole = file.read_bytes()
    file.write_bytes(whole[: len(whole) // 2])

    assert site_of(good_book, tmp_path) == first
    assert file.read_bytes() == whole


def test_a_folder_that_cannot_be_written_costs_time_alone(good_book: Path, tmp_path: Path) -> None:
    """Where a file stands in the folder's place, nothing is kept and the site is the same."""
    (good_book / FOLDER).write_text("not a folder", encoding="utf-8")
    first = site_of(good_book, tmp_path)

    (good_book / FOLDER).unlink()
    assert site_of(good_book, tmp_path) == first


def keep(scratch: Path, *names: str, kind: str = "build") -> None:
    """Play a build that asks for these results, each of which says its name in bytes."""
    kept = KeptResults(scratch / "kept")
    for name in names:
        kept.find_bytes("step", (name,)) or kept.keep_bytes("step", (name,), name.encode())
    kept.save(kind)


def found(scratch: Path, name: str) -> bytes | None:
    """What a later build finds."""
    return KeptResults(scratch / "kept").find_bytes("step", (name,))


def test_every_byte_of_the_file_counts(tmp_path: Path) -> None:
    """From a file with any one byte changed or its end lost nothing is given, and no fault comes of it."""
    keep(tmp_path, "a", "b")
    file = tmp_path / "kept/build.kept"
    whole = file.read_bytes()
    for at in range(len(whole)):
        for damaged in (whole[:at], whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :], b"x" + whole):
            file.write_bytes(damaged)
            assert read_results(file) == {}
    file.write_bytes(whole)
    assert (found(tmp_path, "a"), found(tmp_path, "b")) == (b"a", b"b")


def test_a_file_holds_what_its_last_build_asked_for(tmp_path: Path) -> None:
    """What is no longer asked for goes with the next build, and no other file is left behind."""
    keep(tmp_path, "always", "once")
    keep(tmp_path, "always", "now")

    assert (found(tmp_path, "always"), found(tmp_path, "now")) == (b"always", b"now")
    assert found(tmp_path, "once") is None
    assert [path.name for path in (tmp_path / "kept").iterdir()] == ["build.kept"]


def test_checks_and_stopped_builds_take_nothing_from_a_build(tmp_path: Path) -> None:
    """A run that asks for less keeps a file of its own, and every run finds what the others kept."""
    keep(tmp_path, "page", "search")
    keep(tmp_path, "page", "changed", kind="stopped")
    keep(tmp_path, "page", kind="check")

    assert all(found(tmp_path, name) for name in ("page", "search", "changed"))


def test_a_stopped_build_leaves_what_it_has_worked_out(good_book: Path, tmp_path: Path) -> None:
    """A build that mistakes stop keeps the pages that it has read, and those of the last build stay."""
    site_of(good_book, tmp_path)
    whole = (good_book / FOLDER / "build.kept").read_bytes()
    page = good_book / "content/learn/why.md"
    page.write_text(page.read_text(encoding="utf-8") + "\n{{ figure: no-such }}\n", encoding="utf-8")
    with pytest.raises(BookMistakes):
        site_of(good_book, tmp_path)

    assert (good_book / FOLDER / "build.kept").read_bytes() == whole
    assert read_results(good_book / FOLDER / "stopped.kept")


def test_two_builds_at_once_do_not_meet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of two builds at once the later file stays whole, whichever is halfway when the other is written."""
    one, two = KeptResults(tmp_path / "kept"), KeptResults(tmp_path / "kept")
    one.keep_bytes("step", ("one",), b"1")
    two.keep_bytes("step", ("two",), b"2")
    replace = os.replace

    def replace_late(half: Path, file: Path) -> None:
        monkeypatch.setattr(kept_file.os, "replace", replace)
        monkeypatch.setattr(kept_file.os, "getpid", lambda: 1)  # the other is a process of its own
        two.save("build")
        assert found(tmp_path, "two") == b"2"
        replace(half, file)

    monkeypatch.setattr(kept_file.os, "replace", replace_late)
    one.save("build")
    assert found(tmp_path, "one") == b"1"
    assert [path.name for path in (tmp_path / "kept").iterdir()] == ["build.kept"]


def test_a_full_disk_leaves_the_last_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk is full, the earlier file stays, nothing half written is left, no fault is raised."""
    keep(tmp_path, "a")

    def full(self: Path, content: bytes) -> None:
        self.touch()
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    keep(tmp_path, "b")
    assert (found(tmp_path, "a"), found(tmp_path, "b")) == (b"a", None)
    assert [path.name for path in (tmp_path / "kept").iterdir()] == ["build.kept"]


def test_without_a_folder_nothing_is_kept() -> None:
    """A book that is only looked at keeps nothing, and is given what was worked out as it is."""
    assert NOTHING_KEPT.of("step", ("a",), lambda: (1, 2)) == (1, 2)
    assert NOTHING_KEPT.find("step", ("a",)) is None


def test_results_of_other_code_are_not_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What another version of our code, of Python or of a library gave is not found."""
    keep(tmp_path, "a")
    assert found(tmp_path, "a") == b"a"
    monkeypatch.setattr(kept_results, "code_key", lambda: "another")
    assert found(tmp_path, "a") is None


def test_every_source_and_library_is_in_the_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A changed, new or renamed source of ours gives another key, and so does a library's other version."""
    library = tmp_path / "libraries"
    (library / "Markdown-3.0.dist-info").mkdir(parents=True)
    monkeypatch.setattr(kept_results, "_PROJECT", tmp_path)
    monkeypatch.setattr(kept_results.sys, "path", [str(library)])
    for folder in ("build_tools/drawing", "calculators"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "one.py").write_text("ONE = 1\n", encoding="utf-8")

    def key() -> str:
        kept_results._code_files.cache_clear()
        return kept_results.code_key.__wrapped__()

    keys = [key()]
    (tmp_path / "calculators/one.py").write_text("ONE = 2\n", encoding="utf-8")
    keys.append(key())
    (tmp_path / "build_tools/drawing/two.py").write_text("", encoding="utf-8")
    keys.append(key())
    (tmp_path / "build_tools/drawing/two.py").rename(tmp_path / "build_tools/drawing/three.py")
    keys.append(key())
    (library / "Markdown-3.0.dist-info").rename(library / "Markdown-3.1.dist-info")
    keys.append(key())
    assert len(set(keys)) == 5
    assert key() == keys[-1]
    kept_results._code_files.cache_clear()

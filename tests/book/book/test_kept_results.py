"""What is kept from build to build: it changes nothing but the time, and it does not grow without end."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from build_tools.book import kept_results
from build_tools.book.kept_files import files_in
from build_tools.book.kept_results import FOLDER, NOTHING_KEPT, KeptResults
from build_tools.site.building import build_book

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
    assert files_in(good_book / FOLDER)

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


@pytest.mark.parametrize("damage", ["cut", "flipped", "index", "empty", "binary"])
def test_damaged_files_are_worked_out_anew(damage: str, good_book: Path, tmp_path: Path) -> None:
    """A file that is cut off, changed in any part or nothing of ours gives the same site, and no fault."""
    first = site_of(good_book, tmp_path)
    for file in files_in(good_book / FOLDER):
        content = bytearray(file.read_bytes())
        if damage == "cut":
            content = content[: len(content) // 2]
        elif damage == "flipped":
            for at in range(content.index(b"\n"), len(content), 500):
                content[at] ^= 1
        elif damage == "index":
            content[20:40] = b"9" * 20
        elif damage == "empty":
            content = bytearray()
        else:
            content = bytearray(range(256)) * 40
        file.write_bytes(content)

    assert site_of(good_book, tmp_path) == first
    assert site_of(good_book, tmp_path) == first


def test_a_folder_that_cannot_be_written_costs_time_alone(good_book: Path, tmp_path: Path) -> None:
    """Where a file stands in the folder's place, nothing is kept and the site is the same."""
    (good_book / FOLDER).write_text("not a folder", encoding="utf-8")
    first = site_of(good_book, tmp_path)

    (good_book / FOLDER).unlink()
    assert site_of(good_book, tmp_path) == first


def test_every_byte_of_a_result_counts(tmp_path: Path) -> None:
    """A result with any one byte changed is not given, nor is one that has lost its end."""
    keep(tmp_path, {"a": b"some result"})
    (file,) = files_in(tmp_path / "kept")
    whole = file.read_bytes()
    for at in range(whole.index(b"\n") + 1, len(whole)):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert found(tmp_path, "a") is None
        file.write_bytes(whole[:at])
        assert found(tmp_path, "a") is None
    file.write_bytes(whole)
    assert found(tmp_path, "a") == b"some result"


def keep(scratch: Path, results: dict[str, bytes], **limits: int) -> None:
    """Play a build that works these results out."""
    kept = KeptResults(scratch / "kept", **limits)
    for name, content in results.items():
        kept.bytes_of("step", (name,), lambda content=content: content)  # type: ignore[misc]
    kept.save()


def found(scratch: Path, name: str) -> bytes | None:
    """What a later build finds."""
    return KeptResults(scratch / "kept").find_bytes("step", (name,))


def test_the_folder_does_not_grow_without_end(tmp_path: Path) -> None:
    """After any number of builds the folder has few files and its room, and the last results are in it."""
    limits = {"most_bytes": 100_000, "most_files": 5}
    for number in range(60):
        keep(tmp_path, {"always": b"a" * 1000, f"once {number}": os.urandom(9000)}, **limits)
        files = files_in(tmp_path / "kept")
        assert len(files) <= 5
        assert sum(file.stat().st_size for file in files) <= 100_000

    assert found(tmp_path, "always") == b"a" * 1000
    assert found(tmp_path, "once 59") is not None
    assert found(tmp_path, "once 0") is None


def test_what_a_build_asked_for_stays(tmp_path: Path) -> None:
    """Even where it takes more than the folder's room, what the last build used is there for the next."""
    results = {str(number): os.urandom(1000) for number in range(50)}
    for _ in range(3):
        keep(tmp_path, results, most_bytes=10_000)

    assert all(found(tmp_path, name) == content for name, content in results.items())


def test_what_was_left_half_written_goes(tmp_path: Path) -> None:
    """A file that a stopped build left half written is taken away once nobody can be writing it."""
    keep(tmp_path, {"a": b"a"})
    old, new = (tmp_path / "kept" / name for name in ("old.half", "new.half"))
    for file in (old, new):
        file.write_bytes(b"half")
    os.utime(old, (0, 0))
    keep(tmp_path, {"b": b"b"}, most_files=1)

    assert not old.exists()
    assert new.exists()


def test_two_builds_at_once_do_not_meet(tmp_path: Path) -> None:
    """Each of two builds keeps its own; one whose file the other has put together works out anew."""
    keep(tmp_path, {"before": b"before"})
    one, two = (KeptResults(tmp_path / "kept", most_files=1) for _ in range(2))
    one.keep_bytes("step", ("one",), b"1")
    two.keep_bytes("step", ("two",), b"2")
    one.save()

    assert two.bytes_of("step", ("before",), lambda: b"worked out anew") == b"worked out anew"
    two.save()
    assert found(tmp_path, "one") == b"1"
    assert found(tmp_path, "two") == b"2"


def test_without_a_folder_nothing_is_kept() -> None:
    """A book that is only looked at keeps nothing, and is given what was worked out as it is."""
    assert NOTHING_KEPT.of("step", ("a",), lambda: (1, 2)) == (1, 2)
    assert NOTHING_KEPT.find("step", ("a",)) is None


def test_results_of_other_code_are_not_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What another version of our code, of Python or of a library gave is not found."""
    keep(tmp_path, {"a": b"a"})
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

"""`build` and the book it leaves: whole or not at all, and mistakes in an author's words."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from build_tools.checks.all_checks import check_book
from build_tools.commands import build, carry, check
from build_tools.commands.build import run
from build_tools.faults import Fault
from build_tools.reading.problems import closing
from build_tools.site.building import BookMistakes, Built, build_book

Stand = Callable[[Path, Path], str]


def stand_in(text: str) -> Stand:
    """A build that writes an edition whose only page says `text`."""

    def build(project: Path, into: Path) -> str:
        into.mkdir()
        (into / "index.html").write_text(text, encoding="utf-8")
        (into / "edition.json").write_text(
            json.dumps({"edition": text, "date": "2026-11-20"}), encoding="utf-8"
        )
        return ""

    return build


def half_way(project: Path, into: Path) -> str:
    """A build that stops after its first page."""
    into.mkdir()
    (into / "index.html").write_text("half", encoding="utf-8")
    raise BookMistakes("content/index.md:3: a mistake")


@pytest.fixture
def play(monkeypatch: pytest.MonkeyPatch) -> Callable[[Stand], None]:
    """Puts another build in the place of MkDocs."""
    return lambda build: monkeypatch.setattr("build_tools.site.building.build_with_mkdocs", build)


def test_the_real_book_is_built_where_it_was_asked(built: Built) -> None:
    """The real book has its start page and its edition, and the edition's id and date are told."""
    record = json.loads((built.folder / "edition.json").read_text(encoding="utf-8"))

    assert (built.folder / "index.html").is_file()
    assert (built.edition, built.date) == (record["edition"], record["date"])


def test_a_new_book_takes_the_place_of_the_old(tmp_path: Path, play: Callable[[Stand], None]) -> None:
    """A build replaces the whole folder, and leaves nothing of its work beside it."""
    for text in ("one", "two"):
        play(stand_in(text))
        built = build_book(tmp_path, tmp_path / "site")

    assert built == Built(tmp_path / "site", "two", "2026-11-20")
    assert (tmp_path / "site/index.html").read_text(encoding="utf-8") == "two"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_failed_build_leaves_the_old_book(tmp_path: Path, play: Callable[[Stand], None]) -> None:
    """A build that stops half-way leaves the book that was there, and nothing half built."""
    play(stand_in("one"))
    build_book(tmp_path, tmp_path / "site")
    play(half_way)
    with pytest.raises(BookMistakes, match=r"^content/index\.md:3: a mistake$"):
        build_book(tmp_path, tmp_path / "site")

    assert (tmp_path / "site/index.html").read_text(encoding="utf-8") == "one"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_build_never_replaces_something_else(tmp_path: Path, play: Callable[[Stand], None]) -> None:
    """A folder with anything but a built book in it is refused before anything is built."""
    play(stand_in("one"))
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos/door.jpg").write_text("", encoding="utf-8")
    with pytest.raises(Fault) as stopped:
        build_book(tmp_path, tmp_path / "photos")

    assert str(stopped.value) == (
        f"{tmp_path}/photos holds something else than a built handbook, "
        "and a build replaces the whole folder.\n"
        "  fix: name an empty or a new folder after --into."
    )
    assert (tmp_path / "photos/door.jpg").exists()


def test_mistakes_go_to_the_author_with_exit_code_1(
    tmp_path: Path, play: Callable[[Stand], None], capsys: pytest.CaptureFixture[str]
) -> None:
    """The verb prints the mistakes as they are, without a trace, and fails."""
    play(half_way)

    assert run(["--into", str(tmp_path / "site")]) == 1
    assert capsys.readouterr().err == "content/index.md:3: a mistake\n"


def test_a_mistake_on_a_page_is_told_with_file_and_line(good_book: Path, tmp_path: Path) -> None:
    """A real mistake in a real small book stops the build, file and line first."""
    page = good_book / "content/index.md"
    text = page.read_text(encoding="utf-8") + "\nIt takes {{ no-such-figure }}.\n"
    page.write_text(text, encoding="utf-8")
    with pytest.raises(BookMistakes) as stopped:
        build_book(good_book, tmp_path / "site")

    assert f"content/index.md:{len(text.splitlines())}: unknown figure 'no-such-figure'" in stopped.value.text
    assert "Traceback" not in stopped.value.text


def test_a_slip_in_the_configuration_is_told(good_book: Path, tmp_path: Path) -> None:
    """An unknown setting in mkdocs.yml stops the build with MkDocs's own words about it."""
    with (good_book / "mkdocs.yml").open("a", encoding="utf-8") as file:
        file.write("\nnaw: []\n")
    with pytest.raises(BookMistakes, match=r"(?s)^mkdocs.yml:\d+: Config value 'naw': .*\n1 mistake$"):
        build_book(good_book, tmp_path / "site")


@pytest.mark.parametrize("words", ["{{ no-such-figure }}", "<script></script>", "A wrod."])
def test_every_command_closes_as_check_does(
    good_book: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: str,
) -> None:
    """Whether mistakes or warnings alone, the last line of check, build and carry counts them alike."""
    with (good_book / "content/learn/why.md").open("a", encoding="utf-8") as file:
        file.write(f"\n{words}\n")
    closed = []
    for command, given in (
        (check, []),
        (build, ["--into", str(tmp_path / "site")]),
        (carry, ["--into", str(tmp_path / "book.zip")]),
    ):
        monkeypatch.setattr(command, "PROJECT", good_book)
        command.run(given)
        said = capsys.readouterr()
        closed.append((said.err or said.out).splitlines()[-1])

    assert closed == [closing(check_book(good_book))] * 3
    assert closed[0] in ("1 mistake", "1 warning")

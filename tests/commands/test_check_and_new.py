"""`check` and `new`: what they write, what they never touch, and what they answer."""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path

import pytest

from build_tools.book.book import read_book
from build_tools.checks.all_checks import check_book
from build_tools.commands import check, new
from build_tools.faults import Fault
from build_tools.reading.problems import has_errors, render
from calculators.shared.words import read_words

TODAY = datetime.date(2026, 11, 25)


@pytest.fixture
def here(good_book: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small book in the place of the project."""
    for module in (check, new):
        monkeypatch.setattr(module, "PROJECT", good_book)
    return good_book


def test_check_of_a_good_book(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A book without mistakes gives exit code 0, and says so where there is no warning either."""
    code = check.run([])
    said = capsys.readouterr()

    warnings = render(check_book(here, today=datetime.date.today().isoformat()))
    assert (code, said.out, said.err) == (0, f"{warnings or 'No mistakes found.'}\n", "")


def test_check_of_a_mistake(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A mistake gives exit code 1 and its three lines on standard error."""
    with (here / "content/index.md").open("a", encoding="utf-8") as file:
        file.write("\n{{ no-such-figure }}\n")

    assert check.run([]) == 1
    said = capsys.readouterr()
    assert "unknown figure 'no-such-figure'\n  why: " in said.err
    assert said.out == ""


def test_fix_fills_in_step_ids(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--fix writes an id at a step that has none, says which, and the book then passes."""
    page = here / "content/procedures/time-the-lip.md"
    text = page.read_text(encoding="utf-8")
    page.write_text(text.replace(" {#do-it-again}", ""), encoding="utf-8")

    assert check.run(["--fix"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "procedures/time-the-lip.md: step {#do-again-until-you-have} has an id now"
    assert page.read_text(encoding="utf-8") == text.replace("{#do-it-again}", "{#do-again-until-you-have}")


def test_record_of_an_unknown_figure_names_the_closest(here: Path) -> None:
    """A misspelt figure is answered with the id that was meant; nothing is written."""
    register = here / "content/registers/figures.yml"
    before = register.read_bytes()
    with pytest.raises(Fault) as stopped:
        check.run(["--record", "lip-fold-tme", "--by", "M. Tarrow"])

    assert str(stopped.value) == (
        "There is no figure 'lip-fold-tme' in figures.yml.\n  fix: --record lip-fold-time"
    )
    assert register.read_bytes() == before


def test_record_lets_a_changed_figure_pass(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A changed safety figure stops the book until somebody's check of it is recorded."""
    register = here / "content/registers/figures.yml"
    text = register.read_text(encoding="utf-8")
    assert text.count("  high: 20\n") == 1
    register.write_text(text.replace("  high: 20\n", "  high: 21\n"), encoding="utf-8")
    assert check.run([]) == 1
    assert check.run(["--record", "lip-fold-time", "--by", "M. Tarrow"]) == 0

    today = datetime.date.today().isoformat()
    out = capsys.readouterr().out
    assert f"18 to 21 s: the check of 'lip-fold-time' by M. Tarrow on {today} is in figures.yml.\n" in out
    assert 'checked_value: "18 to 21 s"' in register.read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [["--record", "lip-fold-time"], ["--by", "M. Tarrow"]])
def test_record_and_by_go_together(here: Path, words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """A check without a name, or a name without a check, is a wrong command line."""
    with pytest.raises(SystemExit, match="2"):
        check.run(words)

    assert "--record FIGURE and --by NAME go together" in capsys.readouterr().err


@pytest.mark.parametrize(
    "title", ["Grease the hinge", "Don't: lift", "4 bolts", "Größe prüfen", 'Say "stop"']
)
def test_a_new_page_has_its_hints_to_be_told_and_nothing_else(here: Path, title: str) -> None:
    """Whatever the title, only its hints are mistakes, and the title is read back as it was typed.

    A foreign word in the title is told by the dictionary, as it would be anywhere.
    """
    book, _ = read_book(here)
    path = new.begin(book, title, today=TODAY)
    fresh, _ = read_book(here)

    ours = [problem for problem in check_book(here) if problem.file == fresh.file(path)]
    told = [problem.what for problem in ours if "is in no dictionary" not in problem.what]
    assert told == [
        "the menu does not lead to this page",
        "a hint of a new page is left: 'Say in one sentence when a technician opens this page.'",
        "a hint of a new page is left: 'This page is not for another job.'",
        "a hint of a new page is left: 'Write one action a step, the verb first.'",
        "a hint of a new page is left: 'Give the reason on a line of its own, indented like this one.'",
    ]
    assert fresh.pages[f"procedures/{path.name}"].text("title") == title


def test_new_says_what_comes_next(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The verb names the file and the next steps."""
    code = new.run(["Grease the hinge"])

    said = capsys.readouterr().out
    assert (code, said.splitlines()[0]) == (
        0,
        "content/procedures/grease-the-hinge.md is there.",
    )
    assert "check names each that is left: line 4, line 17, line 31, line 32.\n" in said
    assert "a line '- procedures/grease-the-hinge.md' under nav: in mkdocs.yml" in said


def test_a_new_page_goes_where_it_is_asked_to(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--in names a folder of the content; its links are counted from there, and a wrong name is answered."""
    code = new.run(["Grease the hinge", "--in", "learn"])

    assert (code, capsys.readouterr().out.splitlines()[0]) == (
        0,
        "content/learn/grease-the-hinge.md is there.",
    )
    page = (here / "content/learn/grease-the-hinge.md").read_text(encoding="utf-8")
    assert "[operating cycle](../procedures/time-the-lip.md)" in page
    with pytest.raises(Fault) as stopped:
        new.run(["Grease the lip", "--in", "lern"])
    assert str(stopped.value) == (
        "The content has no folder 'lern'.\n  fix: --in one of these: learn, procedures"
    )


def test_a_new_page_speaks_the_language_of_its_book(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In the Spanish company's book the page is Spanish to the last sentence, and only its hints are told."""
    book = tmp_path / "book"
    shutil.copytree(project / "tests/another_company", book)
    monkeypatch.setattr(new, "PROJECT", book)

    assert new.run(["Engrasar la bisagra"]) == 0

    said = capsys.readouterr().out
    assert said.startswith("content/trabajos/engrasar-la-bisagra.md is there.\n")
    page = (book / "content/trabajos/engrasar-la-bisagra.md").read_text(encoding="utf-8")
    english = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    ours = [text for code, text in english.items() if code.startswith(("book.new.", "book.section."))]
    assert [text for text in ours if text in page] == []
    assert "1. Despeje la rampa de personas y herramientas. {#despeje-la-rampa-de-personas}\n" in page


def test_new_never_overwrites(here: Path) -> None:
    """A page of that name stays as it is."""
    new.run(["Grease the hinge"])
    page = here / "content/procedures/grease-the-hinge.md"
    page.write_text("mine", encoding="utf-8")
    with pytest.raises(Fault) as stopped:
        new.run(["Grease the hinge!"])

    assert str(stopped.value) == (
        "content/procedures/grease-the-hinge.md is there already.\n"
        "  fix: choose another title, or change that page."
    )
    assert page.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("title", "told"),
    [
        ("time  the LIP", "The page procedures/time-the-lip.md has the title 'Time the lip' already."),
        ("Figures and sources", "The page figures.md has the title 'Figures and sources' already."),
        ("Three runs", "content/learn/why.md:13 has the heading 'Three runs' already."),
    ],
)
def test_a_title_that_is_there_is_refused(here: Path, title: str, told: str) -> None:
    """Nothing is written where a page, one that the build makes, or a heading is called so already."""
    before = sorted(here.rglob("*.md"))
    with pytest.raises(Fault) as stopped:
        new.run([title])

    assert str(stopped.value) == f"{told}\n  fix: choose another title, or change that page."
    assert sorted(here.rglob("*.md")) == before


def test_a_title_without_letters_is_refused(here: Path) -> None:
    """A title that gives no file name is answered with an example."""
    with pytest.raises(
        Fault, match=r"^'\?!' has no letters to make a file name of\.\n  fix: python3 -m build_tools new"
    ):
        new.run(["?!"])


def test_the_real_book_takes_a_new_page(project: Path) -> None:
    """The hazard and the figure that a new page leans on are in the real registers."""
    book, problems = read_book(project)

    assert not has_errors(problems)
    assert new.HAZARD in book.registers.hazards
    assert new.stand_in(book) in book.registers.figures

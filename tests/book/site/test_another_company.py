"""Another company replaces content/ and mkdocs.yml, nothing else: its name, figures and words are everywhere.

The company in tests/another_company has one job, decimal commas, and Spanish for everything that is said.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Comment

from build_tools.book.book import read_book
from build_tools.book.needed_words import DECLARED, LIST, needed_codes
from build_tools.checks.all_checks import check_book
from build_tools.places import PROJECT
from build_tools.reading.problems import render
from build_tools.site.building import build_book
from calculators.answering import NAMES, module, run
from calculators.shared.words import read_words

COMPANY = PROJECT / "tests/another_company"
JOB = "trabajos/cronometrar.html"
BLANK = re.compile(r"\{[^{}]*\}")


@pytest.fixture(scope="module")
def theirs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The other company's book, built as any is."""
    return build_book(COMPANY, tmp_path_factory.mktemp("another") / "site").folder


@pytest.fixture(scope="module")
def spanish() -> dict[str, str]:
    """The other company's sentences."""
    return read_words((COMPANY / "content/registers/words/es.yml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def english(project: Path, spanish: dict[str, str]) -> list[re.Pattern[str]]:
    """Our own sentences with anything in their blanks, but those that are the same in Spanish."""
    words = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    declared = [field for name in NAMES for field in (*module(name).INPUTS, *module(name).OUTPUTS)]
    columns = [column for field in declared for column in field.fields]
    told = {sentence for code, sentence in words.items() if sentence != spanish.get(code)}
    told |= {text for field in (*declared, *columns) for text in (field.label, field.help)}
    told = {sentence for sentence in told if re.search(r"[^\W\d_]{3}", BLANK.sub("", sentence))}
    shapes = [".+?".join(re.escape(part) for part in BLANK.split(sentence)) for sentence in sorted(told)]
    return [re.compile(shape) for shape in shapes]


def texts(site: Path) -> Iterator[tuple[str, str]]:
    """Every text of every page that a person can see or hear, with the page."""
    for page in sorted(site.rglob("*.html")):
        soup = BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser")
        for part in soup(["script", "style"]):
            part.decompose()
        name = page.relative_to(site).as_posix()
        for text in soup.find_all(string=True):
            if text.strip() and not isinstance(text, Comment):
                yield name, " ".join(text.split())
        for element in soup.find_all(True):
            for key in ("aria-label", "title", "alt", "placeholder", "content"):
                if isinstance(value := element.get(key), str):
                    yield name, value


def test_their_book_has_no_mistake() -> None:
    """It passes the checks; only their spelling is nobody's business, for want of a dictionary."""
    assert render(check_book(COMPANY)) == (
        "mkdocs.yml:1: warning: spelling is not checked: there is no good dictionary for the language 'es'\n"
        "  why: slips would stand in the book unseen\n"
        "  fix: have a second person read each page before it is published\n"
        "1 warning"
    )


def test_nothing_of_our_company_is_in_their_book(theirs: Path) -> None:
    """No file of the output names our company, its office or its phone."""
    ours = (b"brackenlow", b"555-0142")
    found = [
        file.relative_to(theirs).as_posix()
        for file in sorted(theirs.rglob("*"))
        if file.is_file() and any(name in file.read_bytes().lower() for name in ours)
    ]

    assert found == []


def test_no_english_sentence_is_on_their_pages(theirs: Path, english: list[re.Pattern[str]]) -> None:
    """None of our interface's sentences stands on a page, to be seen or to be read out."""
    told = sorted({text for _, text in texts(theirs)})
    assert "Antes de empezar" in told

    assert [(shape.pattern, text) for text in told for shape in english if shape.fullmatch(text)] == []


def test_the_words_for_the_browser_are_theirs(theirs: Path, spanish: dict[str, str]) -> None:
    """The browser's code and the calculators get Spanish sentences and no others."""
    pages = json.loads((theirs / "half-turn/words.json").read_text(encoding="utf-8"))
    sheets = json.loads((theirs / "half-turn/sheet_words.json").read_text(encoding="utf-8"))
    calculators = json.loads((theirs / "half-turn/calculators.json").read_text(encoding="utf-8"))
    edition = json.loads((theirs / "edition.json").read_text(encoding="utf-8"))

    assert pages | sheets == {code: spanish[code] for code in pages | sheets}
    visits = json.loads((theirs / "half-turn/visit_words.json").read_text(encoding="utf-8"))
    assert visits == {code: spanish[code] for code in visits}
    assert {code for code in spanish if code.startswith("page.")} <= {*pages, *visits}
    assert {code for code in spanish if code.startswith("error.")} <= set(sheets)
    assert read_words(calculators["words"]) == spanish
    assert edition["language"] == "es"
    assert edition["words"]["page.notice.withdrawn.title"] == "No usar: actualice primero"


def test_their_pages_say_their_language_office_and_figures(theirs: Path) -> None:
    """Language, office, phone, figures with a decimal comma, and signal words are the company's own."""
    page = BeautifulSoup((theirs / JOB).read_text(encoding="utf-8"), "html.parser")
    foot = page.select_one("footer.ht-foot")
    figure = page.select_one('article [data-figure="tiempo-plegado"] a, [data-figure="tiempo-plegado"] a')
    hazard = page.select_one('aside[data-hazard="people-clear"]')
    manifest = json.loads((theirs / "manifest.webmanifest").read_text(encoding="utf-8"))

    assert page.html is not None and page.html["lang"] == "es"
    assert foot is not None and "Rampas Albor. Oficina de Albor: 555-0177" in " ".join(
        foot.get_text().split()
    )
    assert figure is not None and figure.get_text().startswith("14,5 a 16,5 s")
    assert hazard is not None and hazard["data-signal"] == "WARNING"
    assert hazard.get_text(" ").split()[0] == "ADVERTENCIA"
    assert (manifest["lang"], manifest["short_name"]) == ("es", "Libro Albor")


def test_their_fault_path_speaks_their_language(theirs: Path) -> None:
    """A path of theirs has their words, the build's among them, and leads to their page."""
    home = BeautifulSoup((theirs / "index.html").read_text(encoding="utf-8"), "html.parser")
    symptom = home.select_one("[data-symptom=cae-deprisa] a")
    end = home.select_one("section[data-fault-path=cae-deprisa] [data-answer=esta-recto] td:last-child")

    assert symptom is not None and symptom.get_text() == "El labio cae deprisa"
    assert end is not None and [part.get_text() for part in end.find_all("p")] == [
        "Cronometre el plegado. Cómo: Cronometrar el plegado.",
        "Un amortiguador gastado.",
        "ADVERTENCIA Gente cerca",
    ]
    assert end.select("a[href='trabajos/cronometrar.html#suelte-el-labio']")


def test_their_worked_answer_has_decimal_commas(theirs: Path) -> None:
    """Numbers of the worked answer are written as the language has them."""
    page = BeautifulSoup((theirs / JOB).read_text(encoding="utf-8"), "html.parser")
    sheet = page.select_one("section[data-calculator=fold-time]")
    assert sheet is not None
    told = sheet.get_text(" ")

    assert "Media 15,25\u00a0s" in " ".join(told.split(" "))
    assert re.findall(r"\b1[4-6]\.\d", told) == []


def test_their_calculator_refuses_in_their_words(spanish: dict[str, str]) -> None:
    """A refusal names the field as the company calls it."""
    answer = json.loads(run("fold-time", '{"runs_s": [15.1]}', spanish))

    assert answer["errors"][0]["message"] == (
        "Tiempo más corto permitido: no se dio nada. Dé un número, 0,2 a 600 s."
    )


def test_missing_sentences_are_named_together(tmp_path: Path) -> None:
    """Whatever a language lacks is one mistake with all its codes, labels of fields among them."""
    book = tmp_path / "book"
    shutil.copytree(COMPANY, book)
    words = book / "content/registers/words/es.yml"
    lines = words.read_text(encoding="utf-8").split("\n")
    gone = ("book.who:", "page.answer:", "fold-time.mean_s.label:", "fold-time.runs_s.help:")
    words.write_text("\n".join(line for line in lines if not line.startswith(gone)), encoding="utf-8")

    assert render(problem for problem in check_book(book) if not problem.warning) == (
        "content/registers/words/es.yml:1: 4 sentences are missing in the language 'es': "
        "book.who, page.answer, fold-time.runs_s.help, fold-time.mean_s.label\n"
        "  why: pages and calculators would show the code, or another language, in its place\n"
        '  fix: add a line `code: "sentence"` for each\n'
        "1 mistake"
    )


def test_a_language_without_words_is_told(tmp_path: Path) -> None:
    """A language that has no words file at all is told by the file that is missing."""
    book = tmp_path / "book"
    shutil.copytree(COMPANY, book)
    configuration = book / "mkdocs.yml"
    text = configuration.read_text(encoding="utf-8")
    configuration.write_text(text.replace("language: es", "language: fr"), encoding="utf-8")

    assert "content/registers/words/fr.yml:1: the file of sentences is missing" in render(check_book(book))


def test_the_list_of_sentences_is_that_of_the_english_words(project: Path) -> None:
    """After a new English sentence, `python3 -m build_tools.book.needed_words` writes the list anew."""
    words = read_words((project / f"content/registers/words/{DECLARED}.yml").read_text(encoding="utf-8"))
    declared = re.compile(r"\.(?:label|help)$")
    listed = LIST.read_text(encoding="utf-8").split()

    assert [code for code in words if code not in listed and not declared.search(code)] == []
    assert [code for code in listed if code not in words] == []


def test_a_calculator_that_no_page_shows_asks_for_no_words() -> None:
    """Sentences of other calculators and of drawings are not asked for."""
    book, _ = read_book(COMPANY)
    starts = {code.partition(".")[0] for code in needed_codes(book)}

    assert starts == {"decimal-mark", "book", "page", "error", "fold-time", "question"}


THEIR_SEQUENCES = """\
stand_alone: [candado, cuente]
jobs:
  - id: cronometrar
    page: trabajos/cronometrar.md
    at:
      mire-el-reloj:
        ask: fold-time
        answers: {time-again: suelte-el-labio, inspect: stop, other: end}
  - id: cerrar
    page: trabajos/cronometrar.md
    steps: suelte-el-labio
sequences:
  - id: cronometrar
    label: Cronometrar el plegado
    page: trabajos/cronometrar.md
    jobs: [cronometrar]
    stop: cerrar
"""


def test_a_book_without_sequences_has_no_visits(theirs: Path) -> None:
    """No page to work visits on, no plan, and no link to either: nothing is offered that is not there."""
    assert not (theirs / "visit.html").exists()
    assert not (theirs / "half-turn/visit_plan.json").exists()
    pages = {page.name: page.read_text(encoding="utf-8") for page in theirs.rglob("*.html")}
    assert [name for name, html in pages.items() if "visit.html" in html or "data-sequence" in html] == []


def test_a_link_to_visits_that_are_not_there_is_a_mistake(tmp_path: Path) -> None:
    """Without sequences a link to the page of visits leads nowhere, and that is told."""
    book = tmp_path / "book"
    shutil.copytree(COMPANY, book)
    page = book / "content/index.md"
    page.write_text(page.read_text(encoding="utf-8") + "\n[Visitas](visit.md)\n", encoding="utf-8")

    assert "visit.md" in render(problem for problem in check_book(book) if not problem.warning)


def test_their_own_sequences_make_their_visits(tmp_path: Path, project: Path) -> None:
    """With sequences of their own they have the page, the plan and the offer, in their words."""
    book = tmp_path / "book"
    shutil.copytree(COMPANY, book)
    (book / "content/registers/sequences.yml").write_text(THEIR_SEQUENCES, encoding="utf-8")
    words = book / "content/registers/words/es.yml"
    ours = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    said = read_words(words.read_text(encoding="utf-8"))
    missing = [code for code in needed_codes(read_book(book)[0]) if code not in said]
    lines = [f"{code}: {json.dumps(ours[code], ensure_ascii=False)}\n" for code in missing]
    words.write_text(words.read_text(encoding="utf-8") + "".join(lines), encoding="utf-8")

    site = build_book(book, tmp_path / "site").folder
    plan = json.loads((site / "half-turn/visit_plan.json").read_text(encoding="utf-8"))
    job = BeautifulSoup((site / JOB).read_text(encoding="utf-8"), "html.parser")
    offer = job.select_one("[data-sequence=cronometrar] a")

    assert [sequence["label"] for sequence in plan["sequences"]] == ["Cronometrar el plegado"]
    assert plan["jobs"]["cronometrar"]["steps"] == ["suelte-el-labio", "mire-el-reloj"]
    assert (site / "visit.html").exists()
    assert offer is not None and offer["href"] == "../visit.html?sequence=cronometrar"

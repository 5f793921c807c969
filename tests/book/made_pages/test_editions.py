"""Editions: what `publish` records, what changed since each, and what reaches the phone."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_tools.book.book import read_book
from build_tools.book.changes import changes_between
from build_tools.book.record import read_records
from build_tools.commands import publish
from build_tools.faults import Fault
from build_tools.made_pages.editions import EditionHistory, read_editions
from build_tools.site.building import build_book

Change = Callable[[Path, str, str], None]
EDITIONS = "content/registers/editions"
WHY, LIP = "content/learn/why.md", "content/procedures/time-the-lip.md"


@pytest.fixture
def here(good_book: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small book in the place of the project."""
    monkeypatch.setattr(publish, "PROJECT", good_book)
    return good_book


def read_first(book: Path, changed: Change, page: str, text: str, revised: str) -> None:
    """Change a sentence of a page with a new date, marked to be read first."""
    changed(book / page, text, f"{text} It is new on {revised}.")
    changed(book / page, "review_by: 2027-05-24", "review_by: 2027-05-24\nread_first: true")
    set_revised(book, page, revised)


def set_revised(book: Path, page: str, revised: str) -> None:
    """Set another `revised` date on a page."""
    lines = (book / page).read_text(encoding="utf-8").split("\n")
    lines = [f"revised: {revised}" if line.startswith("revised:") else line for line in lines]
    (book / page).write_text("\n".join(lines), encoding="utf-8")


def editions(book: Path) -> EditionHistory:
    """The editions of the book as the plugin reads them."""
    found, _ = read_book(book)
    return read_editions(found, date=found.edition_date())


def told(book: Path) -> dict[str, object]:
    """What the phone is told of the changes."""
    data: dict[str, object] = json.loads(editions(book).files()["half-turn/changes.json"])
    return data


def test_the_first_edition_is_recorded(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The record is named by the newest revised date and holds each page's sentences as a reader saw them."""
    assert publish.run([]) == 0

    assert capsys.readouterr().out == (
        "The first edition, of 2026-11-25, is in content/registers/editions/2026-11-25.json: 3 pages.\n"
        "Next: python3 -m build_tools build, and put site/ on the host.\n"
    )
    record = json.loads((here / EDITIONS / "2026-11-25.json").read_text(encoding="utf-8"))
    lip = record["pages"]["procedures/time-the-lip.md"]
    assert (lip["title"], lip["revised"], lip["read_first"]) == ("Time the lip", "2026-11-25", False)
    assert lip["sentences"][:6] == [
        "Time the lip and judge it against 18 to 20 s.",
        "One trained technician",
        "stopwatch",
        "notebook for 3 runs",
        "Time the lip",
        "The lip should take 18 to 20 s, never less than 18 s.",
    ]
    assert "The platform can strike anyone near it." in lip["sentences"]


def test_nothing_new_records_nothing(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Publishing the same book again leaves the records as they are."""
    publish.run([])
    before = (here / EDITIONS / "2026-11-25.json").read_bytes()
    capsys.readouterr()

    assert publish.run([]) == 0
    assert publish.run(["--again"]) == 0

    assert "Nothing has changed since the edition of 2026-11-25" in capsys.readouterr().out
    assert [path.read_bytes() for path in (here / EDITIONS).iterdir()] == [before]


def test_changed_words_need_a_new_date(
    here: Path, changed: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    """Changed words under the old date stop the publishing: that the day is recorded is said first."""
    publish.run([])
    changed(here / WHY, "plain words", "other words")
    capsys.readouterr()

    with pytest.raises(Fault, match="The book has mistakes, so no edition was recorded"):
        publish.run([])

    assert capsys.readouterr().out == "The edition of 2026-11-25 is recorded already.\n"
    assert [path.name for path in (here / EDITIONS).iterdir()] == ["2026-11-25.json"]


def test_publishing_closes_with_its_warnings(
    here: Path, changed: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    """Warnings stop no edition, and its last line counts them as `check` does."""
    changed(here / WHY, "plain words", "plane wrods")

    assert publish.run([]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "1 warning"


def test_code_is_recorded_as_it_is_shown(here: Path, changed: Change) -> None:
    """A figure in backticks is code on the page and in the record; beside it a figure is filled in."""
    changed(here / WHY, "plain words", "plain words, not `{{ lip-fold-time }}` for {{ lip-fold-time }}")
    publish.run([])

    record = json.loads((here / EDITIONS / "2026-11-25.json").read_text(encoding="utf-8"))
    sentences = record["pages"]["learn/why.md"]["sentences"]
    assert "A guide may say 5 s in plain words, not `{{ lip-fold-time }}` for 18 to 20 s." in sentences


def test_every_edition_of_a_day_is_kept(
    here: Path, changed: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    """Published again on its day, an edition is said to be another, and phones are told from the first."""
    publish.run([])
    first = (here / EDITIONS / "2026-11-25.json").read_bytes()
    changed(here / WHY, "plain words", "other words")
    capsys.readouterr()

    assert publish.run(["--again"]) == 0
    assert capsys.readouterr().out == (
        "The edition of 2026-11-25 is recorded already. This is another of that day; both records are kept.\n"
        "The edition of 2026-11-25 is in content/registers/editions/2026-11-25.json.\n"
        "  changed learn/why.md: 1 sentences out, 1 in\n"
        "Next: python3 -m build_tools build, and put site/ on the host.\n"
    )
    second = (here / EDITIONS / "2026-11-25.json").read_bytes()
    changed(here / WHY, "other words", "short words")
    assert publish.run(["--again"]) == 0

    files = {path.name: path.read_bytes() for path in (here / EDITIONS).iterdir()}
    assert sorted(files) == ["2026-11-25.1.json", "2026-11-25.2.json", "2026-11-25.json"]
    assert (files["2026-11-25.1.json"], files["2026-11-25.2.json"]) == (first, second)
    assert "short words" in files["2026-11-25.json"].decode()
    change = told(here)["since"]["2026-11-25"][0]  # type: ignore[index]
    assert ("plain words" in change["was"][0], "short words" in change["now"][0]) == (True, True)


def test_again_with_a_mistake_loses_no_record(here: Path, changed: Change) -> None:
    """Where the book has mistakes, every record of the day is as it was."""
    publish.run([])
    changed(here / WHY, "plain words", "other words")
    publish.run(["--again"])
    before = {path.name: path.read_bytes() for path in (here / EDITIONS).iterdir()}
    changed(here / WHY, "other words", "{{ no-such-figure }}")

    with pytest.raises(Fault, match="so no edition was recorded"):
        publish.run(["--again"])

    assert {path.name: path.read_bytes() for path in (here / EDITIONS).iterdir()} == before
    assert len(before) == 2


def test_a_changed_figure_is_a_change_of_every_page_that_shows_it(here: Path, changed: Change) -> None:
    """A figure changes what readers see, so the edition needs a date of its own, and says on which pages."""
    publish.run([])
    changed(here / "content/registers/figures.yml", "  value: 3\n", "  value: 4\n")

    with pytest.raises(Fault) as stopped:
        publish.run([])

    assert str(stopped.value) == (
        "The newest 'revised' date is 2026-11-25, and the edition of 2026-11-25 is recorded already.\n"
        "  fix: set 'revised' of what changed (procedures/time-the-lip.md) to today; "
        "or record another edition of that day with publish --again."
    )
    set_revised(here, LIP, "2026-11-26")
    publish.run([])
    change = told(here)["since"]
    assert change["2026-11-25"][0]["now"] == [  # type: ignore[index]
        "notebook for 4 runs",
        "Do it again until you have 4 runs.",
        "4 runs",
    ]


def test_a_changed_meaning_is_a_change_of_the_page_that_lists_the_term(here: Path, changed: Change) -> None:
    """A word's meaning is read on the pages that list it, so that they tell when it changes."""
    changed(here / WHY, "## Three runs", "/// terms | fold-time\n///\n\n## Three runs")
    publish.run([])
    old = editions(here)
    changed(here / "content/registers/terms.yml", "takes to fold, about", "takes to fold and hang, about")

    found = changes_between(old.present, editions(here).present)

    assert [(change.src, change.was, change.now) for change in found] == [
        (
            "learn/why.md",
            ("The time the raised lip takes to fold, about 18 to 20 s.",),
            ("The time the raised lip takes to fold and hang, about 18 to 20 s.",),
        )
    ]


def test_changes_are_counted_from_the_edition_that_a_phone_had(
    here: Path, changed: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    """Across skipped editions only what differs in the end is told, and every page to be read first."""
    publish.run([])
    read_first(here, changed, WHY, "A guide may say 5 s in plain words.", "2026-11-26")
    changed(here / LIP, "Nobody touches it.", "Nobody may touch it.")
    set_revised(here, LIP, "2026-11-26")
    capsys.readouterr()
    publish.run([])
    assert capsys.readouterr().out == (
        "The edition of 2026-11-26 is in content/registers/editions/2026-11-26.json.\n"
        "  changed learn/why.md: 0 sentences out, 1 in; to be read before the next job\n"
        "  changed procedures/time-the-lip.md: 1 sentences out, 1 in\n"
        "Next: python3 -m build_tools build, and put site/ on the host.\n"
    )
    changed(here / LIP, "Nobody may touch it.", "Nobody touches it.")
    set_revised(here, LIP, "2026-11-27")

    data = told(here)

    assert data["date"] == "2026-11-27"
    new = {
        "url": "learn/why.html",
        "title": "Why three runs",
        "kind": "changed",
        "was": [],
        "now": ["It is new on 2026-11-26."],
    }
    back = {
        "url": "procedures/time-the-lip.html",
        "title": "Time the lip",
        "kind": "changed",
        "was": ["Nobody may touch it."],
        "now": ["Nobody touches it."],
    }
    assert data["since"] == {"2026-11-25": [new], "2026-11-26": [back]}
    assert [(mark["url"], mark["date"]) for mark in data["marks"]] == [("learn/why.html", "2026-11-26")]  # type: ignore[attr-defined]


def test_a_page_that_is_new_or_gone(here: Path, changed: Change) -> None:
    """A new page is reported as new, a page taken out as removed."""
    publish.run([])
    old = editions(here)
    (here / "content/learn/more.md").write_text(
        (here / WHY).read_text(encoding="utf-8").replace("Why three runs", "More"), encoding="utf-8"
    )
    (here / WHY).unlink()

    found = changes_between(old.present, editions(here).present)

    assert [(change.src, change.kind) for change in found] == [
        ("learn/more.md", "new"),
        ("learn/why.md", "removed"),
    ]


def test_the_page_of_changes_and_the_withdrawn_pages_reach_the_site(
    here: Path, changed: Change, tmp_path: Path
) -> None:
    """The built page tells what each edition changed and what is withdrawn; edition.json lists the latter."""
    publish.run([])
    read_first(here, changed, LIP, "Nobody touches it.", "2026-11-26")
    (here / "content/registers/withdrawn.yml").write_text(
        "- page: procedures/time-the-lip.md\n  before: 2026-11-26\n  reason: The watch was started late.\n",
        encoding="utf-8",
    )
    publish.run([])

    site = build_book(here, tmp_path / "site").folder

    page = BeautifulSoup((site / "what-changed.html").read_text(encoding="utf-8"), "html.parser")
    change = page.select_one('[data-edition-date="2026-11-26"] [data-page="procedures/time-the-lip.md"]')
    assert change is not None
    assert change.select_one("a")["href"] == "procedures/time-the-lip.html"  # type: ignore[index]
    assert [ins.get_text() for ins in change.select("ins")] == ["It is new on 2026-11-26."]
    assert "Read before your next job." in change.get_text()
    withdrawn = page.select_one("ul.ht-withdrawn")
    assert withdrawn is not None and "The watch was started late." in withdrawn.get_text()
    record = json.loads((site / "edition.json").read_text(encoding="utf-8"))
    assert record["withdrawn"] == [{"url": "procedures/time-the-lip.html", "before": "2026-11-26"}]
    assert "half-turn/changes.json" in {file["url"] for file in record["tiers"]["reading"]}


def test_records_are_read_in_order(here: Path, changed: Change) -> None:
    """The oldest edition comes first, whatever the folder gives."""
    publish.run([])
    read_first(here, changed, LIP, "Nobody touches it.", "2026-12-01")
    publish.run([])

    records, problems = read_records(read_book(here)[0])

    assert ([record.date for record in records], problems) == (["2026-11-25", "2026-12-01"], [])


def test_a_changed_figure_is_told_wherever_it_shows(here: Path, changed: Change) -> None:
    """A figure that only a sheet fills in, or only the pocket card shows, changes those pages."""
    changed(here / "content/learn/why.md", "\n# Why", "\n/// pocket-card | timing-confidence\n///\n\n# Why")
    publish.run([])
    changed(here / "content/registers/figures.yml", "value: 0.10", "value: 0.20")
    changed(here / "content/registers/figures.yml", "value: 0.95", "value: 0.90")
    before, now = editions(here).records[-1], editions(here).present

    told_of = {change.src: (change.was, change.now) for change in changes_between(before, now)}

    assert told_of == {
        "learn/why.md": (("Confidence of the verdict: 0.95.",), ("Confidence of the verdict: 0.90.",)),
        "procedures/time-the-lip.md": (
            ("Standard uncertainty of one hand-timed run: 0.10 s.", "Confidence of the verdict: 0.95."),
            ("Standard uncertainty of one hand-timed run: 0.20 s.", "Confidence of the verdict: 0.90."),
        ),
    }

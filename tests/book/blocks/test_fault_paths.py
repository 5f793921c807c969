"""The real book's fault paths: the table equals the register, every way ends, every end leads to a page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.places import PROJECT
from build_tools.registers.fault_paths import DO, GO, PAGE, STOP, FaultPath, Question, Reply
from build_tools.registers.registers import Registers, load_registers
from build_tools.shown.marks import plain_text
from build_tools.site.search_words import spellings

NAMED_IN_THE_JOB = (
    "will not come up",
    "lip does not come all the way out",
    "drops fast, or is slow to fold",
    "will not stay down",
    "hard to walk down",
    "dropped",
    "squeaks",
    "within a month",
    "one corner is low",
    "will not store",
    "the ring does nothing",
)
PATHS = load_registers(PROJECT / "content/registers")[0].faults


def _words(element: Tag | None) -> str:
    """What an eye reads: the symbol of a basis and its spoken words left out."""
    assert element is not None
    copy = BeautifulSoup(str(element), "html.parser")
    for sign in copy.select(".ht-basis, .ht-spoken"):
        sign.decompose()
    return " ".join(copy.get_text().split())


@pytest.fixture(scope="module")
def tables(site: Path) -> dict[str, tuple[Path, Tag]]:
    """Each path's section with the file of its page."""
    found = {}
    for page in sorted(site.rglob("*.html")):
        text = page.read_text(encoding="utf-8")
        if "data-fault-path=" not in text:
            continue
        for section in BeautifulSoup(text, "html.parser").select("section[data-fault-path]"):
            found[str(section["data-fault-path"])] = (page, section)
    return found


def _ways(path: FaultPath) -> Iterator[tuple[Reply, ...]]:
    """Every way through a path, each answer given at each question, to its last answer."""
    questions = {question.id: question for question in path.questions}

    def on(question: Question, way: tuple[Reply, ...]) -> Iterator[tuple[Reply, ...]]:
        for reply in question.replies:
            taken = (*way, reply)
            assert len(taken) <= len(path.questions), f"{path.id} goes round: {[each.says for each in taken]}"
            if reply.kind == GO:
                yield from on(questions[reply.text], taken)
            else:
                yield taken

    yield from on(path.questions[0], ())


def test_every_symptom_of_the_job_has_a_path() -> None:
    """The symptoms that the company asked for are all there, in a technician's words."""
    told = " / ".join(path.symptom.lower() for path in PATHS.values())

    assert [symptom for symptom in NAMED_IN_THE_JOB if symptom not in told] == []


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_every_way_reaches_an_end(path: FaultPath) -> None:
    """Whatever is answered, a path ends, and in an action with a page, a page, or stop and call.

    A path may end in stop and call on its own page, once the door is closed.
    """
    ends = [way[-1] for way in _ways(path)]

    assert {end.kind for end in ends} <= {DO, PAGE, STOP}
    assert all(end.page for end in ends if end.kind in (DO, PAGE))
    own = f"faults/{path.id}.md#"
    assert any(end.kind == STOP or (end.page or "").startswith(own) for end in ends)


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_the_table_is_the_register(
    path: FaultPath, tables: dict[str, tuple[Path, Tag]], registers: Registers
) -> None:
    """Numbers, what to do, what is asked, answers and where they lead: the table has them as the register."""
    numbers = {question.id: str(number) for number, question in enumerate(path.questions, start=1)}

    def say(text: str) -> str:
        return plain_text(text, registers.figures)

    def leads(reply: Reply) -> tuple[str, str]:
        if reply.kind == GO:
            return GO, f"Go to question {numbers[reply.text]}."
        return reply.kind, {DO: say(reply.text), PAGE: "Go on with", STOP: "Stop and call."}[reply.kind]

    expected = [
        (
            numbers[question.id],
            say(question.look),
            say(question.ask),
            list(path.cautions_at(question)),
            [(say(reply.says), *leads(reply)) for reply in question.replies],
        )
        for question in path.questions
    ]
    found = []
    for body in tables[path.id][1].select("[data-question]"):
        rows = [
            (
                _words(row.select_one("[data-part=says]")),
                row.get("data-end", GO),
                _words(row.select_one("[data-part=act]") or row.select_one("td:last-child a")),
            )
            for row in body.select("[data-answer]")
        ]
        parts = [_words(body.select_one(f"[data-part={name}]")) for name in ("number", "look", "ask")]
        found.append((*parts, str(body.get("data-cautions", "")).split(), rows))
    assert found == expected


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
def test_every_link_of_a_path_exists(path: FaultPath, tables: dict[str, tuple[Path, Tag]]) -> None:
    """Each link of the table leads to a page of the built book, and to a place that this page has."""
    page, section = tables[path.id]
    broken = []
    for link in section.select("a[href]"):
        address, _, anchor = str(link["href"]).partition("#")
        target = (page.parent / address).resolve() if address else page
        text = target.read_text(encoding="utf-8") if target.is_file() else ""
        if not text or (anchor and f'id="{anchor}"' not in text):
            broken.append(link["href"])
    assert broken == []


def test_each_caution_of_a_path_stands_above_its_table(tables: dict[str, tuple[Path, Tag]]) -> None:
    """Without JavaScript and on paper, the three parts of every caution come before the first question."""
    for path in PATHS.values():
        section = tables[path.id][1]
        above = [str(aside["data-hazard"]) for aside in section.select("aside[data-hazard]")]
        assert above == list(path.all_cautions())
        assert all(
            aside.find_previous("table") is None or aside.find_next("table") is section.table
            for aside in section.select("aside[data-hazard]")
        )


def test_home_lists_every_symptom(site: Path, tables: dict[str, tuple[Path, Tag]]) -> None:
    """Home has each symptom in its words, linked to the page of its path, in the order of the register."""
    home = BeautifulSoup((site / "index.html").read_text(encoding="utf-8"), "html.parser")
    found = [
        (_words(item.a), (site / str(item.a["href"])).resolve())
        for item in home.select("[data-symptom]")
        if item.a is not None
    ]

    assert found == [(path.symptom, tables[path.id][0].resolve()) for path in PATHS.values()]


def test_search_finds_a_page_by_what_is_said(site: Path, tables: dict[str, tuple[Path, Tag]]) -> None:
    """Symptom and sayings are in the index at the page of the path, in each spelling."""

    index = json.loads((site / "search/search_index.json").read_text(encoding="utf-8"))
    said = {entry["location"]: entry.get("said", "").split("; ") for entry in index["docs"]}
    missing = [
        word
        for path in PATHS.values()
        for phrase in (path.symptom, *path.said_as)
        for word in spellings(phrase)
        if word not in said[tables[path.id][0].relative_to(site).as_posix()]
    ]
    assert missing == []


def test_nothing_in_a_path_is_styled_or_scripted_in_place(tables: dict[str, tuple[Path, Tag]]) -> None:
    """The table has no style attribute and no handler, so that a strict policy can forbid both."""
    for _, section in tables.values():
        tags = [section, *section.find_all(True)]
        assert {key for tag in tags for key in tag.attrs if key == "style" or key.startswith("on")} == set()

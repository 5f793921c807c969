"""The ends of every fault path, held against the pages that they lead to. Common practice, no source.

That a page accepts an end is its author's word, under `accepts:`; the checks hold it both ways.
Here are the rules that a machine can see in the paths themselves.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from build_tools.book.book import Book, read_book
from build_tools.book.fault_words import page_of_path
from build_tools.registers.fault_paths import GO, STOP, FaultPath, Question, Reply

HINGES = "adjust/clean-and-free-the-hinges.md"
TIMING = "procedures/time-the-lip-fold.md"
MAINSPRING = "procedures/set-the-mainspring.md"
HOLD_DOWN = "adjust/set-the-hold-down.md"
KEEPERS = "repair/look-after-keepers-and-bumpers.md"
BRIEFING = "handover/brief-the-dock-staff.md"
CYCLE = "procedures/run-the-operating-cycle.md"
NOT_FOR_WRONG_TODAY = {"checks/quarterly-service.md", "checks/is-it-drifting.md"}
LIP_IN = "faults/lip-does-not-extend.md"
CHANGES_ON_THE_WAY = {
    frozenset({"ring-will-not-release", "will-not-rise-fully"}),  # it moves then
    frozenset({"will-not-store-in-the-keepers", "uneven-or-twisted"}),  # it sits in both then
    frozenset({"comes-up-hard", "lip-folds-too-quickly-or-slowly"}),  # the platform comes up gently then
    frozenset({"lip-folds-too-quickly-or-slowly", "lip-does-not-extend"}),  # not out there, out here
}
"""Pairs of paths that lead to each other, where what sends a leveler one way is no longer so on the other."""


@dataclass(frozen=True)
class End:
    """One end: the path, the replies that were tapped on the way, and the last of them."""

    path: FaultPath
    way: tuple[tuple[Question, Reply], ...]

    @property
    def reply(self) -> Reply:
        """The reply that ends the path."""
        return self.way[-1][1]

    @property
    def page(self) -> str:
        """The page that it leads to, "" for a stop."""
        return self.reply.page.partition("#")[0]

    @property
    def name(self) -> str:
        """Path, question and reply, for whoever reads a failure."""
        return f"{self.path.id}/{self.way[-1][0].id}: {self.reply.says}"

    def told(self) -> str:
        """All that stands on the way and in the end, in small letters."""
        asked = [
            text
            for question, reply in self.way
            for text in (question.look, question.note, question.ask, reply.says)
        ]
        return " ".join([*asked, self.reply.text, self.reply.why]).lower()


@pytest.fixture(scope="module")
def book(project: Path) -> Book:
    """The real book."""
    return read_book(project)[0]


@pytest.fixture(scope="module")
def ends(book: Book) -> list[End]:
    """Every way through every path, to its end."""
    return [end for path in book.registers.faults.values() for end in _ways(path, path.questions[0], ())]


def _ways(path: FaultPath, question: Question, before: tuple[tuple[Question, Reply], ...]) -> Iterator[End]:
    for reply in question.replies:
        way = (*before, (question, reply))
        if reply.kind == GO:
            yield from _ways(path, path.by_id()[reply.text], way)
        else:
            yield End(path, way)


def names(ends: Iterator[End]) -> list[str]:
    """The names of some ends, each once."""
    return list(dict.fromkeys(end.name for end in ends))


def test_every_end_is_a_stop_or_a_page(ends: list[End], book: Book) -> None:
    """Of the many ways through the paths each one ends, and none ends at the top of its own page."""
    stand = page_of_path(book.pages.values())
    assert len(names(iter(ends))) > 100
    assert names(end for end in ends if not (end.reply.kind == STOP or end.page in book.pages)) == []
    assert names(end for end in ends if end.reply.page == stand[end.path.id]) == []


def test_a_leveler_that_is_wrong_today_goes_to_no_page_for_those_that_are_right(ends: list[End]) -> None:
    """Service and trend are not for it; and what dropped under a load is not cycled to find out."""
    assert names(end for end in ends if end.page in NOT_FOR_WRONG_TODAY) == []
    assert names(end for end in ends if end.path.id == "drops-under-load" and end.page == CYCLE) == []


def test_the_mainspring_is_set_after_cycles_that_agree(ends: list[End]) -> None:
    """What is turned was seen more than once at the same setting."""
    seen_twice = ("agreeing-cycles", "stayed up both times")
    of_mainspring = [end for end in ends if end.page == MAINSPRING and end.path.id != "drifts-within-a-month"]
    assert of_mainspring
    assert names(end for end in of_mainspring if not any(words in end.told() for words in seen_twice)) == []


def test_the_staff_are_briefed_after_a_whole_cycle(ends: list[End]) -> None:
    """A page for a leveler that is right comes after a cycle on the way, or with the order to run one."""
    briefed = [end for end in ends if end.page == BRIEFING]
    assert briefed
    assert names(end for end in briefed if "cycle" not in end.told()) == []


def test_the_hold_down_is_set_on_a_platform_that_rises_full_and_gently(ends: list[End]) -> None:
    """Or its chain comes first, and the office knows."""
    held = [end for end in ends if end.page == HOLD_DOWN]
    assert held
    right = ("full and gent", "full, gentl", "rises full", "easy", "its chain first")
    assert names(end for end in held if not any(words in end.told() for words in right)) == []
    assert names(end for end in held if "office" not in end.told()) == []


def test_keepers_are_looked_after_where_the_lip_lies_in_both(ends: list[End]) -> None:
    """A lip that is out of one keeper is another fault."""
    kept = [end for end in ends if end.page == KEEPERS]
    assert kept
    both = ("in both", "lies in", "sits in")
    assert names(end for end in kept if not any(words in end.told() for words in both)) == []


def test_no_ring_of_paths_leaves_everything_as_it_was(ends: list[End], book: Book) -> None:
    """From path to path there is no way round but where something has changed in between."""
    path_of = {src: id_ for id_, src in page_of_path(book.pages.values()).items()}
    arrows = {
        (end.path.id, path_of[end.page])
        for end in ends
        if end.page in path_of and path_of[end.page] != end.path.id
    }
    left = {arrow for arrow in arrows if frozenset(arrow) not in CHANGES_ON_THE_WAY}
    assert _rings(left) == []


def _rings(arrows: set[tuple[str, str]]) -> list[str]:
    """The names on rings: what is left when everything without an arrow in or out is taken away."""
    while True:
        starts, ends_ = {start for start, _ in arrows}, {end for _, end in arrows}
        kept = {(start, end) for start, end in arrows if start in ends_ and end in starts}
        if kept == arrows:
            return sorted(starts)
        arrows = kept


def test_a_lip_that_is_not_out_gets_one_answer(ends: list[End]) -> None:
    """Its own path ends at the mainspring, the hinges, the timing or a stop; every other path leads there."""
    allowed = {MAINSPRING, HINGES, TIMING, ""}
    asked = [end for end in ends if end.path.id == "lip-does-not-extend"]
    last = [end for end in asked if end.way[-1][0].id.startswith("ask-for-")]
    assert last
    assert names(end for end in last if end.page not in allowed) == []
    elsewhere = [
        end for end in ends if "not fully out" in end.reply.says and end.path.id != "lip-does-not-extend"
    ]
    assert elsewhere
    assert names(end for end in elsewhere if end.page != LIP_IN) == []

"""A seeded sample of the trials that `build_tools trials` runs in full: cuts, evictions and wrong files."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from build_tools.browsers.trial import Phone, trial_phone
from build_tools.browsers.trial_bytes import (
    runtime_files,
    some_reading_files,
    try_wrong_file,
    try_wrong_first_install,
)
from build_tools.browsers.trial_cuts import Cut, Editions, every_cut, one_way_each, small_editions, try_cut
from build_tools.browsers.trial_evictions import eviction, try_eviction

CHANCE = random.Random(5)
REQUESTS = {"install": 45, "update": 6}
"""What the small book's visits made when this was written; a cut beyond the last request is no trial."""


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """One phone for the trials of this file, each at an origin of its own."""
    with trial_phone(tmp_path_factory.mktemp("trials")) as phone:
        yield phone


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> Editions:
    """The small book in two editions of which no file is the same."""
    return small_editions(tmp_path_factory.mktemp("books"), change_all=True)


def some_cuts(visit: str, *, stop: str) -> Cut:
    """One cut of a visit, with this stop after it."""
    return CHANCE.choice([cut for cut in every_cut(REQUESTS) if (cut.visit, cut.stop) == (visit, stop)])


CUTS = [
    some_cuts("install", stop="worker stopped"),
    some_cuts("install", stop="browser closed"),
    some_cuts("update", stop="page loaded again"),
]


@pytest.mark.parametrize("cut", CUTS, ids=str)
def test_a_cut_leaves_a_whole_edition_and_goes_on(trial: Phone, editions: Editions, cut: Cut) -> None:
    """Cut anywhere and stopped, the phone has a whole edition or none, says so, and fetches only the rest."""
    assert try_cut(trial, editions, cut) == []


@pytest.mark.parametrize("seed", CHANCE.sample(range(100), 3))
def test_what_the_phone_throws_away_is_told_and_mended(trial: Phone, editions: Editions, seed: int) -> None:
    """Whatever part goes, the phone says what is missing and, with a network, is whole after one visit."""
    assert try_eviction(trial, editions, eviction(seed)) == []


def test_a_wrong_file_of_a_new_edition_is_never_executed(trial: Phone, editions: Editions) -> None:
    """A wrong file of an update is named, not stored and not run; the old edition stays whole."""
    every = runtime_files(editions.two) + some_reading_files(editions.two, every=1)
    for wrong in CHANCE.sample(every, 2):
        assert try_wrong_file(trial, editions, wrong) == [], wrong


def test_a_wrong_runtime_file_leaves_the_pages_alone(trial: Phone, editions: Editions) -> None:
    """On a first install a wrong runtime file is named and not stored, and the pages are kept."""
    for wrong in CHANCE.sample(runtime_files(editions.one), 2):
        assert try_wrong_first_install(trial, editions, wrong) == [], wrong


def test_every_request_is_cut_both_ways_or_one_way_each() -> None:
    """The full count cuts each request of each visit; by turns, both ways come up equally often."""
    every = every_cut(REQUESTS)
    assert {(cut.visit, cut.request, cut.halved) for cut in every} == {
        (visit, request, halved)
        for visit, count in REQUESTS.items()
        for request in range(count)
        for halved in (False, True)
    }
    chosen = one_way_each(every)
    assert [(cut.visit, cut.request) for cut in chosen] == [(cut.visit, cut.request) for cut in every[::2]]
    assert abs(sum(cut.halved for cut in chosen) * 2 - len(chosen)) <= 1

"""A new edition comes in the middle of a visit, and the page that is worked has other steps."""

from __future__ import annotations

from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.reading import accept_offer, wait_offer
from build_tools.browsers.trial import Phone, wait_level
from build_tools.visit_trials.editions import CHANGED, GAINED, LOST, next_edition
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.hands import MAIN
from build_tools.visit_trials.kills import Visit
from build_tools.visit_trials.page import Shown, log_of, shown, work

NEXT = "open-the-door"
"""The step behind the one that is gone."""


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The next edition."""
    return next_edition(tmp_path_factory.mktemp("next")).folder


@pytest.fixture(scope="module")
def updated(trial: Phone, visit: Visit, second: Path) -> tuple[WebDriver, Shown]:
    """A visit that stands at a step, the new edition taken on another page, and what the visit shows then."""
    visit.begin(trial.browser)
    while LOST not in visit.engine.screen(visit.log)["steps"]:
        visit.go_on(trial.browser, 1)
    first, visit.host.folder = visit.host.folder, second
    visit.host.start()
    trial.browser.get(visit.host.address)
    wait_offer(trial.browser)
    accept_offer(trial.browser)
    assert wait_level(trial, "complete")
    visit.host.stop()
    visit.engine = Engine.of(second)
    assert first != second
    return trial.browser, visit.open(trial.browser)


def test_what_changed_is_told_first(updated: tuple[WebDriver, Shown], visit: Visit) -> None:
    """One screen tells the steps that are gone, new before the place, and worded anew; none twice."""
    _, stands = updated
    assert stands.kind == "changed"
    told = [(row["what"], row["step"]) for row in visit.engine.screen(visit.log)["changed"]]
    assert sorted(told) == [("changed", CHANGED), ("gained", GAINED), ("lost", LOST)]
    assert "Look up at the door." in stands.text
    assert "Look for a truck at this door." in stands.text
    assert stands.text.count("no longer there") == 1


def test_nothing_is_lost_and_it_goes_on_behind_the_step_that_is_gone(
    updated: tuple[WebDriver, Shown], visit: Visit
) -> None:
    """Every event is what it was; the next screen is the next step that is still there."""
    browser, _ = updated
    assert log_of(browser, visit.id) == visit.log
    work(browser, [("skip", 600), ("tap", MAIN)])
    visit.log = log_of(browser, visit.id)
    assert visit.engine.screen(visit.log)["steps"] == [NEXT]
    stands = shown(browser)
    assert stands is not None
    assert "Open the door fully." in stands.text


def test_the_visit_comes_to_its_end_in_the_new_edition(
    updated: tuple[WebDriver, Shown], visit: Visit
) -> None:
    """Told once, the changes come up no more; each event says of which edition it is."""
    browser, _ = updated
    visit.go_on(browser, closes=True)
    assert visit.engine.screen(visit.log)["kind"] == "closed"
    editions = list(dict.fromkeys(event["edition"] for event in visit.log))
    assert len(editions) == 2
    assert sum(event["kind"] == "told" for event in visit.log) == 1

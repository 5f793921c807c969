"""The clock of the phone is set within a visit: order and durations stay what they are."""

from __future__ import annotations

from itertools import pairwise

import pytest

from build_tools.browsers.trial import Phone
from build_tools.measuring.visit_taps import Count, count_visit
from build_tools.visit_trials.hands import LEVELER_CLASS
from build_tools.visit_trials.kills import Visit
from build_tools.visit_trials.page import CLOCK, work

DAY_MS = 86_400_000
SHIFTS = {10: -DAY_MS, 45: 2 * DAY_MS, 80: -DAY_MS}
"""After so many acts the clock is set by so much: a day back, then a day forward, then right again."""
LATE_S = 1.0
"""A page on a busy machine stops the watch late; never a day late."""


@pytest.fixture(scope="module")
def reference(visit: Visit) -> Count:
    """The same visit worked without a browser, and without a clock."""
    return count_visit(visit.engine.plan, visit.engine.words, LEVELER_CLASS)


@pytest.fixture(scope="module")
def closed(trial: Phone, visit: Visit) -> Visit:
    """The visit worked to its end while the clock is set back and forward."""
    done = 0
    for until, shift_ms in SHIFTS.items():
        visit.go_on(trial.browser, until - done)
        done = until
        trial.browser.execute_script(CLOCK + "trialClock.shift += arguments[0]", shift_ms)
    visit.go_on(trial.browser, closes=True)
    return visit


def test_the_clock_did_go_back(closed: Visit) -> None:
    """The log's own times tell that the trial did happen."""
    days = [event["at"][:10] for event in closed.log]
    assert sum(one > other for one, other in pairwise(days)) == 2
    assert len(set(days)) == 3


def test_events_stay_in_the_order_of_the_acts(closed: Visit, reference: Count) -> None:
    """The visit is to the last event the one that the same acts make without any clock."""
    kinds = [event["kind"] for event in closed.log if event["kind"] != "signed"]  # by hand, on the page alone
    assert kinds == [event["kind"] for event in reference.events]
    assert [event["seq"] for event in closed.log] == sorted(event["seq"] for event in closed.log)
    steps = [
        [e["values"]["steps"] for e in log if e["kind"] == "done"] for log in (closed.log, reference.events)
    ]
    assert steps[0] == steps[1]


def test_timed_runs_are_as_long_as_they_were(closed: Visit, reference: Count) -> None:
    """A run is timed by the page's own clock, which nobody sets."""
    folds = [
        [event["values"]["fold_time_s"] for event in log if event["kind"] == "run"]
        for log in (closed.log, reference.events)
    ]
    assert len(folds[0]) >= 9
    late = [shown - wanted for shown, wanted in zip(*folds, strict=True)]
    assert all(0 <= each < LATE_S for each in late), late


def test_the_record_is_the_same_but_for_its_days(trial: Phone, closed: Visit) -> None:
    """What was found and left, the verdicts and what is open do not hang on the clock."""
    straight = [{**event, "at": closed.log[0]["at"]} for event in closed.log]
    shown, wanted = (closed.engine.ask("leave", events=log) for log in (closed.log, straight))
    for part in ("rows", "verdicts", "open", "due", "did"):
        assert shown[part] == wanted[part], part
    closed.open(trial.browser)
    words = work(trial.browser, [("tap", "[data-part=after] a[href^='#report']")])
    assert "as found and as left" in words

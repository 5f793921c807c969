"""The reference visit through the page's own buttons: what the engine counts is what a phone takes."""

from __future__ import annotations

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.trial import Phone
from build_tools.measuring.visit_taps import Count, count_visit
from build_tools.visit_trials.hands import LEVELER_CLASS
from build_tools.visit_trials.kills import Visit
from build_tools.visit_trials.pages_count import OnPages, nested, rows_added
from build_tools.visit_trials.reference import Counted, count

SOUND = 2
"""The first run tries the sound, and then begins by a press: the engine knows of no sound."""

KNOWN = {"Run the operating cycle: step 3"}
"""Steps whose own words and entries are more than the phone holds, by 47 px when this was written."""


@pytest.fixture(scope="module")
def counted(trial: Phone, visit: Visit) -> Counted:
    """The visit worked from the list to its report."""
    browser: WebDriver = trial.browser
    return count(browser, visit.host.address, visit.engine, real=False)[0]


@pytest.fixture(scope="module")
def reckoned(visit: Visit) -> Count:
    """The same visit as the engine counts it."""
    return count_visit(visit.engine.plan, visit.engine.words, LEVELER_CLASS)


def test_the_page_takes_what_the_engine_counts(counted: Counted, reckoned: Count) -> None:
    """Taps and letters between opening and leaving are the same; the visit ends closed."""
    assert counted.taps["work"] == reckoned.taps - 1 + SOUND  # the close is a part of its own
    assert counted.typed["work"] == reckoned.typed
    kinds = [event["kind"] for event in counted.log]
    assert kinds[0] == "opened"
    assert "closed" in kinds


def test_no_step_scrolls_but_for_its_hazards(counted: Counted) -> None:
    """A step that is longer than a phone of 390 by 844 would not be without its hazards."""
    steps = [row for row in counted.scrolled if row.kind in ("steps", "runs")]
    assert steps != []
    assert {row.title for row in steps if not row.is_explained} <= KNOWN


def test_scrolling_on_a_page_is_no_more_than_is_needed() -> None:
    """What is in sight is not scrolled to; what is below comes to the foot, what is taller to the top."""
    counted = OnPages()
    counted.open("a.html")
    for box in ([0, 100], [800, 900], [100, 200], [300, 1500]):
        counted.see([float(edge) for edge in box])
    assert (counted.at, counted.scrolled_px) == (300, 56 + 244)
    counted.open("a.html")
    assert (counted.pages, counted.taps, counted.at) == (1, 1, 300)


def test_a_sheet_is_filled_by_place() -> None:
    """Places and values make the inputs again, and each row beyond the first is added by a tap."""
    flat = {"low": None, "runs[0]": 1.5, "rows[0].a": 1, "rows[0].b": True, "rows[1].a": 2}
    assert nested(flat) == {"low": None, "runs": [1.5], "rows": [{"a": 1, "b": True}, {"a": 2}]}
    assert rows_added({}, flat) == 1
    assert rows_added(flat, {**flat, "rows[2].a": 3}) == 1

"""A visit in the second engine: an act is in the log, and a reload goes on behind it."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_tools.browsers.engines import webkit
from build_tools.browsers.needed import WEBKIT
from tests.browser.visit.worked_page import MAIN, begin, heading, log_of, rest, turn
from tests.browser.work_sheet import START_S, wait

pytestmark = pytest.mark.skipif(not WEBKIT.is_there(), reason="WebKit is not on this machine")


def test_a_half_turn_is_kept_and_the_visit_goes_on(address: str, site: Path) -> None:
    """The half turn that was told as made is the last but one event, and the screen after it comes back."""
    with webkit() as browser:
        visit = begin(browser, address, site, turn)
        asked = heading(browser)
        browser.execute_script(f"document.querySelector('{MAIN}').click()")
        wait(
            browser, f"return document.querySelector('.ht-visit-heading').textContent !== {asked!r}", START_S
        )
        after = heading(browser)
        assert [event["kind"] for event in log_of(browser, visit)][-2:] == ["turned", "done"]
        browser.refresh()
        wait(browser, "return document.querySelector('.ht-visit-words') !== null", START_S)
        rest(browser)
        assert heading(browser) == after

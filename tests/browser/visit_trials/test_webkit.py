"""The second engine, killed within a visit: WebKitGTK as a person opens it, on what it kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_tools.browsers.needed import WEBKIT
from build_tools.visit_trials.kills import moments, try_kill, visit_elsewhere
from build_tools.visit_trials.webkit_phone import small_browser, webkit_phone

SEED, KILLS = 4, 1


@pytest.mark.skipif(not WEBKIT.is_there() or small_browser() is None, reason="WebKit is not on this machine")
def test_a_kill_loses_nothing_that_the_screen_had_acknowledged(site: Path, tmp_path: Path) -> None:
    """All processes are killed, it is opened again: nothing is lost, nothing half, the visit goes on."""
    with webkit_phone(tmp_path / "phone", site) as phone:
        visit = visit_elsewhere(phone, site)
        found = [try_kill(phone, visit, moment) for moment in moments(KILLS, SEED)]
    assert found == [[]] * KILLS
    assert visit.fell.total() == KILLS

"""The third engine, where it is there, killed within a visit and opened again on its profile."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_tools.browsers.needed import FIREFOX
from build_tools.visit_trials.firefox_phone import firefox_phone
from build_tools.visit_trials.kills import moments, try_kill, visit_elsewhere

SEED, KILLS = 4, 2


@pytest.mark.skipif(not FIREFOX.is_there(), reason="Firefox is not on this machine")
def test_a_kill_loses_nothing_that_the_screen_had_acknowledged(site: Path, tmp_path: Path) -> None:
    """All processes are killed, it is opened again: nothing is lost, nothing half, the visit goes on."""
    with firefox_phone(tmp_path / "phone", site) as phone:
        visit = visit_elsewhere(phone, site)
        found = [try_kill(phone, visit, moment) for moment in moments(KILLS, SEED)]
    assert found == [[]] * KILLS
    assert visit.fell.total() == KILLS

"""A seeded sample of the kills that `build_tools trials visit` makes a hundred of."""

from __future__ import annotations

import pytest

from build_tools.browsers.trial import Phone
from build_tools.visit_trials.kills import Moment, Visit, moments, try_kill

SEED = 13
KILLS = 3


@pytest.mark.parametrize("moment", moments(KILLS, SEED), ids=str)
def test_a_kill_loses_nothing_that_the_screen_had_acknowledged(
    trial: Phone, visit: Visit, moment: Moment
) -> None:
    """All that was acknowledged is there, no act is half there, and the visit goes on where it was."""
    assert try_kill(trial, visit, moment) == []


def test_each_kill_fell_somewhere(visit: Visit) -> None:
    """The trials did happen: each kill is counted where it fell."""
    assert visit.fell.total() == KILLS

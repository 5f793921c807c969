"""A phone on which a visit is open, the book kept and the network gone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from build_tools.browsers.trial import Phone, trial_phone
from build_tools.visit_trials.kills import Visit, visit_on


@pytest.fixture(scope="session")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    """One phone for all trials of visits; it is killed and opened again."""
    with trial_phone(tmp_path_factory.mktemp("trials")) as phone:
        yield phone


@pytest.fixture(scope="session")
def visit(trial: Phone, site: Path) -> Iterator[Visit]:
    """A visit of the reference leveler, begun by the page's own buttons; a file may begin another."""
    with visit_on(trial, site) as visit:
        yield visit

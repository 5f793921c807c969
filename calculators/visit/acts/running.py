"""A timed run, one struck out, one put back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.shared.fields import BadInput, InputProblem
from calculators.visit.acts.act_values import RUN, choice, text
from calculators.visit.acts.here import Events, Now, given_values, is_run, where
from calculators.visit.derived.inputs import runs_here
from calculators.visit.derived.ledger import net
from calculators.visit.log.state import Row
from calculators.visit.screens.screens import MOST_RUNS


def run(here: Now, act: Mapping[str, Any]) -> Events:
    """Take a timed run, with the setting at which it was made."""
    if len(runs_here(here.state)) >= MOST_RUNS:
        raise BadInput(InputProblem("fold_time_s", None, "visit-runs-enough", {"most": MOST_RUNS}))
    given = given_values(RUN, act, here.words)
    row: Row = {**where(here), "stopped": "sharp", **given, "spring_setting": net(here.state, "lip-assist")}
    if act.get("tone"):
        row |= given_values([choice("tone", "untold")], act, here.words)
    if act.get("struck"):
        row |= given_values([text("struck", 1)], act, here.words)
    return [("run", row)]


def strike(here: Now, act: Mapping[str, Any]) -> Events:
    """Strike a run out, with its reason; it stays in the record."""
    given = given_values([text("of", 1, 120), text("why", 1)], act, here.words)
    return [("struck", _of_run(here, given))]


def put_back(here: Now, act: Mapping[str, Any]) -> Events:
    """Let a run that was struck out count again."""
    given = given_values([text("of", 1, 120), text("why", optional=True)], act, here.words)
    return [("put-back", _of_run(here, given))]


def _of_run(here: Now, given: Row) -> Row:
    if not is_run(here, given["of"]):
        raise BadInput(InputProblem("of", given["of"], "visit-no-such-entry"))
    return given

"""What a person at the dock answers when the plan asks: the truth where it is known, else "do not know"."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from build_tools.simulator.visit import Run, Visit


def reply(visit: Visit, asked: Mapping[str, Any]) -> None:
    """Answer one question: put the sheet right, or note the answer."""
    visit.asked += 1
    code = str(asked["code"]).removeprefix("question.")
    number = re.search(r"\d+", asked["field"])
    run = visit.runs[int(number[0])] if number else None
    if run is not None and _put_right(visit, run):
        return
    known = {"ten-fold": "as-read", "far-off": "as-read", "sign": "as-entered", "turn": "not-turned"}
    visit.answers[code, asked["field"]] = known.get(code, "do-not-know")


def _put_right(visit: Visit, run: Run) -> bool:
    """Correct a time typed with its point one place off, or a half turn that was not entered."""
    if run.seconds != run.read:
        run.seconds = run.read
        return True
    if visit.condition.forgets_turn and run.half_turns != run.true_setting:
        for each in visit.runs:
            each.half_turns = each.true_setting
        visit.entered = visit.nut
        return True
    return False

"""What both plans of half turns keep to, whatever was timed or seen."""

from __future__ import annotations

import doctest
from dataclasses import dataclass
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.mainspring_plan import calculator as mainspring_plan
from calculators.turn_plan import calculator as turn_plan
from tests.calculators.asking import ask
from tests.calculators.drawn_inputs import unhurried
from tests.calculators.plan_visits import mainspring_visits, turn_visits

EVERY_STOP_SAYS = ("do not adjust further", "out of service", "call")
LIP_SIDE_SAYS = ("no further turn", "look at the lip hinge", "time the lip", "out of service until")


@dataclass(frozen=True)
class PlanCase:
    """A plan, the visits that it may be asked about, and the input with their rows."""

    module: ModuleType
    visits: st.SearchStrategy[dict[str, Any]]
    rows: str


PLANS = [
    PlanCase(turn_plan, turn_visits(), "readings"),
    PlanCase(mainspring_plan, mainspring_visits(), "cycles"),
]
SAME = ("do_now", "stop", "half_turns_to_go")
"""What does not depend on where settings are counted from; a plan need not have all of them."""
EITHER = pytest.mark.parametrize("plan", PLANS, ids=[plan.module.NAME for plan in PLANS])


@EITHER
def test_example(plan: PlanCase) -> None:
    """The worked example of the docstring comes out as printed."""
    assert doctest.testmod(plan.module) == (0, 3)


@EITHER
def test_every_visit_has_a_whole_answer(plan: PlanCase) -> None:
    """Every output is there, and every sentence can be said."""

    @unhurried(100)
    @given(plan.visits)
    def hold(visit: dict[str, Any]) -> None:
        found = ask(plan.module.NAME, visit)
        assert list(found) == [output.name for output in plan.module.OUTPUTS]
        assert all(sentence["text"] for sentence in (found["headline"], *found["reasons"]))
        assert found["reasons"] != []

    hold()


@EITHER
def test_a_turn_is_one_half_turn_within_what_is_left(plan: PlanCase) -> None:
    """do_now is -1, 0 or +1, needs both limits, never leads past one, and is the same on every spring."""

    @unhurried(100)
    @given(plan.visits)
    def hold(visit: dict[str, Any]) -> None:
        found, present = ask(plan.module.NAME, visit), visit[plan.rows][-1]["half_turns"]
        assert found["do_now"] in (-1, 0, 1)
        if found["do_now"]:
            assert visit["half_turns_min"] <= present + found["do_now"] <= visit["half_turns_max"]
        if "spring_count" in visit:
            every = [{"spring": i + 1, "half_turns": found["do_now"]} for i in range(visit["spring_count"])]
            assert found["per_spring"] == every

    hold()


@EITHER
def test_gates_follow_what_is_asked_for(plan: PlanCase) -> None:
    """Both gates are before a turn; a stop has neither, orders none, and says the three things.

    The lip's side alone says where to go on instead: the mainspring is done, and the lip comes next.
    """

    @unhurried(100)
    @given(plan.visits)
    def hold(visit: dict[str, Any]) -> None:
        found = ask(plan.module.NAME, visit)
        if found["do_now"]:
            assert found["before_turning"] != [] and found["before_cycling"] != []
        if found["stop"]:
            assert (found["do_now"], found["before_turning"], found["before_cycling"]) == (0, [], [])
            assert found.get("half_turns_to_go") is None
            said = found["headline"]["text"].lower()
            says = LIP_SIDE_SAYS if found["stop"] == "lip-side" else EVERY_STOP_SAYS
            assert [part for part in says if part not in said] == []
        elif not found.get("question"):  # while a question stands, nobody goes anywhere
            assert found["before_turning"] != [] or found["before_cycling"] != []

    hold()


def is_doubted(found: dict[str, Any]) -> bool:
    """Whether the spring is doubted, so that the nut goes back to as found."""
    codes = [each["code"].rpartition(".")[2] for each in (found["headline"], *found["reasons"])]
    return found["stop"] in ("wrong-way", "no-response") or bool(
        {"sign", "doubt-wrong-way", "doubt-no-response"} & set(codes)
    )


@EITHER
def test_counting_from_elsewhere_changes_nothing(plan: PlanCase) -> None:
    """Settings and limits counted from another zero give the same half turn, stop and count."""

    @unhurried(100)
    @given(plan.visits, st.integers(-40, 40))
    def hold(visit: dict[str, Any], shift: int) -> None:
        moved = {**visit}
        moved[plan.rows] = [{**row, "half_turns": row["half_turns"] + shift} for row in visit[plan.rows]]
        for limit in ("half_turns_min", "half_turns_max"):
            moved[limit] = None if visit[limit] is None else visit[limit] + shift
        told = [plan.module.calculate(**each) for each in (visit, moved)]
        if any(is_doubted(each) for each in told):
            return  # then the way back to as found is asked for, which lies elsewhere
        assert [told[1].get(name) for name in SAME] == [told[0].get(name) for name in SAME]

    hold()

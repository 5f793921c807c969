"""The working of mainspring-plan: what each cycle was sorted as, and whether the latest two agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.mainspring_plan.calculator import observed
from calculators.mainspring_plan.rules import GOOD, TOO_LOW, Cycle
from calculators.shared.decimal_text import marked, plain
from calculators.shared.working_lines import Line, line

MOST_SHOWN = 8
"""Cycles written out one by one, the latest; what went before is counted."""

Row = Mapping[str, Any]


def lines(inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[Line]:
    """Return the lines for typed inputs and their answer."""
    limit = inputs["walk_down_limit_n"]
    rows: Sequence[Row] = inputs["cycles"]
    cycles = [observed(row, limit) for row in rows]
    first = max(0, len(rows) - MOST_SHOWN)
    found = [_step("earlier", count=first)] if first else []
    for i in range(first, len(rows)):
        found.append(_cycle(i + 1, cycles[i]))
        if rows[i].get("walk_down_effort_n") is not None:
            code = "effort-over" if rows[i]["walk_down_effort_n"] > limit else "effort-within"
            found.append(_step(code, effort_n=rows[i]["walk_down_effort_n"], limit_n=limit))
    return [*found, *_bands(answer), _latest_two(cycles)]


def _step(code: str, **values: object) -> Line:
    return line(f"mainspring-plan.working.{code}", **values)


def _cycle(number: int, cycle: Cycle) -> Line:
    return _step(
        "cycle",
        number=number,
        half_turns=cycle.half_turns,
        rise=line(f"mainspring-plan.rise.{cycle.rise}"),
        lip=_step("lip-out" if cycle.lip_extended else "lip-not-out"),
        walk_down=line(f"mainspring-plan.walk_down.{cycle.walk_down}"),
        level=_level(cycle.level),
    )


def _level(level: int) -> Line:
    name = "good" if level == GOOD else "too-low" if level == TOO_LOW else "too-high"
    return line(f"mainspring-plan.shows.{name}")


def _bands(answer: Mapping[str, Any]) -> list[Line]:
    """Say which settings the latest cycles showed to be what."""
    return [
        _step(
            "band",
            level=line(f"mainspring-plan.shows.{row['shows']}"),
            settings=", ".join(marked(plain(setting), ".") for setting in row["half_turns"]),
        )
        for row in answer["known_band"]
        if row["half_turns"]
    ]


def _latest_two(cycles: Sequence[Cycle]) -> Line:
    here = [each for each in cycles if each.half_turns == cycles[-1].half_turns][-2:]
    if len(here) == 1:
        return _step("only-one", half_turns=here[0].half_turns)
    before, latest = (_level(each.level) for each in here)
    code = "agree" if here[0].level == here[1].level else "differ"
    return _step(code, half_turns=here[0].half_turns, before=before, latest=latest)

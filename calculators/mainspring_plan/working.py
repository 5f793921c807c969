"""The working of mainspring-plan: what each cycle was sorted as, and what most at a setting say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.mainspring_plan.calculator import observed
from calculators.mainspring_plan.rules import GOOD, TOO_LOW, Cycle, Watch
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
    watch = Watch(
        cycles=cycles,
        half_turns_min=inputs["half_turns_min"],
        half_turns_max=inputs["half_turns_max"],
        spring_count=inputs["spring_count"],
    )
    return [*found, *_bands(answer), _most_here(watch)]


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
    """Say which settings most cycles showed to be what."""
    return [
        _step(
            "band",
            level=line(f"mainspring-plan.shows.{row['shows']}"),
            settings=", ".join(marked(plain(setting), ".") for setting in row["half_turns"]),
        )
        for row in answer["known_band"]
        if row["half_turns"]
    ]


def _most_here(watch: Watch) -> Line:
    """Say what most cycles at the present setting say, or that none has most."""
    here, agreed = watch.here, watch.agreed(watch.latest.half_turns)
    values = {"half_turns": here[0].half_turns, "count": len(here)}
    if len(here) == 1:
        return _step("only-one", **values)
    if agreed is None:
        return _step("differ", **values)
    return _step("agree", **values, most=sum(each.level == agreed for each in here), level=_level(agreed))

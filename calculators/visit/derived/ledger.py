"""The half turns of each spring: net from as found, what is left, ordered, and not checked yet."""

from __future__ import annotations

from typing import Any

from calculators.shared.half_turns import FARTHEST
from calculators.visit.derived.outcomes import TURNS
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State

WAYS = {"tighten": 1, "loosen": -1}
LIMIT_ASKS = (("threads-to-tighten", 1), ("threads-to-loosen", -1))


def spring_count(plan: Plan, state: State, spring: str) -> int | None:
    """Return how many springs of a kind the leveler has; None where nobody said."""
    if spring == "lip-assist":
        return 1
    given = state.last("springs", "spring_count") or state.opened.get("spring_count")
    return given or plan.leveler(state.opened.get("leveler_class")).get("spring_count")


def net(state: State, spring: str, which: int | None = None, before: float | None = None) -> int:
    """Return the half turns of a spring from as found, up to a seq; of spring 1 where none is named."""
    made = [
        WAYS[turn["direction"]]
        for turn in state.turns
        if turn["spring"] == spring
        and turn["which"] == (which or 1)
        and (before is None or turn["made"] < before)
    ]
    return sum(made)


def nets(plan: Plan, state: State, spring: str) -> list[int]:
    """Return the net of each spring of a kind."""
    turned = max((turn["which"] for turn in state.turns if turn["spring"] == spring), default=1)
    count = max(spring_count(plan, state, spring) or 1, turned)
    return [net(state, spring, which) for which in range(1, count + 1)]


def last_turn(state: State, spring: str | None = None) -> float:
    """Return where the last half turn of a spring, or of any, stands in the log; -1 where none was made."""
    return max((turn["made"] for turn in state.turns if spring in (None, turn["spring"])), default=-1.0)


def cycles(state: State) -> list[Row]:
    """Return the cycles seen in whole, in order: rise, lip, walk-down, the seq of each and the setting."""
    seen: list[Row] = []
    for row in state.entered:
        if row["ask"] == "rise":
            seen.append(
                {"seq": row["seq"], "rise": row["rise"], "setting": net(state, "mainspring", 1, row["seq"])}
            )
        elif seen and row["ask"] in ("lip", "walk-down"):
            names = ("lip_extended", "walk_down", "walk_down_effort_n")
            seen[-1] |= {name: row[name] for name in names if name in row}
            seen[-1]["ended"] = row["seq"]
    return [each for each in seen if {"lip_extended", "walk_down"} <= each.keys()]


def is_last_cycle_right(state: State) -> bool:
    """True where the last whole cycle was right: a full and gentle rise, the lip fully out, walked down."""
    last = cycles(state)[-1:]
    return any(
        each["rise"] == "full-gentle" and each["lip_extended"] and each["walk_down"] != "cannot"
        for each in last
    )


def checked_at(state: State, spring: str) -> int:
    """Return the seq of what last showed how a spring acts: a whole cycle, or a timed run; -1 for none."""
    if spring == "mainspring":
        return max((cycle["seq"] for cycle in cycles(state)), default=-1)
    return max((run["seq"] for run in state.runs if run["struck"] is None), default=-1)


def waits_for_check(state: State, spring: str) -> bool:
    """True where a half turn was made and nothing has shown yet what it did."""
    return last_turn(state, spring) > checked_at(state, spring)


def order(plan: Plan, state: State, spring: str | None) -> Row | None:
    """Return the half turn that stands ordered: spring, direction, which of how many; None where none does.

    An answer orders one half turn of each spring. It falls away with the first cycle or run after it, with a
    correction, and with a stop. Springs that are uneven are made even first, half a turn at most.
    """
    if spring is None or state.stopped:
        return None
    levels = nets(plan, state, spring)
    count = len(levels)
    if max(levels) != min(levels):
        return _evening(state, spring, levels)
    answer = _standing_answer(state, spring)
    if answer is None or waits_for_check(state, spring) or last_turn(state, spring) > answer["seq"]:
        return None
    return {"spring": spring, "direction": TURNS[answer["do_now"]], "which": 1, "of": count}


def _standing_answer(state: State, spring: str) -> Row | None:
    answer = next((row for row in reversed(state.answered) if row.get("spring") == spring), None)
    if answer is None or not answer.get("do_now"):
        return None
    since = max(checked_at(state, spring), state.changed_at)
    return answer if answer["seq"] > since else None


def _evening(state: State, spring: str, levels: list[int]) -> Row | None:
    """Finish on the other springs the half turn that one of them has; None where they are further apart."""
    latest = max((turn for turn in state.turns if turn["spring"] == spring), key=lambda turn: turn["made"])
    way = WAYS[latest["direction"]]
    target = levels[latest["which"] - 1]
    behind = [which for which, level in enumerate(levels, start=1) if level == target - way]
    if len(behind) + levels.count(target) < len(levels) or not behind:
        return None
    if any(_unchecked(state, spring, which) for which in behind):
        return None
    return {"spring": spring, "direction": latest["direction"], "which": behind[0], "of": len(levels)}


def _unchecked(state: State, spring: str, which: int) -> bool:
    made = [turn["made"] for turn in state.turns if (turn["spring"], turn["which"]) == (spring, which)]
    return bool(made) and max(made) > checked_at(state, spring)


def is_uneven(plan: Plan, state: State, spring: str) -> bool:
    """True where the springs of a kind do not all stand alike."""
    return len(set(nets(plan, state, spring))) > 1


def limits(plan: Plan, state: State, spring: str) -> tuple[int | None, int | None]:
    """Return the loosest and the tightest setting allowed, half turns from as found; None where not counted.

    The threads counted, less those kept, times the half turns of a thread; of several springs the least.
    """
    kept, each = plan.figure("threads-kept", 2), plan.figure("half-turns-per-thread", 2)
    found: list[int | None] = []
    for ask, way in LIMIT_ASKS:
        rows = _latest_each(state, ask, spring)
        if len(rows) < (spring_count(plan, state, spring) or 1):
            found.append(None)
            continue
        ends = [
            net(state, spring, row["which"], row["seq"]) + way * int(each * max(0, row["threads"] - kept))
            for row in rows
        ]
        found.append(min(FARTHEST, max(0, min(ends))) if way > 0 else max(-FARTHEST, min(0, max(ends))))
    return found[1], found[0]


def _latest_each(state: State, ask: str, spring: str) -> list[Row]:
    rows = {
        row.get("which", 1): {**row, "which": row.get("which", 1)}
        for row in state.entered
        if row["ask"] == ask and row.get("spring") == spring
    }
    return list(rows.values())


def rods(state: State, spring: str, which: int) -> list[Row]:
    """Return the lengths measured of a spring's rod, in order."""
    return [
        row
        for row in state.entered
        if row["ask"] in ("rod-found", "rod-now")
        and (row.get("spring"), row.get("which", 1)) == (spring, which)
    ]


def ledger(plan: Plan, state: State) -> dict[str, Any]:
    """Return the ledger of each spring that was turned, measured or counted."""
    return {
        spring: _page(plan, state, spring) for spring in ("mainspring", "lip-assist") if _has(state, spring)
    }


def _has(state: State, spring: str) -> bool:
    rows = (*state.turns, *state.entered)
    return any(row.get("spring") == spring for row in rows)


def _page(plan: Plan, state: State, spring: str) -> Row:
    low, high = limits(plan, state, spring)
    now = nets(plan, state, spring)
    turns = [
        {
            "which": turn["which"],
            "direction": turn["direction"],
            "at": turn["at"],
            "unordered": turn.get("unordered"),
            "checked": turn["made"] < checked_at(state, spring),
        }
        for turn in state.turns
        if turn["spring"] == spring
    ]
    return {
        "net": now[0] if len(set(now)) == 1 else None,
        "nets": now,
        "left": {
            "tighten": None if high is None else high - max(now),
            "loosen": None if low is None else min(now) - low,
        },
        "as_found": 0,
        "turns": turns,
        "last_check": checked_at(state, spring) if checked_at(state, spring) >= 0 else None,
        "waits_for_check": waits_for_check(state, spring),
        "uneven": is_uneven(plan, state, spring),
        "rods": [
            {
                "found_m": lengths[0]["length_m"],
                "now_m": lengths[-1]["length_m"],
                "tool": lengths[-1].get("tool"),
            }
            if (lengths := rods(state, spring, which))
            else None
            for which in range(1, len(now) + 1)
        ],
    }

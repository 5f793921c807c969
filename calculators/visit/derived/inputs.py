"""The calculators' inputs, built from the log: nothing is typed twice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators import answering
from calculators.fold_time.rules import MOST_RUNS
from calculators.shared.timing import DELAY
from calculators.visit.derived.ledger import cycles, last_turn, limits, net, rods, spring_count
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State

MOST_READINGS = 100
MOST_ANSWERS = 40
RODS = {"rule": "rod-length-by-rule", "caliper": "rod-length-by-caliper"}
PITCHES = {"mainspring": "thread_pitch_m", "lip-assist": "lip_thread_pitch_m"}
"""The leveler's figure that holds the pitch of each rod."""


def window(plan: Plan, state: State) -> tuple[float, float] | None:
    """Return the window of the fold, s: as entered in this visit, else the leveler's own, or None."""
    low = state.last("window", "window_low_s")
    high = state.last("window", "window_high_s")
    if low is not None and high is not None:
        return low, high
    own = plan.leveler(state.opened.get("leveler_class")).get("figures", {})
    if "window_low_s" in own and "window_high_s" in own:
        return own["window_low_s"], own["window_high_s"]
    return None


def given(plan: Plan, state: State, calculator: str) -> Row:
    """Return what nobody is asked for: the registers' values, and those of this person's own habit."""
    fields = answering.module(calculator).INPUTS
    figures = plan.raw.get("figures", {})
    found = {
        **{field.name: figures[field.figure] for field in fields if field.figure in figures},
        **plan.raw.get("given", {}).get(calculator, {}),
        **state.opened.get("own", {}).get(calculator, {}),
    }
    if "timing" in found and not any(run.get("tone") for run in counted_runs(state)):
        found["timing"] = [row for row in found["timing"] if row["way"] != DELAY]
    return found


def lacking(plan: Plan, state: State, calculator: str) -> list[str]:
    """Return what has to be asked for before the calculator can be."""
    if calculator in ("fold-time", "turn-plan") and window(plan, state) is None:
        return ["window"]
    if calculator == "mainspring-plan" and spring_count(plan, state, "mainspring") is None:
        return ["springs"]
    return []


def inputs(
    plan: Plan, state: State, calculator: str, which: int = 1, spring: str = "mainspring"
) -> Row | None:
    """Return a calculator's inputs; None where nothing was seen, timed or measured to ask about."""
    if calculator == "mainspring-plan":
        return _mainspring(plan, state)
    if calculator == "rod-length":
        return _rod(plan, state, spring, which)
    return _turn(plan, state) if calculator == "turn-plan" else _fold(plan, state)


def _mainspring(plan: Plan, state: State) -> Row | None:
    seen = cycles(state)[-MOST_READINGS:]
    if not seen or seen[-1]["seq"] < last_turn(state, "mainspring"):
        return None
    low, high = limits(plan, state, "mainspring")
    limit = plan.leveler(state.opened.get("leveler_class")).get("figures", {}).get("walk_down_limit_n")
    rows = []
    for cycle in seen:
        row = {"half_turns": cycle["setting"]}
        row |= {name: cycle[name] for name in ("rise", "lip_extended", "walk_down")}
        if limit is not None and "walk_down_effort_n" in cycle:
            row["walk_down_effort_n"] = cycle["walk_down_effort_n"]
        rows.append(row)
    return {
        **given(plan, state, "mainspring-plan"),
        "cycles": rows,
        "half_turns_min": low,
        "half_turns_max": high,
        "spring_count": spring_count(plan, state, "mainspring"),
        **({} if limit is None else {"walk_down_limit_n": limit}),
    }


def counted_runs(state: State) -> list[Row]:
    """Return the runs that are not struck out, in order, each with the lip-assist spring's setting."""
    return [
        {**run, "setting": net(state, "lip-assist", 1, run["seq"])}
        for run in state.runs
        if run["struck"] is None
    ]


def runs_here(state: State) -> list[Row]:
    """Return the runs at the present setting since it was reached, the latest that a calculator takes."""
    present = net(state, "lip-assist")
    return [run for run in counted_runs(state) if run["setting"] == present][-MOST_RUNS:]


def _fold(plan: Plan, state: State) -> Row | None:
    here = runs_here(state)
    between = window(plan, state)
    if not here or between is None or here[-1]["seq"] < last_turn(state, "lip-assist"):
        return None
    return {
        **given(plan, state, "fold-time"),
        **_temperature(state),
        "window_low_s": between[0],
        "window_high_s": between[1],
        "runs_s": [{"fold_time_s": run["fold_time_s"], "started": run["started"]} for run in here],
        "stopped": here[-1]["stopped"],
        "answers": _answers(state, here, "runs_s[{}]"),
    }


def _turn(plan: Plan, state: State) -> Row | None:
    runs = _readings(state)
    between = window(plan, state)
    if not runs or between is None or runs[-1]["seq"] < last_turn(state, "lip-assist"):
        return None
    low, high = limits(plan, state, "lip-assist")
    before = state.opened.get("before", {})
    priors = ("prior_slope_per_s_per_half_turn", "prior_slope_sd_per_s_per_half_turn")
    return {
        **given(plan, state, "turn-plan"),
        **_temperature(state),
        **{name: before[name] for name in priors if name in before},
        "window_low_s": between[0],
        "window_high_s": between[1],
        "readings": [
            {"half_turns": run["setting"], "fold_time_s": run["fold_time_s"], "started": run["started"]}
            for run in runs
        ],
        "half_turns_min": low,
        "half_turns_max": high,
        "stopped": runs[-1]["stopped"],
        "answers": _answers(state, runs, "readings[{}].fold_time_s"),
    }


def _readings(state: State) -> list[Row]:
    """Return the runs that turn-plan takes: the latest ten at each setting."""
    kept: list[Row] = []
    counts: dict[int, int] = {}
    for run in reversed(counted_runs(state)):
        counts[run["setting"]] = counts.get(run["setting"], 0) + 1
        if counts[run["setting"]] <= MOST_RUNS:
            kept.append(run)
    return kept[::-1][-MOST_READINGS:]


def _temperature(state: State) -> Row:
    found = state.last("temperature", "temperature_c")
    return {} if found is None else {"temperature_c": found}


def _answers(state: State, runs: list[Row], place: str) -> list[Row]:
    """Return what was answered to questions about these runs, each at its run's present place.

    A run of a visit was timed by the phone itself: nobody can have put its point one place off.
    """
    places = {run["id"]: place.format(i) for i, run in enumerate(runs)}
    read = [{"question": "ten-fold", "field": at, "answer": "as-read"} for at in reversed(places.values())]
    rows = [
        {
            "question": reply["question"],
            "field": places.get(reply.get("of"), ""),
            "answer": reply["answer"],
        }
        for reply in state.replied
        if "calculator" in reply and (reply.get("of") is None or reply["of"] in places)
    ]
    return [*rows[-MOST_ANSWERS:], *read][:MOST_ANSWERS]


def run_at(state: State, calculator: str, field: str) -> str | None:
    """Return the id of the run that a question's place, runs_s[2], is about; None for all of them."""
    digits = "".join(sign for sign in field.partition("]")[0] if sign.isdigit())
    runs = _readings(state) if calculator == "turn-plan" else runs_here(state)
    return str(runs[int(digits)]["id"]) if digits and int(digits) < len(runs) else None


def _rod(plan: Plan, state: State, spring: str, which: int) -> Row | None:
    """Return what is held against the count: the rod as found and now; None without both, or a pitch."""
    measured = rods(state, spring, which)
    found = next((row for row in measured if row["ask"] == "rod-found"), None)
    now = [row for row in measured if row["ask"] == "rod-now"]
    pitch = plan.leveler(state.opened.get("leveler_class")).get("figures", {}).get(PITCHES[spring])
    if found is None or not now or pitch is None:
        return None
    again = [row for row in now if row["seq"] > last_turn(state, spring)]
    tool = now[-1].get("tool") or found.get("tool") or "rule"
    return {
        **given(plan, state, "rod-length"),
        "half_turns": net(state, spring, which) - net(state, spring, which, found["seq"]),
        "length_found_m": found["length_m"],
        "length_now_m": now[-1]["length_m"],
        "thread_pitch_m": pitch,
        "reading_uncertainty_mm": plan.figure(RODS[tool], 0.5),
        "measured_again": len(again) > 1,
    }


def asked(calculator: str, raw: Mapping[str, Any]) -> Row:
    """Return a question to a calculator as a screen shows it, so that the page can draw its picture."""
    return {"name": calculator, "inputs": dict(raw)}

"""As found and as left, side by side: what was seen, set, measured and timed first and last in a visit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from calculators import answering
from calculators.shared.half_turns import sentence
from calculators.visit.derived.inputs import asked, counted_runs, given, window
from calculators.visit.derived.ledger import cycles, last_turn, limits, nets, rods, spring_count
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State

Words = Mapping[str, str]
SPRINGS = ("mainspring", "lip-assist")
SEEN = (("rise", "rise"), ("lip", "lip_extended"), ("walk-down", "walk_down"))
"""What is seen of a cycle: its name in the words, and the value's in the log."""


def compared(plan: Plan, state: State, words: Words) -> list[Row]:
    """Return rows of label, found and left, each a sentence; None where it was not seen."""
    return [
        *_cycle_rows(state),
        *(row for spring in SPRINGS for row in _spring_rows(plan, state, spring)),
        *_fold_rows(plan, state, words),
    ]


def first_change(state: State) -> float:
    """Return the seq of the first half turn, beyond every event where none was made."""
    return min((turn["made"] for turn in state.turns), default=float("inf"))


def last_change(state: State) -> float:
    """Return the seq of the last half turn or part put in; -1 where neither was."""
    return max(last_turn(state), *(float(part["seq"]) for part in state.parts if part["used"]), -1.0)


def cycle_found(state: State) -> Row | None:
    """Return the last cycle before anything was turned."""
    before = [cycle for cycle in cycles(state) if cycle["seq"] < first_change(state)]
    return before[-1] if before else None


def cycle_left(state: State) -> Row | None:
    """Return the last cycle, None where something was turned or put in after it."""
    after = [cycle for cycle in cycles(state) if cycle["seq"] > last_change(state)]
    return after[-1] if after else None


def _cycle_rows(state: State) -> Iterator[Row]:
    found, left = cycle_found(state), cycle_left(state)
    if found or left:
        for name, value in SEEN:
            yield {
                "label": sentence(f"visit.record.{name}"),
                "found": _seen(found, name, value),
                "left": _seen(left, name, value),
            }


def _seen(cycle: Row | None, name: str, value: str) -> Row | None:
    if cycle is None:
        return None
    said = cycle[value]
    choice = ("out" if said else "part") if name == "lip" else said
    return sentence(f"visit.choice.{name}.{choice}")


def _spring_rows(plan: Plan, state: State, spring: str) -> Iterator[Row]:
    count = spring_count(plan, state, spring) or 1
    levels = nets(plan, state, spring)
    if any(turn["spring"] == spring for turn in state.turns):
        alike = len(set(levels)) == 1
        for which, level in enumerate(levels[:1] if alike else levels, start=1):
            code = f"visit.record.{spring}{'' if alike else '.which'}"
            label = sentence(code, which=which, count=count)
            yield {"label": label, "found": setting(0), "left": setting(level)}
    low, high = limits(plan, state, spring)
    if low is not None and high is not None:
        yield {
            "label": sentence(f"visit.record.left.{spring}"),
            "found": sentence("visit.record.both-ways", tighten=high, loosen=-low),
            "left": sentence("visit.record.both-ways", tighten=high - max(levels), loosen=min(levels) - low),
        }
    for which in range(1, len(levels) + 1):
        yield from _rod_row(state, spring, which, count)


def setting(half_turns: int) -> Row:
    """Return a setting as a sentence, counted from as found."""
    if half_turns == 0:
        return sentence("visit.record.as-found")
    way = "tighter" if half_turns > 0 else "looser"
    number = "one" if abs(half_turns) == 1 else "many"
    return sentence(f"visit.record.{way}.{number}", count=abs(half_turns))


def _rod_row(state: State, spring: str, which: int, count: int) -> Iterator[Row]:
    measured = rods(state, spring, which)
    found = next((row for row in measured if row["ask"] == "rod-found"), None)
    left = next((row for row in reversed(measured) if row["seq"] > last_turn(state, spring)), None)
    if measured:
        code = f"visit.record.rod.{spring}{'.which' if count > 1 else ''}"
        yield {"label": sentence(code, which=which), "found": _length(found), "left": _length(left)}


def _length(row: Row | None) -> Row | None:
    if row is None:
        return None
    return sentence(f"visit.record.length.{row.get('tool', 'rule')}", length_mm=1000 * row["length_m"])


def _fold_rows(plan: Plan, state: State, words: Words) -> Iterator[Row]:
    found, left = fold_found(plan, state, words), fold_left(plan, state, words)
    if found or left:
        runs = counted_runs(state)
        later = bool(found) and runs[0]["seq"] > first_change(state)
        code = "visit.record.fold.later" if later else "visit.record.fold"
        yield {"label": sentence(code), "found": _fold(found), "left": _fold(left)}
    degrees = state.last("temperature", "temperature_c")
    if degrees is not None:
        told = sentence("visit.record.degrees", temperature_c=degrees)
        yield {"label": sentence("visit.record.temperature"), "found": told, "left": told}


def _fold(fold: Row | None) -> Row | None:
    if fold is None:
        return None
    runs = len(fold["inputs"]["runs_s"])
    number = "one" if runs == 1 else "many"
    return sentence(f"visit.record.mean.{number}", mean_s=fold["answer"]["mean_s"], runs=runs)


def fold_found(plan: Plan, state: State, words: Words) -> Row | None:
    """Return the fold time as first timed, see `fold_of`: before any half turn, else the lip-assist's."""
    runs = counted_runs(state)
    before = [run for run in runs if run["seq"] < first_change(state)]
    first = min((t["made"] for t in state.turns if t["spring"] == "lip-assist"), default=float("inf"))
    return fold_of(plan, state, before or [run for run in runs if run["seq"] < first], words)


def fold_left(plan: Plan, state: State, words: Words) -> Row | None:
    """Return the fold time after the last half turn of any spring, see `fold_of`."""
    after = [run for run in counted_runs(state) if run["seq"] > last_turn(state)]
    return fold_of(plan, state, after, words)


def fold_of(plan: Plan, state: State, runs: Sequence[Row], words: Words) -> Row | None:
    """Return {name, inputs, answer} of fold-time for the latest ten of these runs; None without an answer."""
    between = window(plan, state)
    if not runs or between is None:
        return None
    degrees = state.last("temperature", "temperature_c")
    raw = {
        **given(plan, state, "fold-time"),
        **({} if degrees is None else {"temperature_c": degrees}),
        "window_low_s": between[0],
        "window_high_s": between[1],
        "runs_s": [{"fold_time_s": run["fold_time_s"], "started": run["started"]} for run in runs[-10:]],
        "stopped": runs[-1]["stopped"],
    }
    answer = answering.answer("fold-time", raw, words)
    return None if "errors" in answer else {**asked("fold-time", raw), "answer": answer}

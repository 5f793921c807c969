"""A leveler's visits as the trend takes them: the fold as found, and the half turns that followed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calculators import answering
from calculators.visit.derived.inputs import asked, counted_runs
from calculators.visit.derived.ledger import net
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.record.compared import first_change, fold_found

MOST_VISITS = 200
Words = Mapping[str, str]


def visit_of(plan: Plan, state: State, words: Words) -> Row:
    """Return what a digest has for the trend: its day, what was touched, the fold where timed as found.

    `touched` counts the half turns of every spring and the parts put in: after any of them a series ends.
    """
    row: Row = {
        "on": state.started[:10],
        "touched": len(state.turns) + sum(part["used"] for part in state.parts),
        "lip_half_turns": net(state, "lip-assist"),
    }
    fold = fold_found(plan, state, words)
    if fold is None or first_change(state) < counted_runs(state)[0]["seq"]:
        return row
    runs = [run for run in counted_runs(state) if run["seq"] < first_change(state)]
    return row | {
        "fold_found_s": fold["answer"]["mean_s"],
        "runs": len(fold["inputs"]["runs_s"]),
        "ways": sorted({run["started"] for run in runs} | {run["stopped"] for run in runs}),
        "temperature_c": state.last("temperature", "temperature_c"),
        "window_s": [fold["inputs"]["window_low_s"], fold["inputs"]["window_high_s"]],
        "longest_months": _longest(plan, state),
    }


def trend(plan: Plan, rows: Sequence[Row], words: Words) -> Row | None:
    """Return {name, inputs, answer, left_out} of fold-trend over digests, None without a timed visit.

    Ways of timing are not mixed: visits timed in other ways than the latest are left out and counted. What
    was touched at a visit that is left out, or was not timed, still ends the series before it.
    """
    rows = sorted(rows, key=lambda row: str(row["on"]))
    timed = [row for row in rows if row.get("fold_found_s")]
    if not timed:
        return None
    last = timed[-1]
    low, high = last["window_s"]
    figures = plan.raw.get("figures", {})
    raw = {
        "timing_uncertainty_s": figures.get("hand-timing-uncertainty"),
        "confidence": figures.get("timing-confidence"),
        **plan.raw.get("given", {}).get("fold-trend", {}),
        "longest_interval_months": last["longest_months"],
        "visits": _by_day(rows, last["ways"])[-MOST_VISITS:],
        "window_low_s": low,
        "window_high_s": high,
    }
    answer = answering.answer("fold-trend", raw, words)
    left_out = sum(row["ways"] != last["ways"] for row in timed)
    return {**asked("fold-trend", raw), "answer": answer, "left_out": left_out}


def _longest(plan: Plan, state: State) -> int | None:
    """Return the longest time between checks, months: the leveler's own or the book's, whichever is less."""
    own = plan.leveler(state.opened.get("leveler_class")).get("figures", {}).get("longest_interval_months")
    book = plan.raw.get("intervals", {}).get("quarterly-service-interval", {}).get("value")
    known = [int(months) for months in (own, book) if months is not None]
    return min(known, default=None)


def _by_day(rows: Sequence[Row], ways: Sequence[str]) -> list[Row]:
    """Return the visits that count, one a day: of two on one day the first was as found."""
    days: dict[str, Row] = {}
    for row in rows:
        counts = row.get("fold_found_s") and row["ways"] == ways
        if counts and row["on"] not in days:
            days[row["on"]] = {
                "date": row["on"],
                "fold_time_s": row["fold_found_s"],
                "adjusted_half_turns": 0,
            }
        if days:
            list(days.values())[-1]["adjusted_half_turns"] += row.get("touched", 0)
    return list(days.values())

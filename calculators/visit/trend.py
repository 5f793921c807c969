"""A leveler's visits as the trend takes them: the fold as found, and the half turns that followed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calculators import answering
from calculators.visit.compared import fold_found
from calculators.visit.inputs import asked, counted_runs
from calculators.visit.ledger import net
from calculators.visit.plan import Plan
from calculators.visit.state import Row, State

MOST_VISITS = 200
Words = Mapping[str, str]


def visit_of(plan: Plan, state: State, words: Words) -> Row | None:
    """Return what a digest has of the fold: mean as found, ways, temperature, half turns; None untimed."""
    fold = fold_found(plan, state, words)
    if fold is None:
        return None
    runs = counted_runs(state)
    return {
        "on": state.started[:10],
        "fold_found_s": fold["answer"]["mean_s"],
        "runs": len(fold["inputs"]["runs_s"]),
        "ways": sorted({run["started"] for run in runs} | {run["stopped"] for run in runs}),
        "temperature_c": state.last("temperature", "temperature_c"),
        "lip_half_turns": net(state, "lip-assist"),
        "window_s": [fold["inputs"]["window_low_s"], fold["inputs"]["window_high_s"]],
        "longest_months": _longest(plan, state),
    }


def trend(plan: Plan, rows: Sequence[Row], words: Words) -> Row | None:
    """Return {name, inputs, answer, left_out} of fold-trend over digests, None without a timed visit.

    Ways of timing are not mixed: visits timed in other ways than the latest are left out and counted. Of two
    visits on one day the first was as found; both days' half turns are counted.
    """
    timed = sorted((row for row in rows if row.get("fold_found_s")), key=lambda row: str(row["on"]))
    if not timed:
        return None
    alike = [row for row in timed if row["ways"] == timed[-1]["ways"]]
    low, high = timed[-1]["window_s"]
    figures = plan.raw.get("figures", {})
    raw = {
        "timing_uncertainty_s": figures.get("hand-timing-uncertainty"),
        "confidence": figures.get("timing-confidence"),
        "longest_interval_months": timed[-1]["longest_months"],
        **plan.raw.get("given", {}).get("fold-trend", {}),
        "visits": _by_day(alike)[-MOST_VISITS:],
        "window_low_s": low,
        "window_high_s": high,
    }
    answer = answering.answer("fold-trend", raw, words)
    return {**asked("fold-trend", raw), "answer": answer, "left_out": len(timed) - len(alike)}


def _longest(plan: Plan, state: State) -> int | None:
    """Return the longest time between checks, months: the leveler's own or the book's, whichever is less."""
    own = plan.leveler(state.opened.get("leveler_class")).get("figures", {}).get("longest_interval_months")
    book = plan.raw.get("intervals", {}).get("quarterly-service-interval", {}).get("value")
    known = [int(months) for months in (own, book) if months is not None]
    return min(known, default=None)


def _by_day(rows: Sequence[Row]) -> list[Row]:
    days: dict[str, Row] = {}
    for row in rows:
        day = days.setdefault(
            row["on"], {"date": row["on"], "fold_time_s": row["fold_found_s"], "adjusted_half_turns": 0}
        )
        day["adjusted_half_turns"] += row["lip_half_turns"]
    return list(days.values())

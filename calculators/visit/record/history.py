"""The history of a leveler from its visits' digests: timeline, trend, and what the next visit takes of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from calculators.shared.half_turns import sentence
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row
from calculators.visit.record.trend import trend

LEAST_SLOPES = 2
"""With one visit nobody knows how much the slope varies from visit to visit: own reasoning."""
STEEPEST = 1.0
LEAST_SD = 1e-6
Words = Mapping[str, str]


def history(plan: Plan, digests: Sequence[Row], words: Words) -> Row:
    """Return visits (each with its lines), trend, asked, open; and `before`, for the next visit's opening."""
    rows = sorted(digests, key=lambda row: str(row.get("opened", row["on"])))
    found = trend(plan, rows, words)
    open_ = list(rows[-1].get("open", ())) if rows else []
    return {
        "visits": [{"visit": row["visit"], "lines": list(_lines(plan, row))} for row in rows],
        "trend": found and found["answer"],
        "asked": found and {name: found[name] for name in ("name", "inputs")},
        "left_out": [sentence("visit.history.other-ways", count=found["left_out"])]
        if found and found["left_out"]
        else [],
        "open": open_,
        "before": {**prior([row["slope"] for row in rows if row.get("slope")]), "left_open": open_},
    }


def _lines(plan: Plan, row: Row) -> Iterator[Row]:
    label = plan.sequence(row["sequence"]).get("label", row["sequence"])
    yield sentence("visit.history.asked", asked=label)
    if row.get("fold_found_s"):
        runs = "one" if row["runs"] == 1 else "many"
        yield sentence(f"visit.history.found.{runs}", mean_s=row["fold_found_s"], runs=row["runs"])
    for spring, turned in row.get("springs", {}).items():
        yield sentence(f"visit.record.turned.{spring}", made=turned["made"])
    yield from row.get("verdicts", ())
    if row.get("open"):
        yield sentence("visit.history.open", count=len(row["open"]))


def prior(slopes: Sequence[Row]) -> Row:
    """Return the slope of the visits so far as a prior for turn-plan; empty with fewer than two.

    Their mean, weighted by what each visit knew. Its standard deviation is that of a visit to come: what the
    mean leaves open and how far the visits lay apart, whichever of that and their own doubt is more. Own
    reasoning; a prior shortens the count to go and never permits a turn, whatever it says.
    """
    if len(slopes) < LEAST_SLOPES:
        return {}
    weights = [1 / each["sd"] ** 2 for each in slopes]
    total = math.fsum(weights)
    mean = math.fsum(w * each["per_s_per_half_turn"] for w, each in zip(weights, slopes, strict=True)) / total
    apart = math.fsum((each["per_s_per_half_turn"] - mean) ** 2 for each in slopes) / (len(slopes) - 1)
    doubt = len(slopes) / total
    sd = math.sqrt(1 / total + max(apart, doubt))
    if not -STEEPEST <= mean <= 0 or not LEAST_SD <= sd <= STEEPEST:
        return {}
    return {"prior_slope_per_s_per_half_turn": mean, "prior_slope_sd_per_s_per_half_turn": sd}

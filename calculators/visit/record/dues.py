"""What is due next at a leveler: by the book's intervals since each job was last done, and by the trend."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calculators.shared.half_turns import sentence
from calculators.shared.recurrence import date_after
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.record.trend import trend, visit_of

INTERVAL = "-interval"
SECOND_LOOK = "recheck-after"
Words = Mapping[str, str]


def dues(plan: Plan, state: State, digests: Sequence[Row], words: Words) -> list[Row]:
    """Return rows of job, on (year-month-day) and why, the nearest first; none where it is out of service.

    A job that no visit on this phone did has no day: nobody knows when it was done.
    """
    if state.stopped or (state.closed or {}).get("how") == "out-of-service":
        return []
    rows = [*_by_interval(plan, state, digests), *_second_look(plan, state), *_found(state)]
    rows += _by_trend(plan, state, digests, words)
    return sorted(rows, key=lambda row: str(row["on"]))


def day(state: State) -> date:
    """Return the day of a visit where it happened."""
    return date.fromisoformat(state.started[:10])


def pages_done(plan: Plan, state: State) -> list[str]:
    """Return the pages whose jobs were worked."""
    return list(dict.fromkeys(plan.page(job) for job in state.jobs))


def _by_interval(plan: Plan, state: State, digests: Sequence[Row]) -> Iterator[Row]:
    for name, interval in plan.raw.get("intervals", {}).items():
        page = _page(plan, name)
        if page is None:
            continue
        done = [row["on"] for row in digests if page in row.get("pages", ())]
        if page in pages_done(plan, state):
            done.append(day(state).isoformat())
        if done:
            yield _due(max(done), interval, plan.raw["pages"][page]["title"])


def _page(plan: Plan, interval: str) -> str | None:
    """Return the page of the job that an interval is for: weekly-check-interval is that of weekly-check."""
    if not interval.endswith(INTERVAL):
        return None
    name = f"/{interval.removesuffix(INTERVAL)}.html"
    return next((page for page in plan.raw.get("pages", {}) if page.endswith(name)), None)


def _due(last: str, interval: Row, title: str) -> Row:
    unit = str(interval["unit"]).removesuffix("s")
    on = date_after(date.fromisoformat(last), int(interval["value"]), unit)
    why = sentence(f"visit.due.every.{unit}", count=interval["value"], last=last)
    return {"job": sentence("visit.due.job", job=title), "on": on.isoformat(), "why": why}


def _second_look(plan: Plan, state: State) -> Iterator[Row]:
    """Yield the second look where a part was put in: new springs and nuts settle."""
    interval = plan.raw.get("intervals", {}).get(SECOND_LOOK)
    if interval and any(part["used"] for part in state.parts):
        on = date_after(day(state), int(interval["value"]), str(interval["unit"]).removesuffix("s"))
        why = sentence("visit.due.second-look.why")
        yield {"job": sentence("visit.due.second-look"), "on": on.isoformat(), "why": why}


def _found(state: State) -> Iterator[Row]:
    """Yield what was found and kept open, by the day that was said."""
    for row in state.not_so:
        if row.get("kept") and row.get("by"):
            yield {
                "job": sentence("visit.due.found"),
                "on": row["by"],
                "why": sentence("visit.open.found", note=row["note"]),
            }


def _by_trend(plan: Plan, state: State, digests: Sequence[Row], words: Words) -> Iterator[Row]:
    """Yield the day of the next lip timing, where the trend of all visits with this one gives it."""
    found = trend(plan, [*digests, visit_of(plan, state, words)], words)
    if found and "errors" not in found["answer"]:
        answer = found["answer"]
        yield {
            "job": sentence("visit.due.lip"),
            "on": answer["next_check_by"],
            "why": {name: answer["headline"][name] for name in ("code", "values")},
        }

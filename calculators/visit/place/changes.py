"""What a new edition changed under an open visit: steps lost, gained before the place, changed since done."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State


def changes(plan: Plan, state: State) -> list[Row]:
    """Return what changed, as rows of {what, job, page, step}; what was told before is left out."""
    return [*_lost_and_gained(plan, state), *_changed(plan, state)]


def _lost_and_gained(plan: Plan, state: State) -> Iterator[Row]:
    done = {job: {step for name, step in state.trail if name == job} for job in state.orders}
    for job, before in state.orders.items():
        now = plan.order(job)
        lost = [step for step in before if step not in now]
        yield from ({"what": "lost", "job": job, "page": plan.page(job), "step": step} for step in lost)
        last = max((now.index(step) for step in done[job] if step in now), default=-1)
        gained = [step for step in now[: last + 1] if step not in before]
        yield from ({"what": "gained", "job": job, "page": plan.page(job), "step": step} for step in gained)


def _changed(plan: Plan, state: State) -> Iterator[Row]:
    told = state.told.get("hashes", {})
    jobs = {(plan.page(job), step): job for job, step in state.trail}
    for (page, step), old in state.hashes.items():
        new = plan.step(page, step).get("hash", old)
        if new != old and told.get(f"{page}#{step}") != new:
            yield {"what": "changed", "job": jobs.get((page, step), ""), "page": page, "step": step}


def told_now(plan: Plan, state: State) -> Row:
    """Return the values of the event that what changed was read."""
    return {
        "orders": {job: plan.order(job) for job in state.orders},
        "hashes": state.told.get("hashes", {})
        | {
            f"{row['page']}#{row['step']}": plan.step(row["page"], row["step"])["hash"]
            for row in _changed(plan, state)
        },
    }

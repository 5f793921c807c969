"""What the screen shows at the place where a visit stands: data for it, each sentence by its code."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.half_turns import sentence
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators.visit.derived.asks import ASKS
from calculators.visit.derived.entries import Wanted, told_all, wanted, wanted_first
from calculators.visit.derived.inputs import asked, runs_here, window
from calculators.visit.derived.ledger import last_turn, ledger, limits, nets, order, spring_count
from calculators.visit.derived.outcomes import QUIET
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.place.changes import changes
from calculators.visit.place.leaving import left_open
from calculators.visit.place.places import Place, by_way, settle, skipped
from calculators.visit.screens.asking import Answer, answer_at

MOST_STEPS = 5
MOST_RUNS = 10
MAY_WAIT = {"rod-found", "rod-now", "temperature", "lead", "note", "photo"}
"""What may be left open, with a note why: nothing that a turn, a lock or an answer stands on."""
Words = Mapping[str, str]


def screen(plan: Plan, state: State, words: Words) -> Row:
    """Return the screen of a visit.

    Raises:
        Lost: the plan leads nowhere.
    """
    if state.closed:
        return _frame(plan, state, Place([]), "closed", can=["correct"])
    changed = changes(plan, state)
    place = settle(plan, state, state.next)
    if changed:
        return _frame(plan, state, place, "changed", changed=changed, can=["go-on"])
    show = {"leave": _leave, "path": _path, "answer": _answer, "step": _steps}
    return show[place.stage](plan, state, place, words)


def shown_steps(plan: Plan, state: State, place: Place) -> list[str]:
    """Return the steps of one screen: the step, and those that the author put with it, five at most."""
    steps = [str(place.step)]
    order_ = plan.order(place.job)
    for step in order_[order_.index(steps[0]) + 1 :]:
        is_with = plan.step(plan.page(place.job), step).get("with")
        if not is_with or len(steps) == MOST_STEPS or plan.rule(place.job, steps[-1]):
            break
        if skipped(plan, state, place.job, step):
            break
        steps.append(step)
    return steps


def _frame(plan: Plan, state: State, place: Place, kind: str, **more: Any) -> Row:
    """Return what every screen has."""
    job = place.job
    found: Row = {
        "kind": kind,
        "job": job,
        "page": plan.page(job),
        "title": plan.raw.get("pages", {}).get(plan.page(job), {}).get("title", ""),
        "steps": [],
        "entries": [],
        "hazards": [],
        "order": None,
        "ledger": ledger(plan, state),
        "shown": [],
        "can": [],
        "at": _at(plan, state, place),
        "missing": [],
        "unordered": _unordered(plan, state),
    }
    return found | more


def _at(plan: Plan, state: State, place: Place) -> Row:
    listed = [row["job"] for row in plan.listed(state.sequence)]
    jobs = [frame.get("job", frame.get("after")) for frame in place.stack]
    here = next((job for job in jobs if job in listed), None)
    return {
        "job": listed.index(here) + 1 if here else (len(listed) if not place.stack else None),
        "of": len(listed),
        "left_open": len(left_open(plan, state)),
    }


def _unordered(plan: Plan, state: State) -> Row:
    """Return the springs that a half turn made without an order, or forgotten, can be told of."""
    springs: list[Row] = []
    for spring in ("mainspring", "lip-assist"):
        if plan.springs_job(spring, state.sequence) is None:
            continue
        for which in range(1, (spring_count(plan, state, spring) or 1) + 1):
            label = sentence(f"visit.spring.{spring}", which=which)
            springs.append({"spring": spring, "which": which, "label": label})
    is_counted = spring_count(plan, state, "mainspring") is not None
    return {"springs": springs, "spring_count": is_counted}


def _hazards(plan: Plan, state: State, job: str, ids: Sequence[str]) -> list[Row]:
    """Return hazards in order, in full or as a line: only CAUTION and NOTICE shorten, once they were read.

    What precedes a turn or a cycle is always in full.
    """
    before = {hazard for page, step in state.steps for hazard in plan.step(page, step).get("hazards", ())}
    asks = {ask for step in plan.order(job) for ask in plan.asks(job, step)}
    moves = bool(asks & {"half-turn", "rise", "runs"})
    return [
        {
            "id": hazard,
            "full": moves
            or plan.signal(hazard) in ("danger", "warning")
            or hazard in (*BEFORE_TURNING, *BEFORE_CYCLING)
            or hazard not in before,
        }
        for hazard in dict.fromkeys(ids)
    ]


def _steps(plan: Plan, state: State, place: Place, words: Words) -> Row:
    steps = shown_steps(plan, state, place)
    job = place.job
    asks = [ask for step in steps for ask in plan.asks(job, step)]
    first = step_lacks(plan, state, job, asks)
    wants = wanted_first(plan, state, job, first) if first else wanted(plan, state, job, steps)
    own = [hazard for step in steps for hazard in plan.hazards(job, step)]
    hazards = [*place.carried, *_of_reply(plan, state), *_before_answer(state), *own]
    runs = _runs(plan, state, job, steps) if "runs" in asks and not first else None
    return _frame(
        plan,
        state,
        place,
        "runs" if runs else "steps",
        steps=steps,
        entries=told_all(plan, wants, words),
        hazards=_hazards(plan, state, job, hazards),
        order=order(plan, state, plan.jobs_spring(job)) if "half-turn" in asks else None,
        shown=[
            *_told_first(state),
            *_after_answer(state),
            *_which_spring(plan, state, job, steps[0]),
            *_computed(plan, state, job, asks),
        ],
        can=["done", "not-so", *_may_leave_open(hazards, asks), "half-turn"],
        missing=_missing(wants, runs),
        replied=_replied(plan, state),
        stands_for=[{"page": plan.page(row["job"]), "step": row["step"]} for row in place.worked],
        **({"runs": runs["runs"], "least": runs["least"], "most": runs["most"]} if runs else {}),
    )


def step_lacks(plan: Plan, state: State, job: str, asks: Sequence[str]) -> list[str]:
    """Return what has to be asked before the step can ask: how many mainsprings there are."""
    each = [ask for ask in asks if ask in ASKS and ASKS[ask].each_spring]
    if plan.jobs_spring(job) is None:
        each = [ask for ask in each if ask == "rod-found"]
    is_known = plan.jobs_spring(job) == "lip-assist" or spring_count(plan, state, "mainspring") is not None
    return ["springs"] if each and not is_known else []


def _may_leave_open(hazards: Sequence[str], asks: Sequence[str]) -> list[str]:
    may = bool(asks) and set(asks) <= MAY_WAIT and not hazards
    return ["leave-open"] if may else []


def may_leave_open(plan: Plan, state: State, place: Place) -> bool:
    """True where the visit may go on without what this screen asks for."""
    steps = shown_steps(plan, state, place)
    hazards = [each for step in steps for each in plan.hazards(place.job, step)]
    asks = [ask for step in steps for ask in plan.asks(place.job, step)]
    return bool(_may_leave_open([*place.carried, *hazards], asks))


def _missing(wants: Sequence[Wanted], runs: Row | None) -> list[Row]:
    missing = [want.label for want in wants if want.value is None and not want.entry.optional]
    if runs and runs["least"]:
        missing.append(sentence("visit.missing.runs", count=runs["least"]))
    return missing


def _told_first(state: State) -> list[Row]:
    """Return what was left open at the last visit, before the first step of this one."""
    return [] if state.trail else list(state.opened.get("before", {}).get("left_open", ()))


def _after_answer(state: State) -> list[Row]:
    """Return what an answer without a screen of its own said, on the screen after it."""
    last = state.answered[-1] if state.answered else None
    if last and last["seq"] > max(state.jobs.values(), default=-1):
        return [last["headline"]] if (last["calculator"], last["outcome"]) in QUIET else []
    return []


def _before_answer(state: State) -> tuple[str, ...]:
    """Return the hazards before the cycle that an answer without a screen of its own asked for."""
    return BEFORE_CYCLING if any(said["code"].endswith("-again") for said in _after_answer(state)) else ()


def _computed(plan: Plan, state: State, job: str, asks: Sequence[str]) -> list[Row]:
    """Return what the visit worked out for this step."""
    found = []
    spring = plan.jobs_spring(job)
    if "limits" in asks and spring:
        found += _limits(plan, state, spring)
    if "which-way" in asks:
        found += _nut(plan, state)
    if "window" in asks and (between := window(plan, state)):
        found.append(sentence("visit.window", low_s=between[0], high_s=between[1]))
    return found


def _which_spring(plan: Plan, state: State, job: str, step: str) -> list[Row]:
    """Say which of several mainsprings the hand is at, before a half turn and behind it."""
    spring = plan.jobs_spring(job)
    in_order = plan.order(job)
    rules = {each: plan.rule(job, each) for each in in_order}
    last = next((each for each, rule in rules.items() if "again" in rule and "until" not in rule), None)
    if spring is None or last is None or (spring_count(plan, state, spring) or 1) < 2:
        return []
    first = str(by_way(plan, state, rules[last]["again"]))
    round_ = in_order[in_order.index(first) : in_order.index(last) + 1]
    turn = next((each for each in round_ if "half-turn" in plan.asks(job, each)), None)
    if turn is None or step == turn or step not in round_:
        return []
    if round_.index(step) < round_.index(turn):
        at = order(plan, state, spring)
    else:
        made = (row for row in state.turns if row["spring"] == spring)
        at = max(made, key=lambda row: row["made"], default=None)
    return [sentence(f"visit.spring.{spring}", which=at["which"])] if at else []


def _limits(plan: Plan, state: State, spring: str | None, *, is_known: bool = False) -> list[Row]:
    """Say how much adjustment is left from here; where it is not known say so, or nothing if is_known."""
    low, high = limits(plan, state, spring) if spring else (None, None)
    if spring is None or low is None or high is None:
        return [] if is_known else [sentence("visit.limits.unknown")]
    levels = nets(plan, state, spring)
    kept, each = plan.figure("threads-kept", 2), plan.figure("half-turns-per-thread", 2)
    left = {"tighten": high - max(levels), "loosen": min(levels) - low}
    return [sentence("visit.limits.both", **left, kept=kept, each=each)]


def _nut(plan: Plan, state: State) -> list[Row]:
    """Say which way tightens by the leveler's own row; nothing where it has none."""
    nut = plan.leveler(state.opened.get("leveler_class")).get("nut")
    if not nut:
        return []
    return [sentence(f"visit.nut.{nut['thread_hand']}", seen_from=nut["seen_from"], see=nut["see"])]


def _runs(plan: Plan, state: State, job: str, steps: Sequence[str]) -> Row:
    """Return the runs since this setting was reached, struck ones too, and how many are still wanted."""
    here = runs_here(state)
    return {
        "runs": [_run(run) for run in state.runs if run["seq"] > last_turn(state, "lip-assist")],
        "least": runs_missing(plan, state, job, steps),
        "most": MOST_RUNS - len(here),
    }


def runs_missing(plan: Plan, state: State, job: str, steps: Sequence[str]) -> int:
    """Return how many runs are missing before the screen is done: one at each visit to it, or all at once."""
    new = runs_here(state)
    reached = max((row["seq"] for row in state.answered), default=-1)
    reached = max(reached, max((state.steps.get((plan.page(job), step), -1) for step in steps), default=-1))
    fresh = len([run for run in new if run["seq"] > reached])
    rule = plan.rule(job, steps[-1])
    if "until" in rule and by_way(plan, state, rule["again"]) in steps:
        return max(int(rule["until"]) - len(new), 1 - fresh, 0)
    return max(1 - fresh, 0)


def _run(run: Row) -> Row:
    names = ("fold_time_s", "started", "stopped", "tone", "struck", "number")
    return {"of": run["id"], **{name: run.get(name) for name in names}}


def _answer(plan: Plan, state: State, place: Place, words: Words) -> Row:
    answer = answer_at(plan, state, place, words)
    if answer.first:
        wants = wanted_first(plan, state, place.job, answer.first)
        return _frame(
            plan,
            state,
            place,
            "steps",
            entries=told_all(plan, wants, words),
            can=["done", "not-so"],
            missing=_missing(wants, None),
            hazards=_hazards(plan, state, place.job, place.carried),
        )
    found = answer.answer or {}
    is_stuck = answer.outcome == "cannot-answer"
    ids = [*place.carried, *found.get("before_turning", ()), *found.get("before_cycling", ())]
    return _frame(
        plan,
        state,
        place,
        "question" if answer.question else "answer",
        answer=found or {"headline": answer.headline, "reasons": []},
        asked=asked(answer.calculator, answer.inputs) if answer.inputs else None,
        shown=[] if is_stuck else _limits(plan, state, answer.spring, is_known=True),
        hazards=[{"id": each, "full": True} for each in dict.fromkeys(ids)],
        can=["reply" if answer.question else "answer", "not-so", "half-turn"],
        **({"question": question(answer)} if answer.question else {"outcome": answer.outcome}),
    )


def question(answer: Answer) -> Row:
    """Return a calculator's question with its choices as sentences."""
    asked_ = answer.question or {}
    kind = str(asked_["code"]).partition(".")[2]
    choices = [{"value": each, **sentence(f"question.{kind}.{each}")} for each in asked_["choices"]]
    return {**asked_, "choices": choices}


def _path(plan: Plan, state: State, place: Place, words: Words) -> Row:
    job = plan.job(place.job) or {}
    row = plan.question(job.get("path"), place.top["question"])
    hazards = [*place.carried, *_of_reply(plan, state), *row.get("hazards", ())]
    return _frame(
        plan,
        state,
        place,
        "path",
        path=job.get("path"),
        question=row["id"],
        answers=list(range(len(row["answers"]))),
        hazards=_hazards(plan, state, place.job, hazards),
        can=["reply", "not-so", "half-turn"],
    )


def _reply(state: State) -> Row | None:
    """Return the reply in a fault path that led to this screen."""
    last = state.replied[-1] if state.replied else None
    if last is None or "path" not in last or last["seq"] < max(state.jobs.values(), default=-1):
        return None
    return last


def _replied(plan: Plan, state: State) -> Row | None:
    """Return where the page says what the reply means that led to this screen: what to do, and why."""
    last = _reply(state)
    page = plan.raw.get("paths", {}).get(last["path"], {}).get("page") if last else None
    return {"page": page, "question": last["question"], "answer": last["answer"]} if last and page else None


def _of_reply(plan: Plan, state: State) -> list[str]:
    """Return the hazards of the latest reply in a fault path: they are shown with what it leads to."""
    last = _reply(state)
    if last is None:
        return []
    answers = plan.question(last["path"], last["question"]).get("answers", ())
    return list(answers[last["answer"]].get("hazards", ())) if last["answer"] < len(answers) else []


def _leave(plan: Plan, state: State, place: Place, words: Words) -> Row:
    return _frame(plan, state, place, "leave", can=["close", "half-turn"])

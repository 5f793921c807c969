"""Where a visit goes on: a stack of jobs, the innermost last, walked by the plan's rules.

A frame of the stack is {job, step}, with `stage` "answer" where the calculator of that step is asked and
"led" where its last answer leads; {job, question} in a fault path; or {after: job}, from where the sequence's
list goes on. A step of None is the end of its job. A frame that lies under another already stands where the
visit goes on once that one has ended.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from calculators.visit.derived.inputs import runs_here
from calculators.visit.derived.ledger import cycles, order, waits_for_check
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State

Stack = list[Row]
MOST_PASSED = 2000
"""Steps passed over without a screen; `check` proves that no plan comes near it."""
MOST_FRAMES = 20


class Lost(RuntimeError):
    """The plan leads in a circle without a screen."""


@dataclass
class Place:
    """Where the visit stands: the stack, and what was passed over to come here."""

    stack: Stack
    carried: list[str] = field(default_factory=list)
    """Hazards of the steps passed over; they are shown with this screen."""
    worked: list[Row] = field(default_factory=list)
    """Steps in whose stead the job on top is worked."""
    led: list[Row] = field(default_factory=list)

    @property
    def top(self) -> Row:
        """The innermost frame; empty at the end of the visit."""
        return self.stack[-1] if self.stack else {}

    @property
    def job(self) -> str:
        """The job that is worked."""
        return str(self.top.get("job", ""))

    @property
    def step(self) -> str | None:
        """The step, None in a fault path and at the end."""
        return self.top.get("step")

    @property
    def stage(self) -> str:
        """`step`, `answer`, `path` or `leave`."""
        if not self.stack:
            return "leave"
        return "path" if "question" in self.top else str(self.top.get("stage", "step"))


def settle(plan: Plan, state: State, stack: Iterable[Mapping[str, Any]]) -> Place:
    """Return the place that a stack comes to: what need not be shown is passed over.

    Raises:
        Lost: nothing is ever shown.
    """
    place = Place([dict(frame) for frame in stack])
    for _ in range(MOST_PASSED):
        if not place.stack or _is_shown(plan, state, place):
            return place
    raise Lost(f"the plan goes in a circle at {place.top}")


def _is_shown(plan: Plan, state: State, place: Place) -> bool:
    """Go one step on where the top frame is not to be shown; True where it is."""
    frame = place.top
    if "after" in frame:
        place.stack.pop()
        place.stack += _listed_after(plan, state, frame["after"])
        return False
    job = plan.job(frame.get("job"))
    if job is None or _stands(plan, state, frame, job):
        place.stack = ended(place.stack)
        return False
    if "question" in frame:
        return _is_question(plan, state, place, job)
    if frame.get("step") is None:
        _end(plan, place, job)
        return False
    if frame["step"] not in plan.order(frame["job"]):
        frame["step"] = _after_last_done(plan, state, frame["job"])
        frame.pop("stage", None)
        return False
    return _is_step_shown(plan, state, place, frame)


def _is_question(plan: Plan, state: State, place: Place, job: Mapping[str, Any]) -> bool:
    """True where a question is to be asked; the job that it needs is worked before."""
    frame = place.top
    question = plan.question(job.get("path"), frame["question"])
    if not question:
        place.stack = ended(place.stack)
        return False
    if "work" in question and frame.get("stage") != "asked":
        frame["stage"] = "asked"
        place.carried += question.get("hazards", ())
        place.stack.append(begin(plan, question["work"]))
        return False
    return True


def _stands(plan: Plan, state: State, frame: Row, job: Mapping[str, Any]) -> bool:
    """True where what a job did still stands: it is not worked again."""
    steps = job.get("steps", ())
    if "stands_until" not in job or not steps or frame.get("step") != steps[0]:
        return False
    done = state.steps.get((job["page"], steps[-1]), -1)
    return done >= 0 and not any(state.jobs.get(each, -1) > done for each in job["stands_until"])


def _is_step_shown(plan: Plan, state: State, place: Place, frame: Row) -> bool:
    job, step = frame["job"], frame["step"]
    rule = plan.rule(job, step)
    stage = frame.get("stage")
    if stage == "led":
        target = led_target(state, rule)
        place.stack, _ = follow(plan, state, place.stack, target)
        return False
    if stage == "answer":
        return _is_answer_shown(plan, place, frame, rule)
    if "half-turn" in plan.asks(job, step) and not order(plan, state, plan.jobs_spring(job)):
        _no_order(plan, state, place, frame)
        return False
    if not _applies(plan, state, job, step, rule):
        frame["step"] = after(plan, job, step)
        return False
    if _is_passed(plan, state, job, step, rule):
        _pass(plan, place, frame, after(plan, job, step))
        if "ask" in rule and not order(plan, state, plan.jobs_spring(job)):
            frame |= {"step": step, "stage": "answer"}
        return False
    if "work" in rule:
        _work(plan, place, frame, rule)
        return False
    return True


def _is_answer_shown(plan: Plan, place: Place, frame: Row, rule: Mapping[str, Any]) -> bool:
    if "ask" in rule:
        return True
    frame.pop("stage")
    frame["step"] = after(plan, frame["job"], frame["step"])
    return False


def _pass(plan: Plan, place: Place, frame: Row, to: str | None) -> None:
    """Pass a step over; its hazards go on to the next screen."""
    place.carried += [each for each in plan.hazards(frame["job"], frame["step"]) if each not in place.carried]
    frame["step"] = to


def _no_order(plan: Plan, state: State, place: Place, frame: Row) -> None:
    """No half turn stands ordered: on to the check where one was made, else ask anew."""
    job = frame["job"]
    asking = next((step for step in plan.order(job) if "ask" in plan.rule(job, step)), None)
    if waits_for_check(state, plan.jobs_spring(job) or "") or asking is None:
        _pass(plan, place, frame, after(plan, job, frame["step"]))
    else:
        frame |= {"step": asking, "stage": "answer"}


def _applies(plan: Plan, state: State, job: str, step: str, rule: Mapping[str, Any]) -> bool:
    """True where a step has to do with what was worked: no support is taken out where none was set.

    A step of another way does not apply either: nobody is warned of a lift that is not made.
    """
    ways = [way for way, steps in (plan.job(job) or {}).get("ways", {}).items() if step in steps]
    if ways and not plan.may_have(state.opened.get("leveler_class"), ways):
        return False
    if "if_done" not in rule:
        return True
    done = state.steps.get((plan.page(job), step), -1)
    return any(state.jobs.get(each, -1) > done for each in rule["if_done"])


def _is_passed(plan: Plan, state: State, job: str, step: str, rule: Mapping[str, Any]) -> bool:
    """True where a step is not to be worked now: once was enough, or nothing calls for it."""
    told = plan.job(job) or {}
    done = state.steps.get((plan.page(job), step), -1)
    if step in told.get("once", ()) and done >= 0 and _is_entered(plan, state, job, step):
        return True
    if "stands_until" in rule and done >= 0:
        return not any(state.jobs.get(each, -1) > done for each in rule["stands_until"])
    if "enough" not in rule:
        return False
    since = state.steps.get((plan.page(job), rule.get("since", "")), -1)
    counted = [cycle for cycle in cycles(state) if cycle["seq"] > since]
    return len(counted) >= int(rule["enough"])


def skipped(plan: Plan, state: State, job: str, step: str) -> bool:
    """True where a step is no part of a screen with others: passed over, or another job stands for it."""
    rule = plan.rule(job, step)
    applies = _applies(plan, state, job, step, rule)
    return not applies or "work" in rule or _is_passed(plan, state, job, step, rule)


def _is_entered(plan: Plan, state: State, job: str, step: str) -> bool:
    """True where what a step asks for was entered in this visit."""
    page = plan.page(job)
    wanted = [ask for ask in plan.asks(job, step) if ask.startswith(("threads", "rod-found"))]
    spring = plan.jobs_spring(job)
    return (
        all(any(row["ask"] == ask and row.get("spring") == spring for row in state.entered) for ask in wanted)
        and (page, step) in state.steps
    )


def _work(plan: Plan, place: Place, frame: Row, rule: Mapping[str, Any]) -> None:
    """Put the job that is worked in a step's stead on top; the frame below waits behind the step."""
    if len(place.stack) >= MOST_FRAMES:
        raise Lost(f"jobs within jobs without end at {frame}")
    job, step = frame["job"], frame["step"]
    place.worked.append({"job": job, "step": step})
    place.carried += [each for each in plan.hazards(job, step) if each not in place.carried]
    if "ask" in rule or "led_by" in rule:
        frame["stage"] = "answer" if "ask" in rule else "led"
    elif "enough" not in rule:
        frame["step"] = after(plan, job, step)
    place.stack.append(begin(plan, rule["work"]))


def after(plan: Plan, job: str, step: str | None) -> str | None:
    """Return the step that comes next in a job; None at its end."""
    steps = plan.order(job)
    at = steps.index(step) + 1 if step in steps else len(steps)
    return steps[at] if at < len(steps) else None


def step_that_locks(plan: Plan, state: State, job: str) -> str | None:
    """Return the step that locks a nut again, where it was loosened and not locked since; None elsewhere.

    The step before the half turn loosens the jam nut, the one behind it locks it.
    """
    steps, page = plan.order(job), plan.page(job)
    turn = next((at for at, step in enumerate(steps) if "half-turn" in plan.asks(job, step)), None)
    if turn is None or not 0 < turn < len(steps) - 1:
        return None
    loosened, locked = (state.steps.get((page, steps[at]), -1) for at in (turn - 1, turn + 1))
    return steps[turn + 1] if loosened > locked else None


def begin(plan: Plan, job: str, step: str | None = None) -> Row:
    """Return the frame at which a job begins."""
    steps = plan.order(job)
    return {"job": job, "step": step if step in steps else (steps[0] if steps else None)}


def _end(plan: Plan, place: Place, job: Mapping[str, Any]) -> None:
    """The last step of a job is behind: its fault path is asked, or the job is done."""
    frame = place.top
    first = plan.question(job.get("path"), None)
    if first:
        place.stack[-1] = {"job": frame["job"], "question": first["id"]}
    else:
        place.stack = ended(place.stack)


def ended(stack: Stack) -> Stack:
    """Return the stack once the job on top is done: what lies under it goes on, else the sequence's list."""
    below = stack[:-1]
    return below or [{"after": stack[-1].get("job")}]


def _listed_after(plan: Plan, state: State, job: str | None) -> Stack:
    """Return the next job of the sequence's list after one; nothing at its end, or after a stop."""
    rows = plan.listed(state.sequence)
    names = [row["job"] for row in rows]
    if state.stopped and job is not None:
        return []
    if job is not None and job not in names:
        return []
    for row in rows[names.index(job) + 1 if job is not None else 0 :]:
        wanted = row.get("if_done")
        if row.get("if_sent") or (wanted and not any(each in state.jobs for each in wanted)):
            continue
        return [begin(plan, row["job"])]
    return []


def _after_last_done(plan: Plan, state: State, job: str) -> str | None:
    """Return the step behind the last done one of this job that is still there; the first for none."""
    steps = plan.order(job)
    done = next((step for name, step in reversed(state.trail) if name == job and step in steps), None)
    return after(plan, job, done) if done else (steps[0] if steps else None)


def by_way(plan: Plan, state: State, steps: Mapping[str, str] | str) -> str | None:
    """Return the step for this leveler's way; "" stands for every other way, and for none known."""
    if isinstance(steps, str):
        return steps
    known = plan.leveler(state.opened.get("leveler_class")).get("ways", ())
    return next((steps[way] for way in known if way in steps), steps.get(""))


def goes_back(plan: Plan, state: State, job: str, rule: Mapping[str, Any]) -> bool:
    """True where a step leads back: not enough runs at this setting yet, or a further spring to turn."""
    if "until" in rule:
        return len(runs_here(state)) < int(rule["until"])
    return "again" in rule and order(plan, state, plan.jobs_spring(job)) is not None


def led_target(state: State, rule: Mapping[str, Any]) -> Any:
    """Return where the last answer of a step's calculator leads."""
    calculator = rule.get("led_by") or rule.get("ask")
    last = next((row for row in reversed(state.answered) if row["calculator"] == calculator), None)
    return target_of(rule, last["outcome"] if last else "")


def target_of(rule: Mapping[str, Any], outcome: str) -> Any:
    """Return the target of an outcome, that of every other one where it is not named; a stop for neither."""
    answers = rule.get("answers", {})
    return answers.get(outcome, answers.get("other", "stop"))


def follow(plan: Plan, state: State, stack: Stack, target: Any) -> tuple[Stack, bool]:
    """Return the stack after a target, and whether it is a stop.

    A target is the id of a step of this job, "end", "stop", {"go": job}, with "from" a step of it,
    {"again": step}, where that step goes back to, or {"work": job}, after which a fault path is asked again.
    """
    stack = [dict(frame) for frame in stack]
    job = str(stack[-1].get("job", "")) if stack else ""
    if target == "stop":
        return stop(plan, state, stack), True
    if target == "end":
        return ended(stack) if stack else [], False
    if isinstance(target, Mapping) and "go" in target:
        return _go(plan, state, stack, target), False
    if isinstance(target, Mapping) and "work" in target:
        return _work_and_ask_again(plan, state, stack, target["work"])
    if isinstance(target, Mapping):
        target = by_way(plan, state, plan.rule(job, target["again"]).get("again", target["again"]))
    stack[-1] = {"job": job, "step": target}
    return stack, False


def _go(plan: Plan, state: State, stack: Stack, target: Mapping[str, Any]) -> Stack:
    job = target["go"]
    frame = begin(plan, job, target.get("from"))
    if job in [row["job"] for row in plan.listed(state.sequence)]:
        return [frame]
    return [*ended(stack), frame] if stack else [frame]


def _work_and_ask_again(plan: Plan, state: State, stack: Stack, job: str) -> tuple[Stack, bool]:
    """Work a job, then ask the fault path from its first question; a second time it is a stop."""
    path = (plan.job(stack[-1].get("job")) or {}).get("path")
    if job in state.jobs:
        return stop(plan, state, stack), True
    first = {"job": stack[-1]["job"], "question": plan.question(path, None)["id"]}
    return [*stack[:-1], first, begin(plan, job)], False


def stop(plan: Plan, state: State, stack: Stack) -> Stack:
    """Return the stack of the job that a stop leads to, and nothing after it; a second stop moves nothing."""
    job = plan.sequence(state.sequence).get("stop")
    if state.stopped:
        return stack
    return [begin(plan, job)] if job else []

"""What a person does on a screen, and the events that it comes to. What is wrong is refused, none written."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, read_inputs
from calculators.shared.words import say
from calculators.turn_plan.calculator import INPUTS as TURN
from calculators.visit.asking import answer_at
from calculators.visit.asks import FIELDS
from calculators.visit.changes import told_now
from calculators.visit.entries import Wanted, read, wanted, wanted_first
from calculators.visit.events import CLOSINGS, DIRECTIONS, LONGEST, SPRINGS, VERSION
from calculators.visit.inputs import run_at, runs_here
from calculators.visit.leaving import keeps_open
from calculators.visit.ledger import is_uneven, net, order, spring_count
from calculators.visit.outcomes import ALWAYS_STOP
from calculators.visit.places import Place, Stack, after, by_way, follow, goes_back, settle, stop, target_of
from calculators.visit.plan import Plan
from calculators.visit.screens import MOST_RUNS, may_leave_open, runs_missing, shown_steps, step_lacks
from calculators.visit.state import Event, Row, State, fold

Words = Mapping[str, str]
Events = list[tuple[str, Row]]


def _text(name: str, least: int = 0, most: int = LONGEST, *, optional: bool = False) -> Field:
    return Field(name=name, kind="text", least=least, most=most, optional=optional, label="", help="")


def _whole(name: str, low: int, high: int, *, optional: bool = False) -> Field:
    return Field(name=name, kind="whole", low=low, high=high, optional=optional, label="", help="")


def _choice(name: str, *choices: str, optional: bool = False) -> Field:
    return Field(name=name, kind="choice", choices=choices, optional=optional, label="", help="")


def _flag(name: str) -> Field:
    return Field(name=name, kind="flag", label="", help="")


_READING = {field.name: field for field in next(each for each in TURN if each.name == "readings").fields}
RUN = (
    _READING["fold_time_s"],
    dataclasses.replace(_READING["started"], optional=False),
    _choice("stopped", "sharp", "no-longer-moves", optional=True),
)
TURNED = (
    _choice("spring", *SPRINGS),
    _whole("which", 1, 12, optional=True),
    _choice("direction", *DIRECTIONS),
    _text("unordered", 1),
)
PART = (_text("name", 1, 200), _whole("count", 1, 1000), _flag("used"))
LOCK = (_text("person", 1, 200), _text("place", 1, 200), _flag("on"))
PHOTO = (
    _text("hash", 1, 128),
    _whole("bytes", 0, 10**9),
    _whole("width", 1, 100_000),
    _whole("height", 1, 100_000),
)
CLOSE = (_choice("how", *CLOSINGS), _text("why", optional=True), _text("signed", optional=True))
NAME = (_text("name", 1, 200),)


class Refused(BadInput):
    """An act that cannot be taken. `fields` declares what its problems are about."""

    def __init__(self, fields: Sequence[Field], *problems: InputProblem) -> None:
        super().__init__(*problems)
        self.fields = fields


@dataclass(frozen=True)
class Now:
    """What an act meets: the plan, the log with its state, and the place."""

    plan: Plan
    log: Sequence[Event]
    state: State
    words: Words
    place: Place

    def then(self, events: Events, ids: Sequence[str] = (), at: str = "") -> Now:
        """Return what stands once events are appended."""
        log = [*self.log, *provisional(self.log, events, ids, at)]
        state = fold(log)
        return Now(self.plan, log, state, self.words, settle(self.plan, state, state.next))


def now(plan: Plan, log: Sequence[Event], words: Words) -> Now:
    """Return what an act meets at the end of a log."""
    state = fold(log)
    return Now(plan, log, state, words, settle(plan, state, state.next))


def provisional(log: Sequence[Event], events: Events, ids: Sequence[str] = (), at: str = "") -> list[Row]:
    """Return events as they will stand in the log; one without an id has a provisional one."""
    seq = log[-1]["seq"] if log else -1
    return [
        {
            "v": VERSION,
            "id": ids[i] if i < len(ids) else f"new:{i}",
            "seq": seq + 1 + i,
            "at": at,
            "kind": kind,
            "values": values,
        }
        for i, (kind, values) in enumerate(events)
    ]


def take(here: Now, act: object) -> Events:
    """Return the events that an act comes to.

    Raises:
        BadInput: the act is not one of those that this screen takes, or a value of it is wrong.
    """
    if not isinstance(act, Mapping) or not isinstance(act.get("do"), str):
        raise BadInput(InputProblem("do", None, "missing"))
    if act["do"] not in ACTS:
        raise BadInput(InputProblem("do", act["do"], "visit-unknown-act"))
    if here.state.closed and act["do"] not in AFTER_CLOSE:
        raise BadInput(InputProblem("do", act["do"], "visit-closed"))
    return ACTS[act["do"]](here, act)


def _given(fields: Sequence[Field], act: Mapping[str, Any], words: Words) -> Row:
    """Return the values of an act by their declaration; what it does not have and need not is left out."""
    named = [
        dataclasses.replace(field, label=words.get(f"visit.entry.{field.name}", field.name))
        for field in fields
    ]
    raw = {field.name: act[field.name] for field in named if field.name in act}
    try:
        values = read_inputs(named, raw)
    except BadInput as bad:
        raise Refused(named, *bad.problems) from None
    return {name: value for name, value in values.items() if value is not None}


def _where(here: Now) -> Row:
    return {"job": here.place.job, "step": here.place.step} if here.place.job else {}


def _at_stage(here: Now, *stages: str) -> None:
    if here.place.stage not in stages:
        raise BadInput(InputProblem("do", None, "visit-not-here"))


def _done(here: Now, act: Mapping[str, Any]) -> Events:
    _at_stage(here, "step", "answer")
    plan, state, place = here.plan, here.state, here.place
    if place.stage == "answer":
        first = answer_at(plan, state, place, here.words).first
        if not first:
            raise BadInput(InputProblem("do", "done", "visit-not-here"))
        return _with_quiet_answer(here, _entered(here, wanted_first(plan, state, place.job, first), act))
    steps = shown_steps(plan, state, place)
    asks = [ask for step in steps for ask in plan.asks(place.job, step)]
    first_asks = step_lacks(plan, state, place.job, asks)
    if first_asks:
        return _entered(here, wanted_first(plan, state, place.job, first_asks), act)
    _check_runs(here, steps, asks)
    events = _entered(here, wanted(plan, state, place.job, steps), act)
    if "half-turn" in asks:
        events.append(("turned", _ordered(here)))
    events.append(("done", _step_done(here, steps, here.then(events).state)))
    return _with_quiet_answer(here, events)


def _entered(here: Now, wants: Sequence[Wanted], act: Mapping[str, Any]) -> Events:
    try:
        return list(read(here.plan, here.state, here.place.job, wants, act.get("entries"), here.words))
    except BadInput as bad:
        raise Refused([want.field(here.words) for want in wants], *bad.problems) from None


def _check_runs(here: Now, steps: Sequence[str], asks: Sequence[str]) -> None:
    missing = runs_missing(here.plan, here.state, here.place.job, steps) if "runs" in asks else 0
    if missing:
        raise BadInput(InputProblem("runs", None, "visit-runs-missing", {"count": missing}))


def _ordered(here: Now) -> Row:
    """Return the half turn that stands ordered, made."""
    ordered = order(here.plan, here.state, here.plan.jobs_spring(here.place.job))
    if ordered is None:
        raise BadInput(InputProblem("do", "done", "visit-not-here"))
    return {**_where(here), **{name: ordered[name] for name in ("spring", "which", "direction")}}


def _step_done(here: Now, steps: Sequence[str], behind: State) -> Row:
    plan, place = here.plan, here.place
    page = plan.page(place.job)
    row: Row = {
        "job": place.job,
        "page": page,
        "steps": [{"id": step, "hash": plan.step(page, step).get("hash", "")} for step in steps],
        "next": _next_after(here, steps[-1], behind),
    }
    if place.job not in here.state.orders:
        row["order"] = plan.order(place.job)
    if place.worked:
        row["worked"] = place.worked
    return row


def _next_after(here: Now, step: str, behind: State) -> Stack:
    """Return the stack behind a step that was done: back for more runs or a further spring, else on."""
    plan, job = here.plan, here.place.job
    rule = plan.rule(job, step)
    frame: Row = {"job": job, "step": after(plan, job, step)}
    if goes_back(plan, behind, job, rule):
        frame["step"] = by_way(plan, behind, rule["again"])
    elif "ask" in rule:
        frame = {"job": job, "step": step, "stage": "answer"}
    elif "led_by" in rule:
        frame = {"job": job, "step": step, "stage": "led"}
    return [*here.place.stack[:-1], frame]


def _with_quiet_answer(here: Now, events: Events) -> Events:
    """Add the answer that needs no screen of its own."""
    behind = here.then(events)
    if behind.place.stage != "answer":
        return events
    answer = answer_at(behind.plan, behind.state, behind.place, here.words)
    return [*events, *_answer(behind, {})] if answer.is_quiet and not answer.question else events


def _answer(here: Now, act: Mapping[str, Any]) -> Events:
    _at_stage(here, "answer")
    plan, place = here.plan, here.place
    answer = answer_at(plan, here.state, place, here.words)
    if answer.first or answer.question:
        raise BadInput(InputProblem("do", "answer", "visit-not-here"))
    rule = plan.rule(place.job, place.step)
    target = "stop" if answer.outcome in ALWAYS_STOP else target_of(rule, answer.outcome)
    next_, stopped = _follow(here, target)
    row: Row = {
        "calculator": answer.calculator,
        **_where(here),
        "outcome": answer.outcome,
        "headline": answer.headline,
        "do_now": answer.do_now,
        "next": next_,
    }
    return [("answered", _with_stop(row | ({"spring": answer.spring} if answer.spring else {}), stopped))]


def _with_stop(row: Row, stopped: bool) -> Row:
    return row | ({"stop": True} if stopped else {})


def _follow(here: Now, target: Any) -> tuple[Stack, bool]:
    """Return where a target leads; the target "next" is the step behind this one."""
    if target == "next":
        step = after(here.plan, here.place.job, here.place.step)
        return [*here.place.stack[:-1], {"job": here.place.job, "step": step}], False
    return follow(here.plan, here.state, here.place.stack, target)


def _reply(here: Now, act: Mapping[str, Any]) -> Events:
    _at_stage(here, "path", "answer")
    return _reply_on_path(here, act) if here.place.stage == "path" else _reply_to_question(here, act)


def _reply_on_path(here: Now, act: Mapping[str, Any]) -> Events:
    plan, place = here.plan, here.place
    job = plan.job(place.job) or {}
    row = plan.question(job["path"], place.top["question"])
    field = _whole("answer", 0, len(row["answers"]) - 1)
    chosen = _given([field], act, here.words)["answer"]
    answer = row["answers"][chosen]
    if "go" in answer:
        next_, stopped = [*place.stack[:-1], {"job": place.job, "question": answer["go"]}], False
    else:
        default = "stop" if answer.get("stop") else "end"
        target = job.get("ends", {}).get(f"{row['id']}/{chosen + 1}", default)
        next_, stopped = _follow(here, target)
    values = {"path": job["path"], "question": row["id"], "answer": chosen, "next": next_}
    return [("replied", _with_stop(values, stopped))]


def _reply_to_question(here: Now, act: Mapping[str, Any]) -> Events:
    """Take the answer to a calculator's question; what puts the sheet right is put right at once."""
    answer = answer_at(here.plan, here.state, here.place, here.words)
    if answer.question is None:
        raise BadInput(InputProblem("do", "reply", "visit-not-here"))
    said = _given([_choice("answer", *answer.question["choices"])], act, here.words)["answer"]
    of = run_at(here.state, answer.calculator, answer.question["field"])
    row: Row = {
        "calculator": answer.calculator,
        "question": str(answer.question["code"]).partition(".")[2],
        "answer": said,
        "of": of,
        "next": here.place.stack,
    }
    return [("replied", row), *_put_right(here, act, said, of)]


def _put_right(here: Now, act: Mapping[str, Any], said: str, of: str | None) -> Events:
    if said == "mistyped" and of:
        return [("struck", {"of": of, "why": "mistyped"})]
    if said == "turned":
        direction = _given([_choice("direction", *DIRECTIONS)], act, here.words)["direction"]
        told = {"spring": "lip-assist", "direction": direction, "unordered": "forgotten", "before": of}
        return _turned(here, {name: value for name, value in told.items() if value})
    if said == "other-way":
        return [
            ("corrected", {"of": turn["id"], "values": {"direction": OTHER[turn["direction"]]}})
            for turn in here.state.turns
            if turn["spring"] == "lip-assist"
        ]
    return []


OTHER = {"tighten": "loosen", "loosen": "tighten"}


def _turned(here: Now, act: Mapping[str, Any]) -> Events:
    """Take a half turn that nobody ordered, or that was forgotten.

    Its check is the next screen; after a stop nothing more is worked but what the stop leads to.
    """
    given = _given(TURNED, act, here.words)
    spring = given["spring"]
    events = _counted_first(here, act) if spring == "mainspring" else []
    count = spring_count(here.plan, here.then(events).state, spring) or 1
    if given.get("which", 1) > count:
        problem = InputProblem("which", given["which"], "out-of-range")
        raise Refused([_whole("which", 1, count)], problem)
    before = {"before": act["before"]} if _is_run(here, act.get("before")) else {}
    springs = [given["which"]] if "which" in given else list(range(1, count + 1))
    events += [("turned", {**_where(here), **given, "which": which, **before}) for which in springs]
    if here.state.stopped:
        return events
    next_, stopped = _to_check(here, here.then(events).state, spring)
    events[-1][1]["next"] = next_
    if stopped:
        events[-1][1]["stop"] = True
    return events


def _counted_first(here: Now, act: Mapping[str, Any]) -> Events:
    """Return the entry of how many mainsprings there are, which the act tells where nobody knew."""
    if spring_count(here.plan, here.state, "mainspring") is not None:
        return []
    field = dataclasses.replace(FIELDS["springs"].field, label=say(here.words, "visit.entry.springs", {}))
    try:
        count = read_inputs([field], {"spring_count": act["spring_count"]} if "spring_count" in act else {})
    except BadInput as bad:
        raise Refused([field], *bad.problems) from None
    return [("entered", {**_where(here), "ask": "springs", **count})]


def _is_run(here: Now, id_: object) -> bool:
    return any(run["id"] == id_ for run in here.state.runs)


def _to_check(here: Now, state: State, spring: str) -> tuple[Stack, bool]:
    """Return where a half turn without an order leads: to even springs, to the check, or to a stop."""
    plan, stack = here.plan, here.place.stack
    job = plan.springs_job(spring, state.sequence)
    if job is None:
        return stop(plan, state, stack), True
    step = str((plan.job(job) or {})["check"])
    if is_uneven(plan, state, spring):
        if order(plan, state, spring) is None:
            return stop(plan, state, stack), True
        rule = next(
            (
                rule
                for each in plan.order(job)
                if "again" in (rule := plan.rule(job, each)) and "until" not in rule
            ),
            {},
        )
        step = by_way(plan, state, rule.get("again", step)) or step
    for depth, frame in enumerate(stack):
        if frame.get("job") == job:
            return [*stack[:depth], {"job": job, "step": step}], False
    if job in [row["job"] for row in plan.listed(state.sequence)]:
        return [{"job": job, "step": step}], False
    return [*stack, {"job": job, "step": step}], False


def _not_so(here: Now, act: Mapping[str, Any]) -> Events:
    _at_stage(here, "step", "answer", "path")
    item = act.get("stop_item")
    stops = here.plan.raw.get("pages", {}).get(here.plan.page(here.place.job), {}).get("stops", 0)
    given = _given(
        [
            _whole("stop_item", 0, max(stops - 1, 0), optional=True),
            _text("note", 0 if item is not None else 1),
        ],
        {"note": "", **act},
        here.words,
    )
    row = {**_where(here), "stop_item": given.get("stop_item"), "note": given["note"]}
    if item is None:
        return [("not-so", {**row, "next": here.place.stack})]
    return [("not-so", {**row, "next": stop(here.plan, here.state, here.place.stack), "stop": True})]


def _leave_open(here: Now, act: Mapping[str, Any]) -> Events:
    _at_stage(here, "step")
    if not may_leave_open(here.plan, here.state, here.place):
        raise BadInput(InputProblem("do", "leave-open", "visit-not-left-open"))
    note = _given([_text("note", 1)], act, here.words)["note"]
    steps = shown_steps(here.plan, here.state, here.place)
    row = {**_where(here), "stop_item": None, "note": note, "left_open": True}
    return [("not-so", {**row, "next": _next_after(here, steps[-1], here.state)})]


def _run(here: Now, act: Mapping[str, Any]) -> Events:
    if len(runs_here(here.state)) >= MOST_RUNS:
        raise BadInput(InputProblem("fold_time_s", None, "visit-runs-enough", {"most": MOST_RUNS}))
    given = _given(RUN, act, here.words)
    row: Row = {**_where(here), "stopped": "sharp", **given, "spring_setting": net(here.state, "lip-assist")}
    if act.get("tone"):
        row |= _given([_choice("tone", "untold")], act, here.words)
    if act.get("struck"):
        row |= _given([_text("struck", 1)], act, here.words)
    return [("run", row)]


def _strike(here: Now, act: Mapping[str, Any]) -> Events:
    given = _given([_text("of", 1, 120), _text("why", 1)], act, here.words)
    return [("struck", _of_run(here, given))]


def _put_back(here: Now, act: Mapping[str, Any]) -> Events:
    given = _given([_text("of", 1, 120), _text("why", optional=True)], act, here.words)
    return [("put-back", _of_run(here, given))]


def _of_run(here: Now, given: Row) -> Row:
    if not _is_run(here, given["of"]):
        raise BadInput(InputProblem("of", given["of"], "visit-no-such-entry"))
    return given


CORRECTABLE: Mapping[str, Sequence[Field]] = {
    "opened": (_text("asked_for"), _text("technician", 0, 200)),
    "run": (*RUN[:2], _choice("stopped", "sharp", "no-longer-moves")),
    "turned": (_choice("direction", *DIRECTIONS),),
    "noted": (_text("text", 1),),
    "not-so": (_text("note"),),
    "part": PART,
    "helper": NAME,
    "lock": LOCK,
    "kept-in-use": NAME,
    "signed": NAME,
    "closed": (_text("why"),),
}
"""What can be put right of each kind beside what was entered in a step."""


def _correct(here: Now, act: Mapping[str, Any]) -> Events:
    event = next((each for each in here.log if each["id"] == act.get("of")), None)
    if event is None or event["kind"] not in ("entered", *CORRECTABLE):
        raise BadInput(InputProblem("of", act.get("of"), "visit-no-such-entry"))
    raw = act.get("values")
    if not isinstance(raw, Mapping) or not raw:
        raise BadInput(InputProblem("values", None, "missing"))
    if event["kind"] == "entered":
        values = _entries_corrected(event, raw, here.words)
    else:
        fields = {
            field.name: dataclasses.replace(field, optional=True) for field in CORRECTABLE[event["kind"]]
        }
        _refuse_unknown(raw, fields)
        values = _given(list(fields.values()), raw, here.words)
    return [("corrected", {"of": event["id"], "values": values})]


def _entries_corrected(event: Event, raw: Mapping[str, Any], words: Words) -> Row:
    """Read corrected entries, each under the key that it had on its screen."""
    fields = {}
    for key in raw:
        entry = FIELDS.get(str(key).partition("/")[0])
        if entry is not None and entry.field.name in event["values"]:
            label = say(words, f"visit.entry.{entry.name}", {})
            fields[str(key)] = dataclasses.replace(entry.field, name=str(key), label=label)
    _refuse_unknown(raw, fields)
    try:
        found = read_inputs(list(fields.values()), raw)
    except BadInput as bad:
        raise Refused(list(fields.values()), *bad.problems) from None
    return {FIELDS[key.partition("/")[0]].field.name: value for key, value in found.items()}


def _refuse_unknown(raw: Mapping[str, Any], fields: Mapping[str, Field]) -> None:
    unknown = [key for key in raw if key not in fields]
    if unknown:
        raise BadInput(*(InputProblem(str(key), raw[key], "visit-no-such-entry") for key in unknown))


def _note(here: Now, act: Mapping[str, Any]) -> Events:
    return [("noted", {**_where(here), **_given([_text("text", 1)], act, here.words)})]


def _photo(here: Now, act: Mapping[str, Any]) -> Events:
    return [("photo", {**_where(here), **_given(PHOTO, act, here.words)})]


def _part(here: Now, act: Mapping[str, Any]) -> Events:
    return [("part", {**_where(here), **_given(PART, act, here.words)})]


def _plain(kind: str, fields: Sequence[Field]) -> Callable[[Now, Mapping[str, Any]], Events]:
    return lambda here, act: [(kind, _given(fields, act, here.words))]


def _close(here: Now, act: Mapping[str, Any]) -> Events:
    given = _given(CLOSE, act, here.words)
    missing = keeps_open(here.plan, here.state, given["how"])
    if missing:
        why = " ".join(say(here.words, each["code"], each["values"]) for each in missing)
        raise BadInput(InputProblem("how", given["how"], "visit-not-closed", {"why": why}))
    if given["how"] == "out-of-service" and not given.get("why"):
        raise Refused(CLOSE, InputProblem("why", None, "missing"))
    signed: Events = [("signed", {"name": given["signed"]})] if given.get("signed") else []
    return [*signed, ("closed", {"how": given["how"], "why": given.get("why", "")})]


def _go_on(here: Now, act: Mapping[str, Any]) -> Events:
    return [("told", told_now(here.plan, here.state))]


ACTS: Mapping[str, Callable[[Now, Mapping[str, Any]], Events]] = {
    "done": _done,
    "answer": _answer,
    "reply": _reply,
    "not-so": _not_so,
    "leave-open": _leave_open,
    "run": _run,
    "strike": _strike,
    "put-back": _put_back,
    "turned": _turned,
    "correct": _correct,
    "note": _note,
    "photo": _photo,
    "part": _part,
    "helper": _plain("helper", NAME),
    "lock": _plain("lock", LOCK),
    "kept-in-use": _plain("kept-in-use", NAME),
    "go-on": _go_on,
    "close": _close,
}
AFTER_CLOSE = ("correct", "note")
"""What can still be done after a visit is closed: what it adds stands there as later."""

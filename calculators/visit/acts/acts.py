"""What a person does on a screen, and the events that it comes to. What is wrong is refused, none written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem
from calculators.shared.words import say
from calculators.visit.acts.act_values import CLOSE, LOCK, NAME, PART, PHOTO, text
from calculators.visit.acts.correcting import correct
from calculators.visit.acts.here import Events, Now, Refused, given_values, where
from calculators.visit.acts.replying import reply
from calculators.visit.acts.running import put_back, run, strike
from calculators.visit.acts.stepping import answer, done, leave_open, not_so
from calculators.visit.acts.turning import turned
from calculators.visit.place.changes import told_now
from calculators.visit.place.leaving import keeps_open


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


def _note(here: Now, act: Mapping[str, Any]) -> Events:
    return [("noted", {**where(here), **given_values([text("text", 1)], act, here.words)})]


def _photo(here: Now, act: Mapping[str, Any]) -> Events:
    return [("photo", {**where(here), **given_values(PHOTO, act, here.words)})]


def _part(here: Now, act: Mapping[str, Any]) -> Events:
    return [("part", {**where(here), **given_values(PART, act, here.words)})]


def _plain(kind: str, fields: Sequence[Field]) -> Callable[[Now, Mapping[str, Any]], Events]:
    return lambda here, act: [(kind, given_values(fields, act, here.words))]


def _close(here: Now, act: Mapping[str, Any]) -> Events:
    given = given_values(CLOSE, act, here.words)
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
    "done": done,
    "answer": answer,
    "reply": reply,
    "not-so": not_so,
    "leave-open": leave_open,
    "run": run,
    "strike": strike,
    "put-back": put_back,
    "turned": turned,
    "correct": correct,
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

"""A reply: on a fault path, or to what a calculator asks about a run."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.shared.fields import BadInput, InputProblem
from calculators.visit.acts.act_values import choice, text, whole
from calculators.visit.acts.here import Events, Now, at_stage, given_values, with_stop
from calculators.visit.acts.turning import turned
from calculators.visit.derived.inputs import run_at
from calculators.visit.log.events import DIRECTIONS
from calculators.visit.log.state import Row
from calculators.visit.place.places import follow
from calculators.visit.screens.asking import answer_at

OTHER = {"tighten": "loosen", "loosen": "tighten"}


def reply(here: Now, act: Mapping[str, Any]) -> Events:
    """Take the answer to the question on the screen."""
    at_stage(here, "path", "answer")
    return _reply_on_path(here, act) if here.place.stage == "path" else _reply_to_question(here, act)


def _reply_on_path(here: Now, act: Mapping[str, Any]) -> Events:
    plan, place = here.plan, here.place
    job = plan.job(place.job) or {}
    row = plan.question(job["path"], place.top["question"])
    fields = [whole("answer", 0, len(row["answers"]) - 1), text("note", optional=True)]
    given = given_values(fields, act, here.words)
    chosen = given["answer"]
    answer = row["answers"][chosen]
    if "go" in answer:
        next_, stopped = [*place.stack[:-1], {"job": place.job, "question": answer["go"]}], False
    else:
        default = "stop" if answer.get("stop") else "end"
        target = job.get("ends", {}).get(f"{row['id']}/{chosen + 1}", default)
        next_, stopped = follow(here.plan, here.state, here.place.stack, target)
    values = {"path": job["path"], "question": row["id"], "answer": chosen, "next": next_}
    if stopped and given.get("note"):
        values["note"] = given["note"]
    return [("replied", with_stop(values, stopped))]


def _reply_to_question(here: Now, act: Mapping[str, Any]) -> Events:
    """Take the answer to a calculator's question; what puts the sheet right is put right at once."""
    answer = answer_at(here.plan, here.state, here.place, here.words)
    if answer.question is None:
        raise BadInput(InputProblem("do", "reply", "visit-not-here"))
    said = given_values([choice("answer", *answer.question["choices"])], act, here.words)["answer"]
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
        direction = given_values([choice("direction", *DIRECTIONS)], act, here.words)["direction"]
        told = {"spring": "lip-assist", "direction": direction, "unordered": "forgotten", "before": of}
        return turned(here, {name: value for name, value in told.items() if value})
    if said == "other-way":
        return [
            ("corrected", {"of": turn["id"], "values": {"direction": OTHER[turn["direction"]]}})
            for turn in here.state.turns
            if turn["spring"] == "lip-assist"
        ]
    return []

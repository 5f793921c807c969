"""The record of a visit: what it was about, what was done, what came of it, and what is left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calculators.shared.half_turns import sentence
from calculators.visit.derived.entries import told_places
from calculators.visit.log.events import CLOSINGS
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Event, Row, State
from calculators.visit.place.leaving import keeps_open, left_behind, left_open, stopped_by
from calculators.visit.place.places import settle
from calculators.visit.record.compared import SPRINGS, compared, cycle_left, fold_left
from calculators.visit.record.dues import dues

Words = Mapping[str, str]
TRUE_FOR_ALL = ("people-clear", "lip-path", "pinch-points", "walk-down-slip")
"""Hazards of every leveler, whoever works it; shown as far as the book's registers have them."""


def leave(plan: Plan, log: list[Event], state: State, digests: list[Row], words: Words) -> Row:
    """Return what the page "leave" shows; `digests` are those of the leveler's earlier visits."""
    return {
        "head": head(plan, state),
        "rows": compared(plan, state, words),
        "verdicts": list(verdicts(plan, state, words)),
        "did": list(did(plan, state)),
        "open": [
            {"what": each, "by": _by(state, each)}
            for each in [*_undone(plan, state), *left_open(plan, state), *left_behind(state, words)]
        ],
        "due": dues(plan, state, digests, words),
        "locks": [
            {
                "person": person,
                "place": place,
                "where": words.get(f"visit.place.{place}", place),
                "on": row["on"],
            }
            for (person, place), row in state.locks.items()
        ],
        "parts": [{name: part[name] for name in ("name", "count", "used")} for part in state.parts],
        "photos": [{name: photo[name] for name in ("hash", "bytes")} for photo in state.photos],
        "kept_in_use": _of(state.kept_in_use, "name", "at"),
        "stopped": state.stopped and stopped_by(state.stopped),
        "may_close": {
            how: [told_places(each, words) for each in keeps_open(plan, state, how)] for how in CLOSINGS
        },
        "closed": closed(state),
        "corrections": list(corrections(log, state, words)),
    }


def _undone(plan: Plan, state: State) -> list[Row]:
    """Return that jobs are left to do, as a sentence, while the visit goes on."""
    goes_on = state.closed is None and state.stopped is None and settle(plan, state, state.next).stack
    return [sentence("visit.keeps.jobs")] if goes_on else []


def report(plan: Plan, log: list[Event], state: State, digests: list[Row], words: Words) -> Row:
    """Return what the customer's report shows: the record, its picture and the cautions that stay true."""
    ids = [hazard for hazard in TRUE_FOR_ALL if hazard in plan.raw.get("hazards", {})]
    return {
        **leave(plan, log, state, digests, words),
        "cautions": ids,
        "picture": fold_left(plan, state, words),
    }


def _by(state: State, found: Row) -> str | None:
    """Return the day by which a finding is mended, where one was said."""
    kept = [row for row in state.not_so if row.get("kept") and row["note"] == found["values"].get("note")]
    return kept[-1].get("by") if kept else None


def _of(row: Row | None, *names: str) -> Row | None:
    return row and {name: row[name] for name in names}


def head(plan: Plan, state: State) -> Row:
    """Return whose leveler it is, where, who was there, and when it began."""
    opened = state.opened
    return {
        "customer": opened.get("customer") or "",
        "site": {"address": opened.get("address", ""), "gate": opened.get("gate", "")},
        "door": opened.get("door") or "",
        "class": plan.leveler(opened.get("leveler_class")).get("name", ""),
        "asked_for": plan.sequence(state.sequence).get("label", state.sequence),
        "in_words": opened.get("asked_for", ""),
        "technician": opened.get("technician", ""),
        "helpers": list(dict.fromkeys(state.helpers)),
        "opened": state.started,
    }


def closed(state: State) -> Row | None:
    """Return when, how and why a visit was closed, and who signed it; None while it is open."""
    if state.closed is None:
        return None
    signed = (state.signed or {}).get("name") or state.opened.get("technician", "")
    return {**{name: state.closed[name] for name in ("at", "how", "why")}, "signed": signed}


def verdicts(plan: Plan, state: State, words: Words) -> Iterator[Row]:
    """Yield how the leveler ran last: its cycle, its fold time, its rods, and what stopped the work."""
    cycle = cycle_left(state)
    if cycle:
        good = cycle["rise"] == "full-gentle" and cycle["lip_extended"] and cycle["walk_down"] != "cannot"
        yield sentence(f"visit.record.cycle.{'right' if good else 'not-right'}")
    fold = fold_left(plan, state, words)
    if fold:
        names = ("mean_s", "low_s", "high_s")
        values = {name: fold["answer"][name] for name in names}
        window = {name: fold["inputs"][name] for name in ("window_low_s", "window_high_s")}
        yield sentence(f"visit.record.fold.{fold['answer']['verdict']}", **values, **window)
    rod = next((row for row in reversed(state.answered) if row["calculator"] == "rod-length"), None)
    if rod and rod["headline"]["code"].startswith("rod-length."):
        yield {name: rod["headline"][name] for name in ("code", "values")}


def did(plan: Plan, state: State) -> Iterator[Row]:
    """Yield what was done: the jobs, the half turns, those that nobody ordered, the parts, the notes."""
    titles = [str((plan.job(job) or {}).get("title", job)) for job in sorted(state.jobs, key=_first(state))]
    if titles:
        yield sentence("visit.record.jobs", jobs=", ".join(dict.fromkeys(titles)))
    for spring in SPRINGS:
        made = sum(turn["spring"] == spring for turn in state.turns)
        if made:
            yield sentence(f"visit.record.turned.{spring}", made=made)
    for turn in state.turns:
        if turn.get("unordered"):
            yield sentence(f"visit.record.unordered.{turn['direction']}", why=turn["unordered"])
    for part in state.parts:
        if part["used"]:
            yield sentence("visit.record.used", name=part["name"], count=part["count"])
    struck = [run for run in state.runs if run["struck"] is not None]
    if struck:
        yield sentence("visit.record.struck", count=len(struck))
    for row in state.not_so:
        if row["note"] and not row.get("stop") and not row.get("left_open"):
            yield sentence("visit.record.not-so", note=row["note"])
    for note in state.notes:
        yield sentence(
            "visit.record.note.later" if note["correction"] else "visit.record.note", text=note["text"]
        )
    lead = state.last("lead", "text")
    if lead:
        told = state.stopped or (state.closed or {}).get("how") == "out-of-service"
        yield sentence("visit.record.lead-told" if told else "visit.record.lead", name=lead)


def _first(state: State) -> Any:
    """Return the order in which jobs were begun."""
    begun = list(dict.fromkeys(job for job, _ in state.trail))
    return lambda job: begun.index(job) if job in begun else len(begun)


def corrections(log: list[Event], state: State, words: Words) -> Iterator[Row]:
    """Yield what was put right after the close: when, and which entry."""
    events = {event["id"]: event for event in log}
    for row in state.corrections:
        if not row["correction"]:
            continue
        event = events.get(row["of"], {"kind": "", "values": {}})
        name = event["values"].get("ask", event["kind"])
        label = words.get(f"visit.entry.{name}", words.get(f"visit.record.entry.{event['kind']}", name))
        yield {"at": row["at"], "text": sentence("visit.record.corrected", entry=label)}

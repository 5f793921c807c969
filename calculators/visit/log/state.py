"""Where a visit stands: the log folded into what was done, seen, timed and turned, by pure functions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Event = Mapping[str, Any]
Row = dict[str, Any]


@dataclass
class State:
    """What a log tells. Rows are the events' values with their `id`, `seq` and `at`, corrections applied."""

    opened: Row = field(default_factory=dict)
    next: list[Row] = field(default_factory=lambda: [{"after": None}])
    steps: dict[tuple[str, str], int] = field(default_factory=dict)
    """(page, step) done, with the seq of the last time."""
    hashes: dict[tuple[str, str], str] = field(default_factory=dict)
    """(page, step) done, with the hash of the text that was read."""
    jobs: dict[str, int] = field(default_factory=dict)
    """Jobs of which a step was done, with the seq of the last."""
    trail: list[tuple[str, str]] = field(default_factory=list)
    """(job, step) in the order worked."""
    orders: dict[str, list[str]] = field(default_factory=dict)
    """A job's steps as they were when it was begun, or when its changes were told."""
    told: Row = field(default_factory=dict)
    entered: list[Row] = field(default_factory=list)
    runs: list[Row] = field(default_factory=list)
    turns: list[Row] = field(default_factory=list)
    answered: list[Row] = field(default_factory=list)
    replied: list[Row] = field(default_factory=list)
    not_so: list[Row] = field(default_factory=list)
    notes: list[Row] = field(default_factory=list)
    photos: list[Row] = field(default_factory=list)
    parts: list[Row] = field(default_factory=list)
    helpers: list[str] = field(default_factory=list)
    locks: dict[tuple[str, str], Row] = field(default_factory=dict)
    kept_in_use: Row | None = None
    signed: Row | None = None
    closed: Row | None = None
    handed_over: list[Row] = field(default_factory=list)
    others: list[Row] = field(default_factory=list)
    """Helpers, locks, who keeps it in use and who signed, each as it was written."""
    corrections: list[Row] = field(default_factory=list)
    changed_at: int = -1
    """The seq of the latest correction, or of a run struck out or put back."""
    stopped: Row | None = None
    """What led to stop and call; None where nothing did."""
    started: str = ""
    ended: str = ""
    """The local times of the first and the last event."""

    @property
    def sequence(self) -> str:
        """The id of the sequence."""
        return str(self.opened.get("sequence", ""))

    def last(self, ask: str, key: str) -> Any:
        """Return the latest value entered for an ask, None where there is none."""
        return next((row[key] for row in reversed(self.entered) if row["ask"] == ask and key in row), None)


def fold(log: Sequence[Event]) -> State:
    """Return the state that a log comes to; the log is in order of seq."""
    state = State()
    values = _corrected(log)
    for event in log:
        row = {
            **values[event["id"]],
            "id": event["id"],
            "seq": event["seq"],
            "at": event.get("at", ""),
            "correction": state.closed is not None,
        }
        state.started = state.started or row["at"]
        state.ended = row["at"]
        _take(state, event["kind"], row)
    _place_turns(state)
    return state


def _corrected(log: Sequence[Event]) -> dict[str, Row]:
    """Return the values of every event by id, with what later corrections put right."""
    values: dict[str, Row] = {}
    for event in log:
        values[event["id"]] = dict(event["values"])
        if event["kind"] == "corrected" and event["values"]["of"] in values:
            values[event["values"]["of"]].update(event["values"]["values"])
    return values


LISTS = {
    "entered": "entered",
    "turned": "turns",
    "answered": "answered",
    "replied": "replied",
    "not-so": "not_so",
    "noted": "notes",
    "photo": "photos",
    "part": "parts",
    "handed-over": "handed_over",
}
"""The kinds that are only put on a list."""
ONCE = {
    "opened": "opened",
    "kept-in-use": "kept_in_use",
    "signed": "signed",
    "closed": "closed",
    "told": "told",
}
"""The kinds of which the last counts."""

OTHERS = ("helper", "lock", "kept-in-use", "signed")


def _take(state: State, kind: str, row: Row) -> None:
    if kind in LISTS:
        getattr(state, LISTS[kind]).append(row)
    elif kind in ONCE:
        setattr(state, ONCE[kind], row)
    elif kind == "done":
        _done(state, row)
    elif kind == "run":
        state.runs.append({**row, "number": len(state.runs) + 1, "struck": row.get("struck")})
    elif kind in ("struck", "put-back"):
        _strike(state, row, row.get("why") or kind if kind == "struck" else None)
    elif kind == "corrected":
        state.corrections.append(row)
        state.changed_at = row["seq"]
    elif kind == "helper":
        state.helpers.append(row["name"])
    elif kind == "lock":
        state.locks[row["person"], row["place"]] = row
    if kind in OTHERS:
        state.others.append(row)
    if kind == "told":
        state.orders.update(row["orders"])
    if row.get("stop"):
        state.stopped = {**row, "kind": kind}
    if "next" in row:
        state.next = row["next"]


def _done(state: State, row: Row) -> None:
    job, page = row["job"], row["page"]
    if "order" in row:
        state.orders[job] = row["order"]
    state.trail += [(each["job"], each["step"]) for each in row.get("worked", ())]
    for step in row["steps"]:
        state.steps[page, step["id"]] = row["seq"]
        state.hashes[page, step["id"]] = step["hash"]
        state.trail.append((job, step["id"]))
    state.jobs[job] = row["seq"]


def _strike(state: State, row: Row, why: str | None) -> None:
    state.changed_at = row["seq"]
    for run in state.runs:
        if run["id"] == row["of"]:
            run["struck"] = why


def _place_turns(state: State) -> None:
    """Give every half turn its place: one remembered later stands before the run that it was made before."""
    seqs = {run["id"]: run["seq"] for run in state.runs}
    for turn in state.turns:
        turn["made"] = seqs[turn["before"]] - 0.5 if turn.get("before") in seqs else turn["seq"]

"""Any visit: acts drawn at random from what a screen offers, now and then one that it does not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from hypothesis import strategies as st

SPRINGS = st.sampled_from(["mainspring", "lip-assist"])
REASONS = st.sampled_from(["forgotten", "slipped"])
NOTES = st.sampled_from(["", "not as told", "x" * 3000])
NUMBERS = {
    "whole": st.one_of(st.integers(3, 8), st.integers(-2, 300)),
    "length": st.one_of(st.sampled_from([0.041, 0.0425, 0.044, 0.0395]), st.floats(-0.1, 0.7)),
    "number": st.one_of(st.floats(10, 30), st.floats(-100, 1000)),
    "text": st.sampled_from(["Kim", "", "two\nlines", "x" * 300]),
}
FOLDS = st.one_of(st.floats(14, 22), st.sampled_from([16.0, 18.0, 18.05, 1.8, 0.1]))


def _entry(draw: st.DrawFn, entry: Mapping[str, Any]) -> Any:
    if entry["choices"]:
        return draw(st.sampled_from([choice["value"] for choice in entry["choices"]]))
    return draw(st.booleans()) if entry["kind"] == "flag" else draw(NUMBERS[entry["kind"]])


@st.composite
def acts(draw: st.DrawFn, screen: Mapping[str, Any], events: list[dict[str, Any]]) -> dict[str, Any]:
    """Draw an act: three in four what the screen offers, else anything."""
    if draw(st.integers(0, 3)):
        return _offered(draw, screen)
    return _anything(draw, screen, events)


def _offered(draw: st.DrawFn, screen: Mapping[str, Any]) -> dict[str, Any]:
    if screen["kind"] in ("steps", "runs"):
        if screen["kind"] == "runs" and screen["least"]:
            return {"do": "run", "fold_time_s": draw(FOLDS), "started": "countdown", "stopped": "sharp"}
        wanted = [entry for entry in screen["entries"] if entry["value"] is None and not entry["optional"]]
        return {"do": "done", "entries": {entry["ask"]: _entry(draw, entry) for entry in wanted}}
    if screen["kind"] == "question":
        answer = draw(st.sampled_from([choice["value"] for choice in screen["question"]["choices"]]))
        return {"do": "reply", "answer": answer, "direction": draw(st.sampled_from(["tighten", "loosen"]))}
    if screen["kind"] == "path":
        return {"do": "reply", "answer": draw(st.sampled_from(screen["answers"]))}
    do = {"answer": "answer", "leave": "close", "closed": "note", "changed": "go-on"}[screen["kind"]]
    return {"do": do, "how": "closing-cycle", "text": "later"}


def _anything(draw: st.DrawFn, screen: Mapping[str, Any], events: list[dict[str, Any]]) -> dict[str, Any]:
    event = draw(st.sampled_from(events))
    kinds: list[Callable[[], dict[str, Any]]] = [
        lambda: {"do": "done", "entries": {entry["ask"]: _entry(draw, entry) for entry in screen["entries"]}},
        lambda: {"do": "done"},
        lambda: {"do": "answer"},
        lambda: {"do": "reply", "answer": draw(st.sampled_from([0, 1, 5, "touched", "other-way"]))},
        lambda: {"do": "not-so", "stop_item": draw(st.sampled_from([None, 0, 99])), "note": draw(NOTES)},
        lambda: {"do": "leave-open", "note": draw(NOTES)},
        lambda: {"do": "run", "fold_time_s": draw(FOLDS), "started": "by-hand"},
        lambda: {"do": "strike", "of": event["id"], "why": "touched"},
        lambda: {"do": "put-back", "of": event["id"]},
        lambda: {
            "do": "turned",
            "spring": draw(SPRINGS),
            "which": draw(st.sampled_from([1, 1, 2, 13])),
            "direction": draw(st.sampled_from(["tighten", "loosen"])),
            "unordered": draw(REASONS),
            "before": event["id"],
        },
        lambda: {"do": "turned", "spring": draw(SPRINGS), "direction": "tighten", "unordered": "forgotten"},
        lambda: {"do": "correct", "of": event["id"], "values": _corrected(draw, event)},
        lambda: {"do": "note", "text": draw(NOTES)},
        lambda: {
            "do": "part",
            "name": "jam nut",
            "count": draw(st.integers(0, 3)),
            "used": draw(st.booleans()),
        },
        lambda: {"do": "helper", "name": draw(st.sampled_from(["Bo", ""]))},
        lambda: {"do": "lock", "person": "Bo", "place": "ring", "on": draw(st.booleans())},
        lambda: {"do": "kept-in-use", "name": "Kim"},
        lambda: {"do": "go-on"},
        lambda: {
            "do": "close",
            "how": draw(st.sampled_from(["closing-cycle", "out-of-service", "done"])),
            "why": "x",
        },
        lambda: {"do": draw(st.sampled_from(["", "dance", "undo"]))},
    ]
    return draw(st.sampled_from(kinds))()


def _corrected(draw: st.DrawFn, event: Mapping[str, Any]) -> dict[str, Any]:
    values = [
        {"direction": draw(st.sampled_from(["tighten", "loosen"]))},
        {"fold_time_s": draw(FOLDS)},
        {str(event["values"].get("ask", "x")): draw(st.sampled_from([5, "short", True, 0.042]))},
        {},
    ]
    return draw(st.sampled_from(values))

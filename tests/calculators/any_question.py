"""Questions that any calculator answers: every case of tests/cases, and random ones over declared ranges."""

from __future__ import annotations

import json
import math
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from calculators import answering
from calculators.shared.fields import Field
from calculators.shared.timing import STARTS, STOPS
from tests.calculators.asking import PROJECT, ask

Question = tuple[str, dict[str, Any], dict[str, Any]]
"""A calculator's name, inputs, and the answer to them."""

FIRST_DAY = date(2000, 1, 1)
DAYS = st.integers(0, 30_000).map(lambda days: (FIRST_DAY + timedelta(days=days)).isoformat())
DIMENSIONS = {
    "wire_diameter_m": 0.006,
    "outside_diameter_m": 0.06,
    "active_coils": 100,
    "shear_modulus_pa": 8e10,
}
NAMES = ("Weekly check", "Grease the hinges", "Öl", "door, \\ ; 3", "x" * 60)


def answered_cases() -> list[Question]:
    """Return every case of tests/cases that has an answer and no errors."""
    files = sorted((PROJECT / "tests/cases").glob("*.json"))
    cases = [case for file in files for case in json.loads(file.read_text(encoding="utf-8"))]
    asked = [(case["calculator"], case["input"], ask(case["calculator"], case["input"])) for case in cases]
    return [question for question in asked if "errors" not in question[2]]


def questions(name: str) -> st.SearchStrategy[dict[str, Any]]:
    """Draw inputs over the whole declared range, put in order where one input bounds another."""
    fields = answering.module(name).INPUTS
    return st.fixed_dictionaries({field.name: _value(field) for field in fields}).map(_in_order)


def _value(field: Field) -> st.SearchStrategy[Any]:
    if field.kind in ("rows", "numbers", "dates"):
        return st.lists(_item(field), min_size=field.least, max_size=min(field.most, 12))
    if field.kind == "number":
        drawn: st.SearchStrategy[Any] = st.floats(field.low, field.high, exclude_min=field.low_open)
        usual = (field.low or 0) <= 10 and (field.high or 0) >= 30  # as fold times are
        drawn |= st.floats(10, 30) if usual else st.nothing()
    elif field.kind == "whole":
        drawn = st.integers(int(field.low or 0), int(field.high or 0)) | st.sampled_from([0, 1]).filter(
            lambda whole: (field.low or 0) <= whole <= (field.high or 0)
        )
    elif field.kind == "date":
        drawn = DAYS
    elif field.kind == "text":
        drawn = st.sampled_from(NAMES)
    else:
        drawn = st.sampled_from(field.choices) if field.kind == "choice" else st.booleans()
    return drawn | st.none() if field.may_be_null or field.optional else drawn


def _item(field: Field) -> st.SearchStrategy[Any]:
    if field.kind == "rows":
        return st.fixed_dictionaries({part.name: _value(part) for part in field.fields})
    return DAYS if field.kind == "dates" else st.floats(field.low, field.high)


def _in_order(inputs: dict[str, Any]) -> dict[str, Any]:
    """Turn limits the right way round, days into order, and keep settings within the adjustment left."""
    for low, high in (("window_low_s", "window_high_s"), ("angle_low_deg", "angle_high_deg")):
        if low in inputs:
            inputs[low], inputs[high] = sorted((inputs[low], inputs[high]))
            if inputs[low] == inputs[high]:
                inputs[low], inputs[high] = 10.0, 30.0
    for along in ("platform_centre_m", "walk_down_x_m"):
        if along in inputs:
            inputs[along] = min(inputs[along], inputs["platform_length_m"])
    for rows in (inputs.get("readings"), inputs.get("cycles")):
        settings = [row["half_turns"] for row in rows or ()]
        if settings:
            inputs["half_turns_min"] = _beyond(inputs["half_turns_min"], min(settings), min)
            inputs["half_turns_max"] = _beyond(inputs["half_turns_max"], max(settings), max)
    if "timing" in inputs:
        _timing_in_order(inputs)
    if "visits" in inputs:
        days = {row["date"]: row for row in inputs["visits"]}
        inputs["visits"] = [days[day] for day in sorted(days)]
    if "tasks" in inputs:
        _plan_in_order(inputs)
    if "wire_diameter_m" in inputs:
        _spring_in_order(inputs)
    return inputs


def _timing_in_order(inputs: dict[str, Any]) -> None:
    """Ways of timing that fit the runs, or none; no answers, since they hang on what was asked."""
    if inputs["timing"] is not None:
        inputs["timing"] = [
            {"way": way, "bias_s": -0.05, "bias_uncertainty_s": 0.03, "scatter_s": 0.07}
            for way in (*STARTS, *STOPS)
        ]
        inputs["stopped"] = inputs["stopped"] or STOPS[0]
    if "answers" in inputs:
        inputs["answers"] = None


def _spring_in_order(inputs: dict[str, Any]) -> None:
    """A spring by two points of different length and pull, or by all dimensions; stretch whole or none."""
    points = sorted(inputs["points"] or (), key=lambda point: point["length_m"])
    if len(points) == 2:
        low, high = sorted(point["force_n"] for point in points)
        inputs["points"] = [
            {"length_m": points[0]["length_m"], "force_n": low},
            {"length_m": points[0]["length_m"] + 0.5, "force_n": high + 1},
        ]
        inputs |= dict.fromkeys(DIMENSIONS)
    else:
        inputs["points"] = []
        inputs |= {name: inputs[name] or usual for name, usual in DIMENSIONS.items()}
        inputs["outside_diameter_m"] = max(inputs["outside_diameter_m"], 4 * inputs["wire_diameter_m"])
    if inputs["initial_tension_n"] is None or inputs["extension_m"] is None:
        inputs["initial_tension_n"] = inputs["extension_m"] = None


def _plan_in_order(inputs: dict[str, Any]) -> None:
    """A plan of at most two years, tasks of different names, each with an interval, none done after it."""
    start, until = sorted((inputs["start"], inputs["until"]))
    farthest = (date.fromisoformat(start) + timedelta(days=730)).isoformat()
    inputs["start"], inputs["until"] = start, min(until, farthest)
    inputs["tasks"] = list({row["name"]: row for row in inputs["tasks"]}.values())
    for row in inputs["tasks"]:
        row["last_done"] = row["last_done"] and min(row["last_done"], start)
        if not (row["every"] and row["unit"]):
            row["every"], row["unit"] = (None, None) if row["every_cycles"] else (3, "month")
        if row["every_cycles"]:
            inputs["cycles_per_day"] = inputs["cycles_per_day"] or 7.5
            row["every_cycles"] = max(row["every_cycles"], math.ceil(inputs["cycles_per_day"]))


def _beyond(limit: int | None, setting: int, outer: Any) -> int | None:
    return None if limit is None else outer(limit, setting, 0)

"""Questions that any calculator answers: every case of tests/cases, and random ones over declared ranges."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from calculators import _run
from calculators._fields import Field
from tests.calculators.asking import PROJECT, ask

Question = tuple[str, dict[str, Any], dict[str, Any]]
"""A calculator's name, inputs, and the answer to them."""

FIRST_DAY = date(2000, 1, 1)


def answered_cases() -> list[Question]:
    """Give every case of tests/cases that has an answer and no errors."""
    files = sorted((PROJECT / "tests/cases").glob("*.json"))
    cases = [case for file in files for case in json.loads(file.read_text(encoding="utf-8"))]
    asked = [(case["calculator"], case["input"], ask(case["calculator"], case["input"])) for case in cases]
    return [question for question in asked if "errors" not in question[2]]


def questions(name: str) -> st.SearchStrategy[dict[str, Any]]:
    """Draw inputs over the whole declared range, put in order where one input bounds another."""
    fields = _run.module(name).INPUTS
    return st.fixed_dictionaries({field.name: _value(field) for field in fields}).map(_in_order)


def _value(field: Field) -> st.SearchStrategy[Any]:
    if field.kind in ("rows", "numbers", "dates"):
        one = st.fixed_dictionaries({part.name: _value(part) for part in field.fields})
        item = one if field.kind == "rows" else st.floats(field.low, field.high)
        return st.lists(item, min_size=field.least, max_size=min(field.most, 12))
    if field.kind == "number":
        drawn: st.SearchStrategy[Any] = st.floats(field.low, field.high, exclude_min=field.low_open)
        usual = (field.low or 0) <= 10 and (field.high or 0) >= 30  # as fold times are
        drawn |= st.floats(10, 30) if usual else st.nothing()
    elif field.kind == "whole":
        drawn = st.integers(int(field.low or 0), int(field.high or 0)) | st.sampled_from([0, 1]).filter(
            lambda whole: (field.low or 0) <= whole <= (field.high or 0))
    elif field.kind == "date":
        drawn = st.integers(0, 30_000).map(lambda days: (FIRST_DAY + timedelta(days=days)).isoformat())
    else:
        drawn = st.sampled_from(field.choices) if field.kind == "choice" else st.booleans()
    return drawn | st.none() if field.may_be_null or field.optional else drawn


def _in_order(inputs: dict[str, Any]) -> dict[str, Any]:
    """Turn limits the right way round, days into order, and keep settings within the adjustment left."""
    for low, high in (("window_low_s", "window_high_s"), ("angle_low_deg", "angle_high_deg")):
        if low in inputs:
            inputs[low], inputs[high] = sorted((inputs[low], inputs[high]))
    for along in ("platform_centre_m", "walk_down_x_m"):
        if along in inputs:
            inputs[along] = min(inputs[along], inputs["platform_length_m"])
    for rows in (inputs.get("readings"), inputs.get("cycles")):
        settings = [row["half_turns"] for row in rows or ()]
        if settings:
            inputs["half_turns_min"] = _beyond(inputs["half_turns_min"], min(settings), min)
            inputs["half_turns_max"] = _beyond(inputs["half_turns_max"], max(settings), max)
    if "visits" in inputs:
        days = {row["date"]: row for row in inputs["visits"]}
        inputs["visits"] = [days[day] for day in sorted(days)]
    return inputs


def _beyond(limit: int | None, setting: int, outer: Any) -> int | None:
    return None if limit is None else outer(limit, setting, 0)

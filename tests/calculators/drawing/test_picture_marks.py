"""Pictures are true to the answer: by a picture's own ticks, each mark is at its value."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.calculators.asking import WORDS
from tests.calculators.drawing.picture_cases import ROUNDING, drawn, of
from tests.calculators.drawing.picture_reading import day, points


def timed(inputs: dict[str, Any], run: Any) -> float:
    """A run less the bias of its start, of its stop and, after a countdown, of the tone's delay, s."""
    bias = {row["way"]: row["bias_s"] for row in inputs.get("timing") or ()}
    row = run if isinstance(run, dict) else {"fold_time_s": run}
    started = row.get("started") or "by-hand"
    ways = (started, inputs.get("stopped"), "output-delay" if started == "countdown" else None)
    return float(row["fold_time_s"]) - sum(bias.get(way, 0.0) for way in ways)


@pytest.mark.parametrize(("_", "inputs", "answer"), of("fold-time"))
def test_fold_time_marks_stand_at_their_times(_: str, inputs: dict[str, Any], answer: dict[str, Any]) -> None:
    """By the picture's own ticks: each run, the mean, and the window's limits are where they should."""
    shown = drawn("fold-time", inputs, answer)
    at = shown.along()
    off = 4 * ROUNDING * abs(at(1) - at(0))
    times = [timed(inputs, run) for run in inputs["runs_s"]]
    assert [at(x) for x, _ in shown.marks("run")] == pytest.approx(times, abs=off)
    limits = [inputs["window_low_s"], inputs["window_high_s"]]
    assert [at(ends[0][0]) for ends in shown.lines("limit")] == pytest.approx(limits, abs=off)
    if answer["mean_s"] is None:  # a value that may be ten times off is asked about
        assert [*shown.marks("mean"), *shown.lines("bar")] == []
        return
    assert [at(x) for x, _ in shown.marks("mean")] == pytest.approx([answer["mean_s"]], abs=off)
    tips = [x for x, _ in shown.marks("beyond")]
    for (x, _), told, way in zip(
        shown.lines("bar")[0], (answer["low_s"], answer["high_s"]), (-1, 1), strict=True
    ):
        if any(
            abs(tip - x) < 1 for tip in tips
        ):  # an arrowhead sits on a cut end: the interval goes on past it
            assert way * (told - at(x)) > 0
        else:
            assert at(x) == pytest.approx(told, abs=off)


@pytest.mark.parametrize(("_", "inputs", "answer"), of("turn-plan"))
def test_turn_plan_marks_stand_at_their_readings(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: each timing at its setting and time, the nut, and the likely end."""
    shown = drawn("turn-plan", inputs, answer)
    along, up = shown.along(), shown.upward()
    off = [4 * ROUNDING * abs(read(1) - read(0)) for read in (along, up)]
    marks = shown.marks("reading")
    settings = [row["half_turns"] for row in inputs["readings"]]
    assert [along(x) for x, _ in marks] == pytest.approx(settings, abs=off[0])
    times = [timed(inputs, row) for row in inputs["readings"]]
    assert [up(y) for _, y in marks] == pytest.approx(times, abs=off[1])
    assert [along(x) for x, _ in shown.marks("nut")] == pytest.approx([settings[-1]], abs=off[0])
    goals = [
        row
        for row in answer["predictions"]
        if answer["half_turns_to_go"] and row["half_turns"] == settings[-1] + answer["half_turns_to_go"]
    ]
    assert [up(y) for _, y in shown.marks("goal")] == pytest.approx(
        [row["fold_time_s"] for row in goals], abs=off[1]
    )


@pytest.mark.parametrize(("_", "inputs", "answer"), of("turn-plan"))
def test_turn_plan_line_goes_through_its_times(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: wherever the line is drawn, it is 1 / (a + b n)."""
    shown = drawn("turn-plan", inputs, answer)
    along, up = shown.along(), shown.upward()
    for x, y in (place for line in shown.lines("line")[:1] for place in line):
        if answer["rate_slope"] is not None:
            # the place of the setting is rounded too: the time may be off by what that moves it
            near = [
                1 / (answer["rate_intercept"] + answer["rate_slope"] * along(x + 4 * side * ROUNDING))
                for side in (-1, 1)
            ]
            assert min(near) - 4 * ROUNDING * abs(up(1) - up(0)) <= up(y)
            assert up(y) <= max(near) + 4 * ROUNDING * abs(up(1) - up(0))


@pytest.mark.parametrize(("_", "inputs", "answer"), of("mainspring-plan"))
def test_mainspring_marks_stand_in_their_lanes(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """The full marks are the settings of the known band, each in the lane of its name."""
    shown = drawn("mainspring-plan", inputs, answer)
    along = shown.along() if len(shown.of_kind("x-tick")) > 1 else None
    names = {WORDS[f"mainspring-plan.picture.{row['shows']}"]: row for row in answer["known_band"]}
    lanes = {str(each.text): points(each)[0][1] for each in shown.of_kind("label") if each.text in names}
    assert len(lanes) == 3
    full = [each for each in shown.of_kind("cycle") if each.get("fill") == "currentColor"]
    assert len(full) == sum(len(row["half_turns"]) for row in answer["known_band"])
    marks = [place for each in full for place in [parsed_middle(each)]]
    for name, row in names.items():
        here = [x for x, y in marks if abs(y - lanes[name]) < 23]
        assert len(here) == len(row["half_turns"])
        if along:
            assert [along(x) for x in here] == pytest.approx(row["half_turns"], abs=0.5)


def parsed_middle(mark: Any) -> tuple[float, float]:
    """The middle of a mark's corners; near enough to tell lanes and settings apart."""
    corners = points(mark)
    return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)


@pytest.mark.parametrize(("_", "inputs", "answer"), of("counterbalance"))
def test_counterbalance_curves_go_through_their_rows(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: both curves hold every row, and the stall is at its angle on 0."""
    shown = drawn("counterbalance", inputs, answer)
    along, up = shown.along(), shown.upward()
    title = shown.texts("title")[1] + shown.texts("title")[0]
    unit = 1e6 if "MN·m" in title else 1e3 if "kN·m" in title else 1
    off = [4 * ROUNDING * abs(read(1) - read(0)) for read in (along, up)]
    for kind, name in (("line", "net_rising_nm"), ("line-second", "net_walking_nm")):
        curve = shown.lines(kind)[0]
        angles = [row["angle_deg"] for row in answer["curve"]]
        assert [along(x) for x, _ in curve] == pytest.approx(angles, abs=off[0])
        moments = [row[name] / unit for row in answer["curve"]]
        assert [up(y) for _, y in curve] == pytest.approx(moments, abs=off[1])
    stall = answer["stall_angle_deg"]
    assert [along(x) for x, _ in shown.marks("stall")] == pytest.approx(
        [] if stall is None else [stall], abs=off[0]
    )
    assert all(abs(up(y)) <= off[1] for _, y in shown.marks("stall"))


@pytest.mark.parametrize(("_", "inputs", "answer"), of("fold-trend"))
def test_fold_trend_marks_stand_at_their_visits(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: each visit at its day and time; full where the line goes through it."""
    shown = drawn("fold-trend", inputs, answer)
    up = shown.upward()
    marks = shown.marks("visit")
    off = 4 * ROUNDING * abs(up(1) - up(0))
    times = [row["fold_time_s"] for row in answer["series"] if row["fold_time_s"] is not None]
    assert [up(y) for _, y in marks] == pytest.approx(times, abs=off)
    if all(len(text) != 5 for text in shown.texts("x-tick")):  # month-day names no year
        along = shown.along(day)
        days = [date.fromisoformat(row["date"]).toordinal() for row in inputs["visits"]]
        near = 4 * ROUNDING * abs(along(1) - along(0))
        assert [along(x) for x, _ in marks] == pytest.approx(days, abs=near)
        checked = date.fromisoformat(answer["next_check_by"]).toordinal()
        assert [along(x) for x, _ in shown.marks("check")] == pytest.approx([checked], abs=near)
    if answer["slope_s_per_30_days"] is not None:
        full = sum(each.get("fill") == "currentColor" for each in shown.of_kind("visit"))
        assert full == sum(
            row["line_s"] is not None and row["fold_time_s"] is not None for row in answer["series"]
        )

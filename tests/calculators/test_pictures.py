"""Pictures: well-formed, within their frame, true to the answer, and nothing that a page must refuse."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import _run
from calculators._explain import run_picture
from calculators._pictures import DRAWN, picture
from calculators._plot_dates import MOST_DAYS, MOST_MONTHS, MOST_YEARS, date_ticks
from calculators._plot_scale import ticks
from calculators._svg import FONT, text_width
from tests.calculators.any_question import Question, answered_cases, questions
from tests.calculators.asking import WORDS, ask
from tests.calculators.drawing import UNHURRIED
from tests.calculators.leveler import LOOSE
from tests.calculators.picture_reading import SVG, Drawn, day, number, parsed, points

STIFF = {"spring_count": 12, "spring_rate_n_per_m": 1e6, "free_length_m": 0.8}
WINDOW = {"window_low_s": 18, "window_high_s": 20, "timing_uncertainty_s": 0.1, "confidence": 0.95}
LEVEL = {"readings": [{"half_turns": n, "fold_time_s": 17.0} for n in (0, 0, 1, 1)], **WINDOW,
         "half_turns_min": -2, "half_turns_max": 2, "least_response_s": 0.5}  # fmt: skip
VISIT = {"visits": [{"date": "2026-01-31", "fold_time_s": 19, "adjusted_half_turns": 0}], **WINDOW,
         "longest_interval_months": 3}  # fmt: skip
FURTHER = [
    ("counterbalance", LOOSE), ("counterbalance", LOOSE | STIFF), ("turn-plan", LEVEL),
    ("counterbalance", LOOSE | STIFF | {"frame_anchor_x_m": 6, "platform_anchor_y_m": -2}),
    ("fold-trend", VISIT),
]  # fmt: skip
"""What no case of tests/cases brings into a picture."""
CASES = [question for question in answered_cases() if question[0] in DRAWN]
CASES += [(name, inputs, ask(name, inputs)) for name, inputs in FURTHER]
IDS = [f"{name}-{i}" for i, (name, _, _) in enumerate(CASES)]
ATTRIBUTES = {
    "svg": {"class", "viewBox", "role", "aria-label", "fill", "font-size"},
    "path": {"class", "d", "fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray"},
    "circle": {"class", "cx", "cy", "r", "fill", "stroke", "stroke-width"},
    "text": {"class", "x", "y", "text-anchor", "font-weight"},
}
"""Everything a picture may hold. No style, no script, no id, no address."""
ROUNDING = 0.051
"""Places are written to a tenth of a unit."""


class Listening(dict[str, str]):
    """Words that note which of them were said."""

    said: set[str]

    def __getitem__(self, code: str) -> str:
        self.said.add(code)
        return super().__getitem__(code)


def drawn(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> Drawn:
    """The parsed picture of an answer."""
    found = picture(name, inputs, answer, WORDS)
    assert found is not None
    return parsed(found["svg"])


def of(name: str) -> list[Question]:
    """The cases of one calculator."""
    return [question for question in CASES if question[0] == name]


def check_frame(svg: str, alternative: str) -> None:
    """Hold one picture against what every picture has to keep."""
    picture_ = parsed(svg)
    assert svg.count("http") == 1  # the name space; there is no other address
    for element in picture_.root.iter():
        kind = element.tag.removeprefix(SVG)
        assert set(element.keys()) <= ATTRIBUTES[kind]
        assert all(name.startswith("ht-plot") for name in str(element.get("class")).split())
    assert picture_.root.get("aria-label") == alternative.strip() != ""
    assert not re.search(r"[{}]|\b(?:nan|inf|none)\b(?!\")", svg, re.IGNORECASE)
    classes = " ".join(str(each.get("class")) for each in picture_.elements)
    kinds = set(re.findall(r"ht-plot-([\w-]+)", classes))
    assert {kind.removeprefix("sample-") for kind in kinds} <= kinds  # the legend explains what is there
    width, height = picture_.size
    for x, y in (place for each in picture_.elements for place in points(each)):
        assert -0.1 <= x <= width + 0.1 and -0.1 <= y <= height + 0.1


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES, ids=IDS)
def test_every_picture_keeps_to_its_frame(
    name: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """Well-formed, of allowed parts only, read aloud as its alternative, and nothing outside its frame."""
    found = picture(name, inputs, answer, WORDS)
    assert found is not None
    check_frame(found["svg"], found["alternative"])


@pytest.mark.parametrize("name", DRAWN)
def test_any_answer_has_a_whole_picture(name: str) -> None:
    """Over the whole declared range, ends included, an answer has a picture that keeps to its frame."""
    seen = []

    @UNHURRIED
    @given(questions(name))
    def holds(inputs: dict[str, Any]) -> None:
        answer = ask(name, inputs)
        found = picture(name, inputs, answer, WORDS)
        if "errors" in answer:
            assert found is None
            return
        assert found is not None
        seen.append(1)
        check_frame(found["svg"], found["alternative"])
        assert words_that_meet(parsed(found["svg"])) == []

    holds()
    assert len(seen) > UNHURRIED.max_examples / 5  # not refusals alone


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES[::5], ids=IDS[::5])
def test_the_same_answer_has_the_same_bytes(
    name: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """Drawn twice, and drawn through the door of JSON text, a picture is the same to the last byte."""
    first = picture(name, inputs, answer, WORDS)
    text = run_picture(name, json.dumps(inputs), json.dumps(answer), WORDS)
    assert first == picture(name, inputs, answer, WORDS) == json.loads(text)["picture"]


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES, ids=IDS)
def test_words_do_not_meet(name: str, inputs: dict[str, Any], answer: dict[str, Any]) -> None:
    """No two texts of a picture stand on one another, so that each can be read on a phone."""
    assert words_that_meet(drawn(name, inputs, answer)) == []


def words_that_meet(shown: Drawn) -> list[tuple[str, str]]:
    """Each two texts that stand on one another."""
    boxes = list(text_boxes(shown))
    return [(one[0], other[0]) for i, one in enumerate(boxes) for other in boxes[:i] if meet(one, other)]


def text_boxes(shown: Drawn) -> Iterator[tuple[str, float, float, float, float]]:
    """Words with left, right, top and bottom of the ink they take."""
    for each in shown.elements:
        if each.tag == f"{SVG}text":
            (x, y), words = points(each)[0], str(each.text)
            width = 0.93 * text_width(words, strong=each.get("font-weight") == "700")
            left = x - width * {None: 0, "middle": 0.5, "end": 1}[each.get("text-anchor")]
            yield words, left, left + width, y - 0.72 * FONT, y


def meet(one: tuple[Any, ...], other: tuple[Any, ...]) -> bool:
    """Whether two boxes share ink."""
    return one[1] < other[2] and other[1] < one[2] and one[3] < other[4] and other[3] < one[4]


@pytest.mark.parametrize(("_", "inputs", "answer"), of("fold-time"))
def test_fold_time_marks_stand_at_their_times(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: each run, the mean, and the window's limits stand where they should."""
    shown = drawn("fold-time", inputs, answer)
    at = shown.along()
    off = 4 * ROUNDING * abs(at(1) - at(0))
    assert [at(x) for x, _ in shown.marks("run")] == pytest.approx(inputs["runs_s"], abs=off)
    assert [at(x) for x, _ in shown.marks("mean")] == pytest.approx([answer["mean_s"]], abs=off)
    limits = [inputs["window_low_s"], inputs["window_high_s"]]
    assert [at(ends[0][0]) for ends in shown.lines("limit")] == pytest.approx(limits, abs=off)
    ends = [at(x) for x, _ in shown.lines("bar")[0]]
    for end, told, mark in zip(ends, (answer["low_s"], answer["high_s"]), (0, 1), strict=True):
        if not any(abs(at(x) - end) < off for x, _ in shown.marks("beyond")):
            assert end == pytest.approx(told, abs=off), mark


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
    times = [row["fold_time_s"] for row in inputs["readings"]]
    assert [up(y) for _, y in marks] == pytest.approx(times, abs=off[1])
    assert [along(x) for x, _ in shown.marks("nut")] == pytest.approx([settings[-1]], abs=off[0])
    goals = [row for row in answer["predictions"] if answer["half_turns_to_go"]
             and row["half_turns"] == settings[-1] + answer["half_turns_to_go"]]
    assert [up(y) for _, y in shown.marks("goal")] == pytest.approx(
        [row["fold_time_s"] for row in goals], abs=off[1])


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
            near = [1 / (answer["rate_intercept"] + answer["rate_slope"] * along(x + 4 * side * ROUNDING))
                    for side in (-1, 1)]
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
    """By the picture's own ticks: both curves hold every row, and the stall stands at its angle on 0."""
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
        [] if stall is None else [stall], abs=off[0])
    assert all(abs(up(y)) <= off[1] for _, y in shown.marks("stall"))


@pytest.mark.parametrize(("_", "inputs", "answer"), of("fold-trend"))
def test_fold_trend_marks_stand_at_their_visits(
    _: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """By the picture's own ticks: each visit at its day and time; full where the line is laid through it."""
    shown = drawn("fold-trend", inputs, answer)
    up = shown.upward()
    marks = shown.marks("visit")
    off = 4 * ROUNDING * abs(up(1) - up(0))
    times = [row["fold_time_s"] for row in inputs["visits"]]
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
        assert full == sum(row["line_s"] is not None and row["fold_time_s"] is not None
                           for row in answer["series"])


ALIKE = ("visit", "check", "leaves", "stall", "goal", "reading", "nut", "next")
"""Marks whose sample has their own shape; a mean's sample is smaller, and cycles are explained by a circle."""


@pytest.mark.parametrize("name", DRAWN)
def test_samples_are_as_large_as_their_marks(name: str) -> None:
    """A sign in the legend has the size of the mark that it stands for, the smallest where rings grow."""
    for _, inputs, answer in of(name):
        shown = drawn(name, inputs, answer)
        for kind in ALIKE:
            samples, marks = shown.of_kind(f"sample-{kind}"), shown.of_kind(kind)
            assert bool(samples) <= bool(marks)
            for sample in samples:
                assert width(sample) == pytest.approx(min(map(width, marks)), abs=4 * ROUNDING)


def width(mark: Any) -> float:
    """How wide a mark is."""
    if mark.get("r"):
        return 2 * float(mark.get("r"))
    xs = [x for x, _ in points(mark)]
    return max(xs) - min(xs)


def test_an_example_without_orders_has_none_in_its_picture() -> None:
    """An answer whose orders are left out is drawn without arrow and without the likely end."""
    ordering = (case for case in of("turn-plan") if case[2]["do_now"] and case[2]["half_turns_to_go"])
    _, inputs, answer = next(ordering)
    whole = drawn("turn-plan", inputs, answer)
    assert len(whole.of_kind("next")) == len(whole.of_kind("goal")) == 1
    ordered = {"do_now", "half_turns_to_go"}
    example = drawn("turn-plan", inputs, {name: answer[name] for name in answer if name not in ordered})
    assert example.of_kind("next") == example.of_kind("goal") == []
    assert WORDS["turn-plan.picture.next"] not in example.texts("legend")


def test_the_confidence_is_the_one_asked_for() -> None:
    """Picture and alternative name the confidence of the inputs, in percent."""
    _, inputs, _ = of("fold-time")[0]
    asked = {**inputs, "confidence": 0.9}
    found = picture("fold-time", asked, ask("fold-time", asked), WORDS)
    assert found is not None
    assert "90 %" in found["alternative"]
    assert any("90 %" in text for text in parsed(found["svg"]).texts("legend"))


def test_what_has_no_picture_has_none() -> None:
    """A calculator that is not drawn, and inputs that were refused, give none; the door says so."""
    refused = {"runs_s": []}
    assert picture("fold-time", refused, ask("fold-time", refused), WORDS) is None
    assert run_picture("fold-time", json.dumps(refused), '{"errors": []}', WORDS) == '{"picture": null}'
    undrawn = [name for name in _run.NAMES if name not in DRAWN]
    assert undrawn and all(picture(name, {}, {}, WORDS) is None for name in undrawn)


def test_another_decimal_mark_is_on_the_axes_too() -> None:
    """A language with a decimal comma has it at every number of the picture."""
    _, inputs, answer = of("fold-time")[0]
    found = picture("fold-time", inputs, answer, {**WORDS, "decimal-mark": ","})
    assert found is not None
    shown = parsed(found["svg"])
    told = [str(each.text) for each in shown.elements if each.tag == f"{SVG}text"]
    assert not [text for text in told if re.search(r"\d\.\d", text)]
    assert not re.search(r"\d\.\d", found["alternative"])
    assert any("," in text for text in told)


@pytest.mark.parametrize("name", DRAWN)
def test_every_sentence_of_a_picture_is_said(name: str) -> None:
    """The words file has a sentence for each part of a picture, and none that no case brings about."""
    heard = Listening(WORDS)
    heard.said = set()
    for _, inputs, answer in of(name):
        picture(name, inputs, answer, heard)
    assert heard.said - {"decimal-mark"} == {code for code in WORDS if code.startswith(f"{name}.picture.")}


@given(st.floats(-80, 80), st.floats(0.001, 1000))
def test_ticks_are_round_and_inside(low: float, span: float) -> None:
    """Whatever the range: two ticks or more, at most as many as asked for, evenly apart, all within it."""
    found = ticks(low, low + span, 6, ".")
    assert 2 <= len(found) <= 6
    assert low - 1e-9 * span <= found[0].value and found[-1].value <= low + span * (1 + 1e-9)
    steps = {float(f"{b.value - a.value:.6g}") for a, b in pairwise(found)}
    assert len(steps) == 1
    assert f"{steps.pop():e}"[0] in "125"
    assert [number(tick.text) for tick in found] == pytest.approx([tick.value for tick in found])


@given(st.integers(0, 36_000), st.integers(14, 36_000))
def test_date_ticks_have_room_and_are_told_apart(first: int, days: int) -> None:
    """Whatever the dates: two ticks or more, no more than have room, all within the picture, each its own."""
    low = date(2000, 1, 1).toordinal() + first
    found = date_ticks(low, low + days)
    assert low <= found[0].value < found[-1].value <= low + days
    assert len({tick.text for tick in found}) == len(found)
    most = {4: MOST_YEARS, 7: MOST_MONTHS, 5: MOST_DAYS}
    assert 2 <= len(found) <= most[len(found[0].text)]

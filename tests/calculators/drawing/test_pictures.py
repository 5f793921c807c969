"""Pictures: well-formed, within their frame, whole, and nothing that a page must refuse."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given

from calculators import answering
from calculators.drawing.svg import FONT, text_width
from calculators.explain import run_picture
from calculators.pictures import DRAWN, picture
from tests.calculators.any_question import questions
from tests.calculators.asking import WORDS, ask
from tests.calculators.drawing.picture_cases import CASES, IDS, ROUNDING, drawn, of
from tests.calculators.drawing.picture_reading import SVG, Drawn, parsed, points
from tests.calculators.drawn_inputs import UNHURRIED

ATTRIBUTES = {
    "svg": {"class", "viewBox", "role", "aria-label", "fill", "font-size"},
    "path": {"class", "d", "fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray"},
    "circle": {"class", "cx", "cy", "r", "fill", "stroke", "stroke-width"},
    "text": {"class", "x", "y", "text-anchor", "font-weight"},
}
"""Everything a picture may hold. No style, no script, no id, no address."""


class Listening(dict[str, str]):
    """Words that note which of them were said."""

    said: set[str]

    def __getitem__(self, code: str) -> str:
        self.said.add(code)
        return super().__getitem__(code)


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
def test_every_picture_keeps_to_its_frame(name: str, inputs: dict[str, Any], answer: dict[str, Any]) -> None:
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


def test_a_travel_next_to_nothing_keeps_its_numbers_apart() -> None:
    """Angles a hair apart are not written out to their last decimal, one over the other."""
    known = next(inputs for name, inputs, _ in CASES if name == "counterbalance")
    inputs = {**known, "angle_low_deg": 0.0, "angle_high_deg": 3.9e-77}
    found = picture("counterbalance", inputs, ask("counterbalance", inputs), WORDS)
    assert found is not None
    assert words_that_meet(parsed(found["svg"])) == []


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES[::5], ids=IDS[::5])
def test_the_same_answer_has_the_same_bytes(
    name: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """Drawn twice, and drawn through the door of JSON text, a picture is the same to the last byte."""
    first = picture(name, inputs, answer, WORDS)
    text = run_picture(name, json.dumps(inputs), json.dumps(answer), WORDS)
    assert first == picture(name, inputs, answer, WORDS) == json.loads(text)["picture"]


def test_the_readers_units_come_through_the_door() -> None:
    """In a unit as large as the SI's the picture differs from the SI's by the unit's name alone."""
    name, inputs, answer = next(case for case in CASES if case[0] == "counterbalance")
    asked = (name, json.dumps(inputs), json.dumps(answer), WORDS)
    plain = json.loads(run_picture(*asked))["picture"]["svg"]
    shown = json.loads(run_picture(*asked, '{"N·m": ["lbf·ft", 1.0]}'))["picture"]["svg"]
    assert shown != plain
    assert shown == plain.replace("Net moment, N·m,", "Net moment, lbf·ft,")


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES, ids=IDS)
def test_words_do_not_meet(name: str, inputs: dict[str, Any], answer: dict[str, Any]) -> None:
    """No two texts of a picture overlap, so that each can be read on a phone."""
    assert words_that_meet(drawn(name, inputs, answer)) == []


def words_that_meet(shown: Drawn) -> list[tuple[str, str]]:
    """Each two texts that overlap."""
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


ALIKE = ("visit", "check", "leaves", "stall", "goal", "reading", "nut", "next")
"""Marks explained by their own shape; a mean's sample is smaller, and a circle stands for all cycles."""


@pytest.mark.parametrize("name", DRAWN)
def test_samples_are_as_large_as_their_marks(name: str) -> None:
    """A sample in the legend has the size and filling of its mark, the smallest where rings grow."""
    for _, inputs, answer in of(name):
        shown = drawn(name, inputs, answer)
        for kind in ALIKE:
            samples, marks = shown.of_kind(f"sample-{kind}"), shown.of_kind(kind)
            assert bool(samples) <= bool(marks)
            for sample in samples:
                assert width(sample) == pytest.approx(min(map(width, marks)), abs=4 * ROUNDING)
                assert sample.get("fill") in {each.get("fill") for each in marks}


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
    undrawn = [name for name in answering.NAMES if name not in DRAWN]
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

"""Anything at all is sent through the one door: an answer as declared or errors that name what is wrong.

FUZZ_EXAMPLES=20000 in the environment draws that many questions for each calculator and rule, from other
random numbers each time; without it a few are drawn, always the same.
"""

from __future__ import annotations

import json
import math
import os
import re
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calculators.answering import NAMES, module, run
from calculators.shared.fields import Field, Output, rounded
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from tests.calculators.any_question import questions
from tests.calculators.asking import WORDS, ask
from tests.calculators.drawn_inputs import unhurried
from tests.calculators.spoilt_question import ODD, is_shallow, shuffled, spoilt, written

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "0"))
FUZZ = settings(
    max_examples=EXAMPLES or unhurried(20).max_examples,
    derandomize=not EXAMPLES,
    database=None,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
DATE = re.compile(r"20\d\d-\d\d-\d\d|2[12]\d\d-\d\d-\d\d|1\d\d\d-\d\d-\d\d")


def told(name: str, text: str) -> dict[str, Any]:
    """Ask, and hold the answer's form: strict JSON, the same twice, no fault of ours, whole or errors."""
    first = run(name, text, WORDS)
    assert first == run(name, text, WORDS)
    assert first.isascii()
    assert "The calculator failed" not in first
    answer: dict[str, Any] = json.loads(first, parse_constant=_refuse)
    if "errors" in answer:
        _hold_errors(answer)
    else:
        assert {output.name for output in module(name).OUTPUTS} == set(answer)
        for output in module(name).OUTPUTS:
            _hold(answer[output.name], output)
    return answer


def _refuse(literal: str) -> None:
    raise AssertionError(f"{literal} in an answer")


def _hold_errors(answer: dict[str, Any]) -> None:
    """Every error has a field, a message that ends as a sentence, and what was given, shortened."""
    assert list(answer) == ["errors"] and answer["errors"]
    for error in answer["errors"]:
        assert set(error) == {"field", "value", "message"}
        assert error["message"].strip()[-1] in ".?"
        assert len(str(error["value"])) <= 80 or isinstance(error["value"], int | float)


def _hold(value: Any, output: Output) -> None:
    """One result is what it was declared to be; nothing is empty where the declaration does not say so."""
    if value is None:
        assert output.may_be_null, output.name
    elif output.kind == "number":
        assert type(value) in (int, float) and math.isfinite(value) and value == rounded(value), output.name
    elif output.kind == "whole":
        assert type(value) is int, output.name
    elif output.kind == "flag":
        assert type(value) is bool, output.name
    elif output.kind == "choice":
        assert value in output.choices, output.name
    elif output.kind == "date":
        assert DATE.fullmatch(value), output.name
    elif output.kind == "text":
        assert value.strip(), output.name
    elif output.kind == "hazards":
        assert set(value) <= {*BEFORE_TURNING, *BEFORE_CYCLING}, output.name
    elif output.kind == "sentence":
        _hold_sentence(value)
    elif output.kind == "question":
        assert list(value) == ["code", "values", "choices", "field", "text"]
        assert value["text"].strip() and value["choices"]
    elif output.kind == "sentences":
        assert value
        for each in value:
            _hold_sentence(each)
    elif output.kind == "numbers":
        assert all(math.isfinite(each) and each == rounded(each) for each in value), output.name
    else:
        assert output.kind == "rows", output.kind
        _hold_rows(value, output)


def _hold_rows(rows: list[dict[str, Any]], output: Output) -> None:
    for row in rows:
        assert [column.name for column in output.fields] == list(row)
        for column in output.fields:
            _hold(row[column.name], column)


def _hold_sentence(sentence: dict[str, Any]) -> None:
    assert list(sentence) == ["code", "values", "text"]
    assert sentence["text"].strip()
    for number in sentence["values"].values():
        assert not isinstance(number, float) or (math.isfinite(number) and number == rounded(number))


@pytest.mark.parametrize("name", NAMES)
def test_a_spoilt_question_is_answered_or_its_faults_named(name: str) -> None:
    """A good question with up to three places spoilt gets a whole answer or errors, never anything else."""

    @FUZZ
    @given(spoilt(name, module(name).INPUTS))
    def hold(text: str) -> None:
        told(name, text)

    hold()


@pytest.mark.parametrize("name", NAMES)
def test_one_spoilt_input_is_the_only_one_named(name: str) -> None:
    """Where one input of a good question is replaced by nonsense, no other is said to be wrong for it."""

    @FUZZ
    @given(questions(name), st.sampled_from(module(name).INPUTS), ODD.filter(is_shallow))
    def hold(question: dict[str, Any], field: Field, odd: Any) -> None:
        if "errors" in told(name, written(question)):
            return
        found = told(name, written({**question, field.name: [[odd]]}))
        at = {re.split(r"[.\[]", error["field"])[0] for error in found["errors"]}
        assert at == {field.name}

    hold()


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_inputs_changes_nothing(name: str) -> None:
    """The same inputs written in another order give the same answer to the last character."""

    @FUZZ
    @given(questions(name), st.randoms(use_true_random=False))
    def hold(question: dict[str, Any], chance: Any) -> None:
        other = shuffled(question, chance.shuffle)
        assert told(name, written(other)) == told(name, written(question))

    hold()


@pytest.mark.parametrize("name", NAMES)
def test_any_text_is_refused_by_name(name: str) -> None:
    """Text that is no question, or a question cut off anywhere, is one error of the whole input or more."""

    @FUZZ
    @given(
        st.text()
        | st.binary().map(lambda raw: raw.decode("latin-1"))
        | st.tuples(questions(name).map(written), st.integers(1, 2000)).map(lambda cut: cut[0][: -cut[1]])
    )
    def hold(text: str) -> None:
        assert told(name, text)["errors"]

    hold()


@FUZZ
@given(questions("fold-time"), st.floats(0.001, 5))
def test_a_wider_window_holds_more(question: dict[str, Any], more: float) -> None:
    """Limits farther apart never make it less likely that the fold time is between them."""
    wider = question | {
        "window_low_s": max(0.2, question["window_low_s"] - more),
        "window_high_s": min(600.0, question["window_high_s"] + more),
    }
    narrow, wide = ask("fold-time", question), ask("fold-time", wider)
    if "errors" not in narrow and None not in (
        narrow["mean_s"],
        wide["mean_s"],
    ):  # else a slip is asked about
        assert wide["probability_in_window"] >= narrow["probability_in_window"] - 1e-12


@FUZZ
@given(questions("turn-plan"))
def test_foreseen_times_follow_the_line(question: dict[str, Any]) -> None:
    """Where the line falls, each half turn more is foreseen to fold later; where it rises, sooner."""
    answer = ask("turn-plan", question)
    if "errors" in answer or answer["rate_slope"] is None:
        return
    times = [row["fold_time_s"] for row in answer["predictions"]]
    assert times == sorted(times, reverse=answer["rate_slope"] > 0)


@FUZZ
@given(questions("service-plan"), st.integers(1, 24))
def test_a_longer_interval_asks_for_no_more_jobs(question: dict[str, Any], more: int) -> None:
    """With every task's time and cycles made longer, the open plan holds no more jobs than before."""
    bare = {name: value for name, value in question.items() if not name.startswith("closed")}
    longer = bare | {
        "tasks": [
            row
            | {
                key: row[key] and min(row[key] * more, most)
                for key, most in (("every", 120), ("every_cycles", 10_000_000))
            }
            for row in bare["tasks"]
        ]
    }
    often, seldom = ask("service-plan", bare), ask("service-plan", longer)
    if "errors" not in often:
        assert len(seldom["due"]) <= len(often["due"])

"""The words file: how it is read, how a sentence is filled, and that no sentence is missing or left over."""

from __future__ import annotations

import json
import re

import pytest
import yaml

from build_tools.places import PROJECT
from calculators.answering import NAMES, run
from calculators.fold_time.answers import CHOICES
from calculators.shared.words import read_words, say

FILE = PROJECT / "content/registers/words/en.yml"
WORDS = read_words(FILE.read_text(encoding="utf-8"))


def test_read_words() -> None:
    """A line is a code and a JSON string; blank lines and comments say nothing."""
    text = '# comment\n\ndecimal-mark: ","\na.b-c: "He said \\"no\\" \\u2013 {mean_s:.1f} s"  # why\n'
    assert read_words(text) == {"decimal-mark": ",", "a.b-c": 'He said "no" – {mean_s:.1f} s'}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: bare", "line 1: expected  code: \"sentence\"  but found 'a: bare'"),
        ('\n\na "x"', 'line 3: expected  code: "sentence"  but found \'a "x"\''),
        ('a: "x" y"', "line 1: the sentence of a is no closed string: Extra data: line 1 column 5 (char 4)"),
        ('a: "x"\na: "y"', "line 2: a stands twice"),
        ('a: "{mean_s"', "line 1: a has a brace that is not a {value} or {value:.1f}"),
        ('a: "{mean_s:.1e}"', "line 1: a has a brace that is not a {value} or {value:.1f}"),
        ('a: "{0}"', "line 1: a has a brace that is not a {value} or {value:.1f}"),
    ],
)
def test_a_slip_in_the_words_file_names_its_line(text: str, message: str) -> None:
    """A line of any other shape stops the reading with its number."""
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        read_words(text)


def test_the_words_file_is_also_yaml() -> None:
    """Any YAML reader sees the same sentences as ours."""
    assert yaml.safe_load(FILE.read_text(encoding="utf-8")) == WORDS


def test_say() -> None:
    """Numbers take the language's decimal mark and a minus sign that is one; text stays as it is."""
    words = {"decimal-mark": ",", "a": "{mean_s:.2f} s, {mean_s} s, {whole} s, {runs} runs. {name}. {day}"}
    values = {"mean_s": -16.125, "whole": 18.0, "runs": -3, "name": "v1.2", "day": "2026-11-30"}
    assert say(words, "a", values) == "\u221216,13 s, \u221216,125 s, 18 s, \u22123 runs. v1.2. 2026-11-30"


def test_say_without_a_decimal_mark() -> None:
    """A words file without a mark has a point; whole numbers get the decimals that a sentence asks for."""
    assert say({"a": "{t_s:.1f} s, {n:.1f} s"}, "a", {"t_s": 16.44, "n": 1}) == "16.4 s, 1.0 s"
    assert say({"a": "{t_s}"}, "a", {"t_s": 1e-7}) == "1 × 10⁻⁷"


def test_say_names_what_is_missing() -> None:
    """An unknown code and a value not given are told by name."""
    with pytest.raises(LookupError, match=r"^\"?the words file has no sentence 'b'\"?$"):
        say({}, "b", {})
    with pytest.raises(LookupError, match=r"^\"?the sentence 'a' names 'mean_s', which was not given\"?$"):
        say({"a": "{mean_s}"}, "a", {})


def test_a_value_is_never_read_as_a_sentence() -> None:
    """Braces inside a value are shown, not filled."""
    assert say({"a": "no {name}"}, "a", {"name": "{secret}", "secret": "!"}) == "no {secret}"


def test_every_fold_time_sentence_is_said_by_a_case() -> None:
    """No fold-time sentence is left over, and the cases reach every one."""
    cases = json.loads((PROJECT / "tests/cases/fold-time.json").read_text(encoding="utf-8"))
    answers = [json.loads(run("fold-time", json.dumps(case["input"]), WORDS)) for case in cases]
    said = {
        sentence["code"]
        for answer in answers
        if "errors" not in answer
        for sentence in (answer["headline"], *answer["reasons"])
    }
    asked = {code for code in said if code.startswith("question.")}
    assert asked == {f"question.{code}" for code in ("ten-fold", "far-off", "odd-run")}
    ours = ("fold-time.headline.", "fold-time.reason.")
    assert said - asked == {code for code in WORDS if code.startswith(ours)}


def test_every_question_and_answer_has_its_sentence() -> None:
    """Each question and each of its choices is said, and no sentence of a question is left over."""
    wanted = {f"question.{code}" for code in CHOICES}
    wanted |= {f"question.{code}.{choice}" for code, choices in CHOICES.items() for choice in choices}
    assert wanted == {code for code in WORDS if code.startswith("question.")}


def test_every_error_sentence_is_named_in_the_source() -> None:
    """An error sentence that no calculator can say is deleted."""
    source = "".join(file.read_text(encoding="utf-8") for file in (PROJECT / "calculators").rglob("*.py"))
    codes = {code.removeprefix("error.") for code in WORDS if code.startswith("error.")}
    stems = {code.removesuffix("-unlike-any").removesuffix("-range") for code in codes}
    assert sorted(stem for stem in stems if stem not in source) == []


STOPPING = ("fold-time", "turn-plan", "mainspring-plan", "fold-trend")
"""Calculators that can say inspect or stop."""


@pytest.mark.parametrize("name", NAMES)
def test_inspect_and_stop_say_the_three_things(name: str) -> None:
    """Whoever is told to inspect or stop is told: do not adjust further, keep it out of service, call."""
    codes = (f"{name}.headline.", f"{name}.reason.")
    sentences = [text.lower() for code, text in WORDS.items() if code.startswith(codes)]
    sentences = [text for text in sentences if "do not adjust" in text]
    assert [text for text in sentences if "out of service" not in text or "call" not in text] == []
    assert bool(sentences) == (name in STOPPING)

"""The single door: JSON text in, JSON text out, always an answer or named errors."""

from __future__ import annotations

import json
import re
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_tools.places import PROJECT
from calculators import answering
from calculators.answering import LONGEST_TEXT, NAMES, module, run, schema
from calculators.shared.words import read_words

WORDS = read_words((PROJECT / "content/registers/words/en.yml").read_text("utf-8"))
GOOD: dict[str, Any] = {
    "runs_s": [16.3, 16.5],
    "window_low_s": 18,
    "window_high_s": 20,
    "timing_uncertainty_s": 0.1,
    "confidence": 0.95,
}


def ask(text: str, name: str = "fold-time") -> dict[str, Any]:
    """Run a calculator and read its answer strictly: NaN and infinity are no JSON."""

    def refuse(literal: str) -> None:
        raise AssertionError(literal)

    answer: dict[str, Any] = json.loads(run(name, text, WORDS), parse_constant=refuse)
    return answer


def errors(text: str, name: str = "fold-time") -> list[tuple[str, object, str]]:
    """The errors of an answer that holds nothing else, as (field, value, message)."""
    answer = ask(text, name)
    assert list(answer) == ["errors"]
    assert [sorted(each) for each in answer["errors"]] == [["field", "message", "value"]] * len(
        answer["errors"]
    )
    return [(each["field"], each["value"], each["message"]) for each in answer["errors"]]


def changed(**changes: str) -> str:
    """The good input with values replaced by raw JSON text."""
    raw = {name: json.dumps(value) for name, value in GOOD.items()} | changes
    return "{" + ", ".join(f'"{name}": {text}' for name, text in raw.items()) + "}"


def test_an_answer_holds_every_output() -> None:
    """A good input gives exactly the declared outputs, each sentence with its code, values and text."""
    answer = ask(json.dumps(GOOD))
    assert set(answer) == {each.name for each in module("fold-time").OUTPUTS}
    for sentence in (answer["headline"], *answer["reasons"]):
        assert list(sentence) == ["code", "values", "text"]
        assert sentence["text"]


def test_sentences_follow_the_words_file() -> None:
    """Another language changes the sentences and the decimal mark, and nothing else."""
    words = dict.fromkeys(WORDS, "")
    words |= {"decimal-mark": ",", "fold-time.headline.too-quick": "Zu schnell: {mean_s:.1f} s."}
    other, ours = json.loads(run("fold-time", json.dumps(GOOD), words)), ask(json.dumps(GOOD))
    assert other["headline"]["text"] == "Zu schnell: 16,4 s."
    for answer in (other, ours):
        for sentence in (answer["headline"], *answer["reasons"]):
            del sentence["text"]
    assert other == ours


def test_labels_follow_the_words_file() -> None:
    """A label in the words file stands in for the declared one, in a list and alone."""
    words = WORDS | {"fold-time.runs_s.label": "Läufe", "fold-time.confidence.label": "Sicherheit"}
    answer = json.loads(run("fold-time", changed(runs_s="[1, 0]", confidence="2"), words))
    assert [each["message"].split(":")[0] for each in answer["errors"]] == ["Läufe, number 2", "Sicherheit"]


def test_labels_of_columns() -> None:
    """A place in a row is named by the list, the row's number and the column's label."""
    rows = '[{"half_turns": 0, "fold_time_s": 16}, {"half_turns": 1, "fold_time_s": 700}]'
    found = errors(f'{{"readings": {rows}}}', "turn-plan")
    labels = {each.name: each.label for each in module("turn-plan").INPUTS[0].fields}
    at = f"{module('turn-plan').INPUTS[0].label}, number 2, {labels['fold_time_s']}"
    assert found[0] == (
        "readings[1].fold_time_s",
        700,
        f"{at}: 700 is outside what is allowed, 0.2 to 600 s. "
        "Check the decimal mark and the unit, then give it again.",
    )


WHOLE_INPUT = [
    ("", None, "Nothing was given. Give the inputs as one JSON object in braces."),
    (" \n", None, "Nothing was given. Give the inputs as one JSON object in braces."),
    (
        '{\n"runs_s": [16.4,]}',
        '{\n"runs_s": [16.4,]}',
        "The input is not JSON: it cannot be read from line 2, "
        "column 17 on. Check quotes, commas and brackets there.",
    ),
    ("[16.4]", "[16.4]", "[16.4] stands where an object in braces is needed. Name each value."),
    ("null", None, "null stands where an object in braces is needed. Name each value."),
    ('"text"', "text", '"text" stands where an object in braces is needed. Name each value.'),
    (
        "[" * 50000,
        "[" * 79 + "…",
        "The input has lists within lists, too deep to read. Send only the inputs that are asked for.",
    ),
    (
        "x" * (LONGEST_TEXT + 1),
        None,
        "The input is 100001 characters long; at most 100000 are read. Send only the "
        "inputs that are asked for.",
    ),
]


@pytest.mark.parametrize(("text", "value", "message"), WHOLE_INPUT, ids=[row[0][:12] for row in WHOLE_INPUT])
def test_an_input_that_is_no_object(text: str, value: object, message: str) -> None:
    """What cannot be read at all is one error of the whole input."""
    assert errors(text) == [("", value, message)]


@pytest.mark.parametrize(
    ("deep", "told"), [(9, "is not a number"), (10, "too deep to read"), (900, "too deep to read")]
)
def test_how_deep_an_input_may_be(deep: int, told: str) -> None:
    """Ten brackets within each other are read; more could crash a phone, and are refused unread."""
    (_, _, message), *_ = errors(changed(window_low_s="[" * deep + "]" * deep))
    assert told in message
    assert errors(changed(window_low_s=json.dumps("[" * 900)))[0][0] == "window_low_s"


ALLOWED = "Give a number, 0.2 to 600 s."
BEYOND = "is outside what is allowed, 0.2 to 600 s. Check the decimal mark and the unit, then give it again."
LOW = "Shortest fold time allowed"
ONE_FIELD = [
    ("NaN", "NaN", f"{LOW}: NaN cannot be used. {ALLOWED}"),
    ("Infinity", "Infinity", f"{LOW}: Infinity cannot be used. {ALLOWED}"),
    ("-Infinity", "-Infinity", f"{LOW}: -Infinity cannot be used. {ALLOWED}"),
    ("1e999", "Infinity", f"{LOW}: Infinity cannot be used. {ALLOWED}"),
    ("9" * 5000, "Infinity", f"{LOW}: Infinity cannot be used. {ALLOWED}"),
    ("99999999999999999999", 1e20, f"{LOW}: 1 × 10²⁰ {BEYOND}"),
    ("-1e-300", -1e-300, f"{LOW}: \u22121 × 10⁻³⁰⁰ {BEYOND}"),
    ("true", True, f"{LOW}: true is not a number. {ALLOWED}"),
    ("null", None, f"{LOW}: null is not a number. {ALLOWED}"),
    ('"18"', "18", f'{LOW}: "18" is not a number. {ALLOWED}'),
    ("{}", "{}", f"{LOW}: {{}} is not a number. {ALLOWED}"),
    ('["\\ud800"]', '["\ud800"]', f'{LOW}: ["\ud800"] is not a number. {ALLOWED}'),
    (
        f'"{"long" * 30}"',
        ("long" * 30)[:79] + "…",
        f'{LOW}: "{("long" * 30)[:79]}…" is not a number. {ALLOWED}',
    ),
]


@pytest.mark.parametrize(
    ("given_text", "value", "message"), ONE_FIELD, ids=[row[0][:20] for row in ONE_FIELD]
)
def test_a_value_that_cannot_be_used(given_text: str, value: object, message: str) -> None:
    """A number that cannot be one is named by field, with what was given and what is allowed."""
    assert errors(changed(window_low_s=given_text)) == [("window_low_s", value, message)]


def test_a_given_number_keeps_the_decimal_mark_of_the_language() -> None:
    """What was given is echoed in the sentence as the language writes it, with a point where none is set."""
    comma = WORDS | {"decimal-mark": ","}
    bare = {code: text for code, text in WORDS.items() if code != "decimal-mark"}
    said = [
        json.loads(run("fold-time", changed(window_low_s="700.5"), words))["errors"][0]["message"]
        for words in (comma, bare)
    ]
    assert [text.split(" is ")[0].split(": ")[1] for text in said] == ["700,5", "700.5"]


def test_a_place_without_a_range_names_none() -> None:
    """A missing list or choice is asked for without a range; a missing number with its own."""
    found = {field: message for field, _, message in errors("{}")}
    assert found["runs_s"].startswith("Stopwatch runs: nothing was given. ")
    assert found["window_low_s"] == f"{LOW}: nothing was given. {ALLOWED}"
    cycle = '{"cycles": [{"half_turns": 0, "rise": "short", "walk_down": "easy"}]}'
    told = {field: message for field, _, message in errors(cycle, "mainspring-plan")}
    assert told["cycles[0].lip_extended"].endswith(": nothing was given. Fill it in.")


def test_how_much_of_a_long_value_is_shown() -> None:
    """Eighty characters are shown whole, of more the first 79; fifteen digits stay a whole number."""
    told = [errors(changed(window_low_s=json.dumps("x" * count)))[0][1] for count in (80, 81)]
    assert told == ["x" * 80, "x" * 79 + "…"]
    assert [errors(changed(window_low_s="9" * count))[0][1] for count in (15, 16)] == [10**15 - 1, 1e16]
    assert isinstance(errors(changed(window_low_s="9" * 15))[0][1], int)


def test_the_longest_text_is_read() -> None:
    """Exactly the most characters are read; blanks count."""
    text = json.dumps(GOOD)
    assert "headline" in ask(text + " " * (LONGEST_TEXT - len(text)))
    ((_, _, message),) = errors(text + " " * (LONGEST_TEXT - len(text) + 1))
    assert message.startswith("The input is 100001 characters")


def test_a_key_that_stands_twice() -> None:
    """Two values for one input are an error even where both are good, beside all other errors."""
    twice = changed()[:-1] + ', "confidence": 2}'
    assert errors(twice) == [
        ("confidence", 2, "Confidence stands twice. Leave out the one that is wrong."),
        (
            "confidence",
            2,
            "Confidence: 2 is outside what is allowed, 0.5 to 0.999. Check the decimal mark and the "
            "unit, then give it again.",
        ),
    ]


def test_unknown_inputs_and_calculators() -> None:
    """An unknown name is reported with the closest known one, or with where to find them all."""
    assert errors(changed(runs="1", zebra="[[1]]")) == [
        ("runs", 1, "There is no input called runs. Did you mean runs_s?"),
        ("zebra", "[[1]]", "There is no input called zebra. Leave it out; the schema lists the inputs."),
    ]
    assert errors("{}", "Fold_Time") == [
        ("", "Fold_Time", "There is no calculator called Fold_Time. Did you mean fold-time?")
    ]
    assert errors("{}", "x") == [
        ("", "x", f"There is no calculator called x. The calculators are {', '.join(NAMES)}.")
    ]


def test_a_choice_and_a_short_list_tell_what_is_allowed() -> None:
    """A wrong choice lists the choices; a list of the wrong length is one error."""
    found = errors(
        '{"cycles": [{"half_turns": 0.5, "rise": "tall", "lip_extended": 1, "walk_down": "easy"}]}',
        "mainspring-plan",
    )
    told = {field: message.split(": ", 1)[1] for field, _, message in found}
    assert told["cycles[0].rise"] == (
        '"tall" is none of the choices. Choose one of: short, full-gentle, full-slams.'
    )
    assert told["cycles[0].half_turns"].startswith("0.5 is not a whole number. Give a whole number, ")
    assert told["cycles[0].lip_extended"] == "1 is neither yes nor no. Give true or false."
    assert errors(changed(runs_s="[]"))[0][1:] == (
        "[]",
        "Stopwatch runs: 0 given, at least 1 needed. Add what is missing.",
    )


@pytest.mark.parametrize(
    "fault", [ZeroDivisionError("x"), float("nan"), {"a": float("inf")}, RecursionError()]
)
def test_a_fault_of_ours_gives_a_report_code(monkeypatch: pytest.MonkeyPatch, fault: object) -> None:
    """A calculator that fails or would answer NaN gives one error with a report code, no traceback."""

    def calculate(**inputs: object) -> object:
        if isinstance(fault, Exception):
            raise fault
        return {"mean_s": fault}

    monkeypatch.setattr(answering, "module", lambda name: SimpleNamespace(INPUTS=(), calculate=calculate))
    ((field, value, message),) = errors("{}")
    kind = type(fault).__name__ if isinstance(fault, Exception) else "ArithmeticError"
    assert (field, value) == ("", None)
    assert message.startswith("The calculator failed. The fault is in the calculator, not in your figures. ")
    assert f"report code fold-time-{kind}-" in message
    assert re.search(r"-\w+-[0-9]+\.$", message)
    assert "Traceback" not in message


def test_a_missing_sentence_is_a_fault_of_ours() -> None:
    """A words file without the sentence still gives an error of the known shape."""
    answer = json.loads(run("fold-time", json.dumps(GOOD), {}))
    (error,) = answer["errors"]
    assert re.fullmatch(r"Calculator fault fold-time-LookupError-\w*say\w*-[0-9]+", error["message"])


@pytest.mark.parametrize("name", NAMES)
def test_schema(name: str) -> None:
    """The schema is plain JSON, has every input and output, and hides no default."""
    told = json.loads(json.dumps(schema(name), allow_nan=False))
    assert [each["name"] for each in told["inputs"]] == [each.name for each in module(name).INPUTS]
    assert [each["name"] for each in told["outputs"]] == [each.name for each in module(name).OUTPUTS]
    assert {each["default"] for each in told["inputs"]} == {None}
    keys = {
        "name",
        "kind",
        "type",
        "unit",
        "low",
        "high",
        "low_open",
        "choices",
        "least",
        "most",
        "fields",
        "may_be_null",
        "optional",
        "default",
        "figure",
        "given",
        "group",
        "label",
        "help",
    }
    assert [each for each in told["inputs"] if set(each) != keys] == []


def test_schema_of_one_input() -> None:
    """One input in full, as the wire has it."""
    assert schema("fold-time")["inputs"][0] == {
        "name": "runs_s",
        "kind": "numbers",
        "type": "array",
        "unit": "s",
        "low": 0.2,
        "high": 600,
        "low_open": False,
        "choices": [],
        "least": 1,
        "most": 10,
        "fields": [
            {**schema("turn-plan")["inputs"][0]["fields"][1], "help": "As the stopwatch showed it."},
            schema("turn-plan")["inputs"][0]["fields"][2],
        ],
        "may_be_null": False,
        "optional": False,
        "default": None,
        "figure": "",
        "given": "",
        "group": "",
        "label": "Stopwatch runs",
        "help": "Every timed fold of this visit: one timer, warm damper.",
    }


def test_schema_of_rows() -> None:
    """Columns are within their rows, with all that inputs and outputs have."""
    rows = schema("turn-plan")["inputs"][0]["fields"]
    assert [(each["name"], each["type"], each["unit"]) for each in rows] == [
        ("half_turns", "integer", "half turn"),
        ("fold_time_s", "number", "s"),
        ("started", "string", ""),
    ]
    assert schema("turn-plan")["name"] == "turn-plan"
    told = {each["name"]: each for each in schema("turn-plan")["outputs"]}
    assert told["stop"]["choices"] == list(module("turn-plan").STOPS)
    assert told["predictions"]["fields"][3] == {
        "name": "high_s",
        "kind": "number",
        "unit": "s",
        "choices": [],
        "fields": [],
        "may_be_null": True,
        "label": "To",
        "help": "Upper end; empty where the lip might not fold at all.",
    }


def test_an_unknown_module_is_a_lookup_error() -> None:
    """Only the named calculators can be imported through the door."""
    with pytest.raises(LookupError, match=r"^no calculator is called '_run'$"):
        module("_run")


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)
NAMED = st.dictionaries(st.sampled_from([*GOOD, "windw_low_s"]), JSON)


@given(st.text() | (NAMED | JSON).map(json.dumps), st.sampled_from([*NAMES, "zebra"]))
def test_any_text_gives_an_answer_or_named_errors(text: str, name: str) -> None:
    """Whatever is sent, the door opens: errors with message, and never a report code."""
    answer = ask(text, name)
    assert answer.get("errors") or "headline" in answer
    assert [
        each for each in answer.get("errors", ()) if not each["message"] or "report code" in each["message"]
    ] == []

"""Workings: whoever follows the shown numbers comes to the shown results, and those are the answer's."""

from __future__ import annotations

import ast
import json
import math
import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given

from calculators import answering
from calculators.explain import run_picture, run_working
from calculators.shared.working_lines import line_text
from calculators.workings import working
from tests.calculators.any_question import answered_cases, questions
from tests.calculators.asking import WORDS, ask
from tests.calculators.drawn_inputs import UNHURRIED
from tests.calculators.leveler import LOOSE

GOOD = {"half_turns": 0, "rise": "full-gentle", "lip_extended": True, "walk_down": "easy"}
WINDOW = {"window_low_s": 18, "window_high_s": 20, "timing_uncertainty_s": 0.1, "confidence": 0.95}
FURTHER = [
    ("mainspring-plan", {"cycles": [GOOD] * 9, "half_turns_min": -2, "half_turns_max": 2, "spring_count": 1}),
    (
        "fold-trend",
        {
            "visits": [
                {"date": f"2026-0{i + 1}-01", "fold_time_s": 19 + i / 20, "adjusted_half_turns": 0}
                for i in range(8)
            ],
            "longest_interval_months": 3,
            **WINDOW,
        },
    ),
    ("counterbalance", LOOSE),
    (
        "dock-slope",
        {
            "dock_height_m": 1.2,
            "bed_height_m": 0.6,
            "platform_length_m": 1.6,
            "lip_length_m": 0.4,
            "slope_limit_percent": 12.5,
            "reach_above_m": 0.3,
            "reach_below_m": 0.3,
        },
    ),
    (
        "service-plan",
        {
            "start": "2026-01-01",
            "until": "2026-12-31",
            "tasks": [
                {"name": f"Task {i}", "every": 1, "unit": "year", "last_done": "2025-06-01"}
                for i in range(14)
            ],
        },
    ),
]
"""What no case of tests/cases brings into a working."""
CASES = [*answered_cases(), *((name, inputs, ask(name, inputs)) for name, inputs in FURTHER)]
IDS = [f"{name}-{i}" for i, (name, _, _) in enumerate(CASES)]
DIGITS = 5
Interval = tuple[float, float]


class Listening(dict[str, str]):
    """Words that note which of them were said."""

    said: set[str]

    def __contains__(self, code: object) -> bool:
        self.said.add(str(code))
        return super().__contains__(code)


def texts(name: str, inputs: Mapping[str, Any], answer: Mapping[str, Any]) -> list[str]:
    """The sentences of a working."""
    return [line_text(each, WORDS) for each in working(name, inputs, answer)]


def equations(text: str) -> Iterator[tuple[str, float]]:
    """Each expression of a line with the result that stands behind it: "1 / 16.4" and 0.060976."""
    for part in re.split(r"; |: |, and|\? ", text):
        sides = part.split(" = ")
        for left, right in pairwise(sides):
            result = re.match(r"−?[\d.]+(?: × 10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?", right)
            expression = re.sub(r"^.* on day ", "", left)
            if (
                result
                and re.search(r"\d [-+−×/] |√\(\d|tan|\d²", expression)
                and not re.search(r"[a-zA-ZΣχν]{1,2}\b(?!\()", re.sub(r"sin|cos|tan", "", expression))
            ):
                yield expression, plain(result[0])


def python_text(expression: str) -> str:
    """The same expression as Python writes it."""
    for sign, ours in (
        ("×", "*"),
        ("−", "-"),
        ("²", "**2"),
        ("³", "**3"),
        ("⁴", "**4"),
        ("√(", "sqrt("),
        ("°", ""),
        ("π", "pi"),
    ):
        expression = expression.replace(sign, ours)
    return expression


def plain(number: str) -> float:
    """A shown number as a float."""
    mantissa, _, power = number.replace("−", "-").partition(" × 10")
    raised = power.translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789"))
    return float(mantissa) * 10.0 ** int(raised or 0)


def evaluate(expression: str) -> Interval:
    """All that an expression can come to, if each number in it was rounded to its digits."""
    powers = re.sub(r"([\d.]+) × 10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda found: repr(plain(found[0])), expression)
    return reach(ast.parse(python_text(powers).strip(), mode="eval").body)


def reach(node: ast.expr) -> Interval:
    """Interval arithmetic over one node."""
    if isinstance(node, ast.Constant):
        return rounded_about(float(node.value))  # type: ignore[arg-type]
    if isinstance(node, ast.Name):
        assert node.id == "pi"
        return math.pi, math.pi
    if isinstance(node, ast.UnaryOp):
        low, high = reach(node.operand)
        return (-high, -low) if isinstance(node.op, ast.USub) else (low, high)
    if isinstance(node, ast.Call):
        return called(node.func.id, reach(node.args[0]))  # type: ignore[attr-defined]
    assert isinstance(node, ast.BinOp)
    if isinstance(node.op, ast.Pow):
        return power(reach(node.left), int(node.right.value))  # type: ignore[attr-defined]
    return combined(node.op, reach(node.left), reach(node.right))


def rounded_about(value: float) -> Interval:
    """A shown number, and half a unit of its last digit to either side; 1 may have been 1.00001."""
    if value == 0:
        return 0.0, 0.0
    half = 0.5 * 10.0 ** (math.floor(math.log10(abs(value))) - DIGITS + 1)
    return value - half, value + half


def called(name: str, inner: Interval) -> Interval:
    """A square root, or a sine, cosine or tangent of degrees in steps too small to miss their turn."""
    if name == "sqrt":
        return math.sqrt(max(0.0, inner[0])), math.sqrt(inner[1])
    ends = [getattr(math, name)(math.radians(inner[0] + (inner[1] - inner[0]) * i / 8)) for i in range(9)]
    return min(ends), max(ends)


def power(base: Interval, exponent: int) -> Interval:
    """A whole power."""
    ends = [base[0] ** exponent, base[1] ** exponent]
    return (0.0 if base[0] < 0 < base[1] and exponent % 2 == 0 else min(ends)), max(ends)


def combined(operation: ast.operator, left: Interval, right: Interval) -> Interval:
    """A sum, difference, product or quotient."""
    if isinstance(operation, ast.Add):
        return left[0] + right[0], left[1] + right[1]
    if isinstance(operation, ast.Sub):
        return left[0] - right[1], left[1] - right[0]
    if isinstance(operation, ast.Div):
        assert not right[0] <= 0 <= right[1]
        right = (1 / right[1], 1 / right[0])
    ends = [a * b for a in left for b in right]
    return min(ends), max(ends)


def wrong_equations(text: str) -> list[tuple[str, float, Interval]]:
    """Each equation of a line whose result does not follow from its numbers."""
    wrong = []
    for expression, result in equations(text):
        low, high = evaluate(expression)
        shown = rounded_about(result) if result else (0.0, 0.0)
        slack = 1e-9 * max(abs(low), abs(high)) + 1e-15  # distances of equal readings, and the tiniest floats
        if shown[1] < low - slack or shown[0] > high + slack:
            wrong.append((expression, result, (low, high)))
    return wrong


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES, ids=IDS)
def test_the_shown_numbers_lead_to_the_shown_results(
    name: str, inputs: dict[str, Any], answer: dict[str, Any]
) -> None:
    """Every equation of every line holds, for whoever computes it again from what is written there."""
    lines = texts(name, inputs, answer)
    assert lines
    assert [wrong for text in lines for wrong in wrong_equations(text)] == []


@pytest.mark.parametrize(
    ("name", "least"),
    [
        ("fold-time", 9),
        ("turn-plan", 25),
        ("counterbalance", 9),
        ("spring-rate", 6),
        ("dock-slope", 4),
        ("rod-length", 4),
        ("fold-trend", 8),
        ("service-plan", 1),
    ],
)
def test_equations_are_found(name: str, least: int) -> None:
    """The check above is not empty: a working of each calculator has so many equations that it computed."""
    counts = [
        sum(len(list(equations(text))) for text in texts(*question))
        for question in CASES
        if question[0] == name
    ]
    assert max(counts) >= least


def test_a_wrong_number_is_found() -> None:
    """The check fails where one digit of a result is wrong, in whatever way it is written."""
    right = [
        "Mean: m = (16.4 + 16.7 + 16.5) / 3 = 16.533 s",
        "At: t = 1 / 0.052308 = 19.118 s",
        "Slope: 100 × tan(5.7392°) = 10.05 %",
        "u = √(0.15275² / 3 + 0.1²) = 0.13333 s",
        "At setting 2: r = 0.060474 + (−0.001998) × 2 = 0.056478 1/s",
        "Small: 3.3 × 10⁻⁵ × 2 = 6.6 × 10⁻⁵ m",
    ]
    assert [wrong_equations(text) for text in right] == [[]] * len(right)
    wrong = [
        text.replace("16.533", "16.543")
        .replace("19.118", "19.218")
        .replace("10.05", "10.15")
        .replace("0.13333", "0.13433")
        .replace("0.056478", "0.057478")
        .replace("6.6 ×", "6.7 ×")
        for text in right
    ]
    assert [len(wrong_equations(text)) for text in wrong] == [1] * len(right)


@pytest.mark.parametrize(("name", "inputs", "answer"), CASES, ids=IDS)
def test_the_shown_numbers_are_the_answers(name: str, inputs: dict[str, Any], answer: dict[str, Any]) -> None:
    """A value named as a result is that result to the shown digits; one named as an input is that input."""
    own = [each for each in working(name, inputs, answer) if each["code"].startswith(f"{name}.working.")]
    curve = min(answer.get("curve", [{}]), key=lambda row: row.get("net_rising_nm", 0))
    for values in (each["values"] for each in own):
        for known in (answer, curve):
            shared = {key for key in values if isinstance(known.get(key), (int, float))} - {"angle_deg"}
            if "half_turns" in values and name == "turn-plan":
                shared -= {"fold_time_s", "low_s", "high_s"}  # of one reading, or of one prediction
            assert {key: values[key] for key in shared} == pytest.approx(
                {key: known[key] for key in shared}, rel=0.6 * 10.0 ** (1 - DIGITS)
            )
        given_ = {key for key in values if isinstance(inputs.get(key), (int, float))} - set(answer)
        if "number" not in values and "fold_time_s" not in values and name != "mainspring-plan":
            same = {key for key in given_ if key != "half_turns"}
            assert {key: values[key] for key in same} == {key: inputs[key] for key in same}


@pytest.mark.parametrize("name", answering.NAMES)
def test_any_answer_can_be_worked_out(name: str) -> None:
    """Over the whole declared range an answer has a working whose equations hold."""

    @UNHURRIED
    @given(questions(name))
    def holds(inputs: dict[str, Any]) -> None:
        answer = ask(name, inputs)
        lines = texts(name, inputs, answer)
        assert bool(lines) == ("errors" not in answer)
        assert not [text for text in lines if re.search(r"\bnan\b|\binf\b|\{|\}|\de-?\d", text)]
        assert [wrong for text in lines for wrong in wrong_equations(text)] == []

    if name != "service-plan":  # texts of its own; its cases are enough
        holds()


def test_refused_inputs_have_no_working() -> None:
    """Where there is no answer nothing is worked out, and the door says so."""
    refused = {"runs_s": []}
    assert working("fold-time", refused, ask("fold-time", refused)) == []
    assert run_working("fold-time", json.dumps(refused), '{"errors": []}', WORDS) == '{"lines": []}'


def test_the_door_says_the_lines() -> None:
    """The door gives the sentences of the lines, in order."""
    name, inputs, answer = CASES[0]
    said = run_working(name, json.dumps(inputs), json.dumps(answer), WORDS)
    assert json.loads(said) == {"lines": texts(name, inputs, answer)}


@pytest.mark.parametrize("door", [run_picture, run_working])
@pytest.mark.parametrize("broken", ["", "{", "[]", '{"headline": 1}'])
def test_a_fault_is_told_with_a_code(door: Any, broken: str) -> None:
    """Whatever reaches the doors, a person gets one sentence with a report code, and the answer stands."""
    _, inputs, _ = next(case for case in CASES if case[0] == "fold-time")
    (said,) = json.loads(door("fold-time", json.dumps(inputs), broken, WORDS)).items()
    assert said[0] == "fault"
    report = r"Report code fold-time-\w+-[\w<>]+-\d+\."
    assert re.fullmatch(rf"The picture or the working .* The answer stands\. {report}", said[1])


def test_a_fault_is_told_without_a_sentence_too() -> None:
    """Where the words have no sentence for it, as in a book half translated, its code is told."""
    (said,) = json.loads(run_picture("fold-time", "{", "{}", {})).values()
    assert re.fullmatch(r"Explanation fault fold-time-\w+-[\w<>]+-\d+", said)


def test_another_decimal_mark_is_in_the_working_too() -> None:
    """A language with a decimal comma has it in sums, in powers of ten and in single numbers."""
    _, inputs, answer = next(case for case in CASES if case[0] == "fold-time" and len(case[1]["runs_s"]) > 2)
    said = [line_text(each, {**WORDS, "decimal-mark": ","}) for each in working("fold-time", inputs, answer)]
    assert not [text for text in said if re.search(r"\d\.\d", text)]
    assert [text.replace(",", ".") for text in said] == [
        text.replace(",", ".") for text in texts("fold-time", inputs, answer)
    ]


@pytest.mark.parametrize("name", answering.NAMES)
def test_every_sentence_of_a_working_is_said(name: str) -> None:
    """The words file has a sentence for each line of a working, and none that no case brings about."""
    heard = Listening(WORDS)
    heard.said = set()
    for case_name, inputs, answer in CASES:
        for each in working(case_name, inputs, answer) if case_name in (name, "turn-plan") else []:
            line_text(each, heard)
    told = {code for code in WORDS if code.startswith(f"{name}.working.")}
    assert told and told - heard.said == set()

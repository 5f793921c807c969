"""The single door to the calculators, for page, build and command line: JSON text in, JSON text out."""

from __future__ import annotations

import importlib
import json
import math
import os
import re
from collections.abc import Mapping, Sequence
from types import ModuleType
from typing import Any

from calculators.shared.decimal_text import marked, short
from calculators.shared.fields import (
    JSON_TYPES,
    BadInput,
    Field,
    InputProblem,
    Output,
    closest,
    read_inputs,
    rounded,
)
from calculators.shared.words import DECIMAL_MARK, say

_FOLDER = os.path.dirname(__file__)
NAMES = tuple(
    sorted(
        folder.replace("_", "-")
        for folder in os.listdir(_FOLDER)
        if os.path.exists(os.path.join(_FOLDER, folder, "calculator.py"))
    )
)
"""The calculators: every folder that has a calculator.py."""
LONGEST_TEXT = 100_000
"""Most characters of input, ten times what the longest real input needs."""
DEEPEST = 10
"""Most brackets within brackets: a JSON reader that runs out of stack ends the whole runtime of a phone."""
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"?')
_INDEX = re.compile(r"\[(\d+)\]")


def module(name: str) -> ModuleType:
    """Return a calculator's module, which has NAME, INPUTS, OUTPUTS and calculate.

    Raises:
        LookupError: there is no such calculator.
    """
    if name not in NAMES:
        raise LookupError(f"no calculator is called {name!r}")
    return importlib.import_module(f"calculators.{name.replace('-', '_')}.calculator")


def schema(name: str) -> dict[str, Any]:
    """Return a calculator's inputs and outputs as data for JSON, as `--schema` prints them.

    Raises:
        LookupError: there is no such calculator.
    """
    found = module(name)
    return {
        "name": name,
        "inputs": [_describe_input(each) for each in found.INPUTS],
        "outputs": [_describe_output(each) for each in found.OUTPUTS],
    }


def _describe_input(known: Field) -> dict[str, Any]:
    return {
        "name": known.name,
        "kind": known.kind,
        "type": JSON_TYPES[known.kind],
        "unit": known.unit,
        "low": known.low,
        "high": known.high,
        "low_open": known.low_open,
        "choices": list(known.choices),
        "least": known.least,
        "most": known.most,
        "fields": [_describe_input(each) for each in known.fields],
        "may_be_null": known.may_be_null,
        "optional": known.optional,
        "default": None,
        "figure": known.figure,
        "given": known.given,
        "group": known.group,
        "label": known.label,
        "help": known.help,
    }


def _describe_output(known: Output) -> dict[str, Any]:
    return {
        "name": known.name,
        "kind": known.kind,
        "unit": known.unit,
        "choices": list(known.choices),
        "fields": [_describe_output(each) for each in known.fields],
        "may_be_null": known.may_be_null,
        "label": known.label,
        "help": known.help,
    }


def run(name: str, text: str, words: Mapping[str, str]) -> str:
    """Return a calculator's answer to one question. Nothing is raised.

    Args:
        name: the calculator.
        text: its inputs, one JSON object.
        words: sentences by code, see shared.words.read_words.

    Returns:
        JSON text in ASCII: the calculator's outputs, each sentence as {"code", "values", "text"} and numbers
        rounded to 12 significant digits; or {"errors": [{"field", "value", "message"}]} and nothing else.
        Never NaN or infinity, never a traceback.
    """
    try:
        found = _answer_or_errors(name, text, words)
    except Exception as fault:  # noqa: BLE001  for a fault in our code a person gets a report code
        found = {"errors": [{"field": "", "value": None, "message": fault_message(fault, name, words)}]}
    return json.dumps(found, allow_nan=False)


def answer(name: str, raw: object, words: Mapping[str, str]) -> dict[str, Any]:
    """Return what run() gives for inputs that are data already: the outputs, or {"errors"}.

    Raises:
        LookupError: there is no such calculator.
    """
    found = module(name)
    try:
        outputs: dict[str, Any] = leaving(found.calculate(**read_inputs(found.INPUTS, raw)), words)
    except BadInput as bad:
        return {"errors": [error(problem, found.INPUTS, name, words) for problem in bad.problems]}
    return outputs


def _answer_or_errors(name: str, text: str, words: Mapping[str, str]) -> dict[str, Any]:
    try:
        return _answer(name, text, words)
    except BadInput as bad:
        fields = module(name).INPUTS if name in NAMES else ()
        return {"errors": [error(problem, fields, name, words) for problem in bad.problems]}


def _answer(name: str, text: str, words: Mapping[str, str]) -> dict[str, Any]:
    if name not in NAMES:
        guess = {"name": name[:80], "closest": closest(name, NAMES), "names": ", ".join(NAMES)}
        raise BadInput(InputProblem("", name, "unknown-calculator", guess))
    raw, problems = _read_json(text)
    found = module(name)
    try:
        inputs = read_inputs(found.INPUTS, raw)
    except BadInput as bad:
        raise BadInput(*problems, *bad.problems) from None
    if problems:
        raise BadInput(*problems)
    outputs: dict[str, Any] = leaving(found.calculate(**inputs), words)
    return outputs


def _read_json(text: str) -> tuple[object, list[InputProblem]]:
    """Return the data of JSON text, and a problem for each key that is there twice.

    NaN, infinity and huge numbers are left to read_inputs.

    Raises:
        BadInput: the text is too long, too deep, or not JSON.
    """
    twice: list[InputProblem] = []

    def members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, value in pairs:
            if key in found:
                twice.append(InputProblem(key, value, "duplicate-key"))
            found[key] = value
        return found

    if not text.strip():
        raise BadInput(InputProblem("", None, "empty"))
    if len(text) > LONGEST_TEXT:
        raise BadInput(InputProblem("", None, "too-long", {"count": len(text), "most": LONGEST_TEXT}))
    if _depth(text) > DEEPEST:
        raise BadInput(InputProblem("", _shown(text), "too-deep"))
    try:
        return json.loads(text, object_pairs_hook=members, parse_int=_whole_number), twice
    except json.JSONDecodeError as error:
        place = {"line": error.lineno, "column": error.colno}
        raise BadInput(InputProblem("", _shown(text), "not-json", place)) from None


def _depth(text: str) -> int:
    """Return the depth of brackets within brackets, those in strings left out."""
    depth = deepest = 0
    for mark in re.findall(r"[][{}]", _STRING.sub("", text)):
        depth += 1 if mark in "[{" else -1
        deepest = max(deepest, depth)
    return deepest


def _whole_number(digits: str) -> int | float:
    """Return a whole number, beyond 15 digits as a float: Python refuses an int of thousands of digits."""
    return int(digits) if len(digits) <= 15 else float(digits)


def leaving(value: Any, words: Mapping[str, str]) -> Any:
    """Return a result as it leaves: numbers rounded, tuples as lists, the text of each sentence added."""
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ArithmeticError(f"a result is {value}")
        return rounded(value)
    if isinstance(value, Mapping):
        left = {key: leaving(item, words) for key, item in value.items()}
        if left.keys() >= {"code", "values"}:
            left["text"] = say(words, left["code"], left["values"])
        return left
    return [leaving(item, words) for item in value] if isinstance(value, (list, tuple)) else value


def error(
    problem: InputProblem, fields: Sequence[Field], name: str, words: Mapping[str, str]
) -> dict[str, object]:
    """Return a problem as {"field", "value", "message"}.

    The message is for a person: the field's label, what was given, what is allowed, what to do. The labels of
    `fields` stand in the words under `name`.
    """
    known, label = _labeled(problem.field, fields, name, words)
    values = {
        "label": label,
        "given": _given(problem.value, words),
        "allowed": _allowed(known, words),
        "choices": ", ".join(known.choices) if known else "",
        **problem.values,
    }
    code = f"error.{problem.code}"
    if problem.code == "missing" and values["allowed"]:
        code += "-range"
    if problem.values.get("closest") == "":
        code += "-unlike-any"
    return {"field": problem.field, "value": _shown(problem.value), "message": say(words, code, values)}


def _labeled(
    at: str, fields: Sequence[Field], name: str, words: Mapping[str, str]
) -> tuple[Field | None, str]:
    """Return the declaration of the field at `at`, "readings[2].fold_time_s", and its name in words."""
    known: Field | None = None
    label, key = "", name
    for part in at.split("."):
        bare = _INDEX.sub("", part)
        known = next((each for each in fields if each.name == bare), None)
        if known is None:
            return None, at
        key = f"{key}.{bare}"
        own = words.get(f"{key}.label", known.label)
        label = own if not label else say(words, "error.column", {"row": label, "column": own})
        number = _INDEX.search(part)
        if number:
            label = say(words, "error.item", {"list": label, "number": int(number[1]) + 1})
        fields = known.fields
    return known, label


def _allowed(known: Field | None, words: Mapping[str, str]) -> str:
    """Return the allowed range with its unit, "" where the declaration has none."""
    if known is None or known.low is None or known.high is None:
        return ""
    unit = "" if known.unit in ("", "1") else f" {known.unit}"
    code = "error.range-open" if known.low_open else "error.range"
    return say(words, code, {"low": float(known.low), "high": float(known.high), "unit": unit})


def _given(value: object, words: Mapping[str, str]) -> str:
    """Return a given value as text within a sentence."""
    shown = _shown(value)
    if isinstance(shown, (int, float)) and not isinstance(shown, bool):
        return marked(short(shown), words.get(DECIMAL_MARK, "."))
    if isinstance(shown, str) and not isinstance(value, str):
        return shown
    return json.dumps(shown, ensure_ascii=False)


def _shown(value: object) -> object:
    """Return a given value in a form that JSON can hold, at most 80 characters long."""
    if isinstance(value, float) and not math.isfinite(value):
        return "NaN" if math.isnan(value) else "Infinity" if value > 0 else "-Infinity"
    if value is None or isinstance(value, (bool, int, float)):
        return value
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 80 else text[:79] + "…"


def fault_message(fault: Exception, name: str, words: Mapping[str, str]) -> str:
    """Return the sentence that the fault is ours, with the code to report."""
    sentences = {"error.fault": "Calculator fault {report}", **words}
    return say(sentences, "error.fault", {"report": fault_report(fault, name)})


def fault_report(fault: Exception, name: str) -> str:
    """Return the short code of a fault in our code: the calculator, the exception, the line."""
    trace = fault.__traceback__
    while trace and trace.tb_next:
        trace = trace.tb_next
    place = f"{trace.tb_frame.f_code.co_name}-{trace.tb_lineno}" if trace else "unknown"
    return f"{name[:40]}-{type(fault).__name__}-{place}"

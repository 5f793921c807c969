"""The outside checks: values that others print, and what our own code returns for the same question.

Each file of outside_checks/ is a list of checks. The tests assert them, and a page of the book shows them.
`how` says how our code is asked:

    calculator, input, result      a calculator's answer; quantities such as "7 mm" are converted to SI
    line, data, result             one of our two line fits (turn-plan, fold-trend) through a set of data
    summary, result                mean and standard deviation of a set of data
    function, arguments            a function of our statistics; each list of arguments is one call
    start, tasks                   the days of a service plan
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from build_tools.book.asking import ask
from build_tools.places import TOOLS
from build_tools.registers.printed_quantities import FACTORS, in_si
from calculators.fold_trend.line import fit_trend
from calculators.service_plan.dues import Plan, Task, dues
from calculators.shared import statistics
from calculators.shared.rate_line import fit_line

FOLDER = TOOLS / "made_pages" / "outside_checks"
PROVENANCES = ("read", "read-secondary", "memory", "computed")
_QUICK = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
Value = float | tuple[float, ...] | tuple[str, ...]
_How = Mapping[str, Any]


class CheckRefused(ValueError):
    """Our code returns no value for an outside check; the message names the check and the reason."""


@dataclass(frozen=True, slots=True)
class OutsideCheck:
    """A value, or several of one kind, that a source prints; `tolerance` is what its digits leave open."""

    id: str
    subject: str
    """The name of its file."""
    what: str
    source: str
    clause: str
    provenance: str
    expected: Value
    unit: str
    tolerance: float
    how: Mapping[str, Any]

    @property
    def besides(self) -> tuple[str, ...]:
        """Days that our plan has but the printed rule leaves out."""
        return tuple(self.how.get("beside", ()))

    @property
    def wanted(self) -> Value:
        """What our code must return: what is printed, and the days besides it."""
        if not self.besides:
            return self.expected
        printed = self.expected if isinstance(self.expected, tuple) else ()
        return tuple(sorted([*(str(day) for day in printed), *self.besides]))

    def difference(self, ours: Value) -> float:
        """Return our value minus the printed one, in the check's unit; of several, the largest difference.

        For days it is the number of days in one list but not the other. Lists of different lengths differ by
        infinity.
        """
        wanted, given = _as_list(self.wanted), _as_list(ours)
        if self.unit == "date":
            return float(len({*wanted} ^ {*given}))
        if len(wanted) != len(given):
            return math.inf
        apart = [float(mine) - float(theirs) for mine, theirs in zip(given, wanted, strict=True)]
        return max(apart, key=abs)

    def agrees(self, ours: Value) -> bool:
        """Return whether our value is the printed one, as far as the printed digits go."""
        return abs(self.difference(ours)) <= self.tolerance


def _as_list(value: Value) -> list[Any]:
    return list(value) if isinstance(value, tuple) else [value]


def read_checks(folder: Path = FOLDER) -> tuple[OutsideCheck, ...]:
    """Read every check, ordered by file name and then as in the file."""
    return tuple(_check(row, path.stem) for path in sorted(folder.glob("*.yml")) for row in _read(path))


def _read(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), Loader=_QUICK)  # both are safe loaders


def _check(row: Mapping[str, Any], subject: str) -> OutsideCheck:
    expected = row["expected"]
    value: Value = tuple(expected) if isinstance(expected, list) else float(expected)
    known = {name: row[name] for name in ("id", "what", "source", "clause", "unit", "how")}
    tolerance = float(row["tolerance"])
    return OutsideCheck(**known, subject=subject, provenance=row["mark"], expected=value, tolerance=tolerance)


def our_value(check: OutsideCheck, *, words: Mapping[str, str], pitches_m: Mapping[str, float]) -> Value:
    """Return our code's value for a check, in the check's unit.

    Args:
        check: what to ask.
        words: the calculators' sentences by code.
        pitches_m: pitch of each thread of the register, m.

    Raises:
        CheckRefused: a calculator refuses the inputs, its answer lacks the result, or `how` is unknown.
    """
    how = check.how
    if "calculator" in how:
        return _asked(check, words, pitches_m) / FACTORS[check.unit]
    kind = next((kind for kind in _KINDS if kind in how), None)
    if kind is None:
        raise CheckRefused(f"outside check '{check.id}': 'how' asks nothing that is known")
    return _KINDS[kind](how)


def _asked(check: OutsideCheck, words: Mapping[str, str], pitches_m: Mapping[str, float]) -> float:
    how = check.how
    inputs = in_si(how["input"])
    if "thread" in how:
        inputs["thread_pitch_m"] = pitches_m[how["thread"]]
    answer: Any = json.loads(ask(how["calculator"], json.dumps(inputs), words))
    if "errors" in answer:
        messages = " ".join(error["message"] for error in answer["errors"])
        raise CheckRefused(f"outside check '{check.id}': {how['calculator']} refuses it: {messages}")
    value = answer
    for key in how["result"].split("."):
        value = _member(value, key)
    if not isinstance(value, (int, float)):
        raise CheckRefused(f"outside check '{check.id}': the answer has no number at {how['result']}")
    return float(value)


def _member(value: Any, key: str) -> Any:
    """Return a member of a JSON value, None if it has none.

    The key is a name, the index of a row, or "n=5" for the first row whose column n is 5.
    """
    column, is_column, wanted = key.partition("=")
    if isinstance(value, list) and is_column:
        return next((row for row in value if row[column] == float(wanted)), None)
    if isinstance(value, list):
        return value[int(key)] if int(key) < len(value) else None
    return value.get(key) if isinstance(value, dict) else None


@cache
def data_set(name: str) -> Any:
    """Return a published set of data by name: (x, y) pairs for a line, numbers for a summary."""
    if name == "norris":
        return [(float(x), float(y)) for x, y in _read(FOLDER / "data/norris.yml")["points"]]
    row = _read(FOLDER / "data/univariate.yml")[name]
    return [float(each) for each in (*row["first"], *row.get("pair", ()) * row.get("times", 0))]


def _line(how: _How) -> float:
    xs, ys = zip(*data_set(how["data"]), strict=True)
    return _turn_plan_line(how, xs, ys) if how["line"] == "turn-plan" else _trend_line(how, xs, ys)


def _turn_plan_line(how: _How, xs: Sequence[float], ys: Sequence[float]) -> float:
    line = fit_line(xs, ys, [1.0] * len(xs))
    return float(getattr(line, how["result"]))


def _trend_line(how: _How, xs: Sequence[float], ys: Sequence[float]) -> float:
    line, result = fit_trend(xs, ys, least_sd=0, confidence=0.95), how["result"]
    if result in ("low", "high"):
        return line.interval(how["day"], readings=how["readings"])[result == "high"]
    if result == "reach_of_days":
        first, second = line.days_reaching(how["limit"], readings=how["readings"])
        return (second - first) / 2
    if result == "day_reaching":
        return float(line.day_reaching(how["limit"]))
    return line.at(how["day"]) if result == "at" else float(getattr(line, result))


def _summary(how: _How) -> float:
    mean, sd = statistics.mean_and_sd(data_set(how["summary"]))
    return mean if how["result"] == "mean" or sd is None else sd


def _function(how: _How) -> Value:
    function = getattr(statistics, how["function"])
    values = tuple(how.get("times", 1) * function(*arguments) for arguments in how["arguments"])
    return values if len(values) > 1 else values[0]


def _days(how: _How) -> tuple[str, ...]:
    """Return the days of a plan (YYYY-MM-DD) up to `until`, where the printed days end."""
    start, until = date.fromisoformat(how["start"]), date.fromisoformat(how["until"])
    plan = Plan(start=start, until=until, is_closed=lambda day: False, cycles_per_day=None)
    days: set[date] = set()
    for task in how["tasks"]:
        done = date.fromisoformat(task["last_done"])
        planned = Task(
            name="",
            every=task["every"],
            unit=task["unit"],
            every_cycles=None,
            days_of_cycles=None,
            last_done=done,
        )
        days.update(due.day for due in dues(planned, plan))
    return tuple(day.isoformat() for day in sorted(days))


_KINDS: Mapping[str, Callable[[_How], Value]] = {
    "line": _line,
    "summary": _summary,
    "function": _function,
    "tasks": _days,
}

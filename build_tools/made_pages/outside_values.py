"""The outside checks: values that others print, and what this project's own code gives for the same question.

Each file of outside_checks/ is a list of checks. The tests assert them, and the page made from them shows
them.
`how` says how our code is asked:

    calculator, input, result      a calculator through its one door; quantities such as "7 mm" become SI
    line, data, result             one of the two lines that are laid through timings, through a set of data
    summary, result                mean and standard deviation of a set of data
    function, arguments            a distribution; each list of arguments is one call
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
    """Our code gives no value for an outside check; the message says which check, and why."""


@dataclass(frozen=True, slots=True)
class OutsideCheck:
    """One value, or several alike, that a source prints; `tolerance` is what its digits leave open."""

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
        """Days that a plan keeps and the printed rule leaves out."""
        return tuple(self.how.get("beside", ()))

    @property
    def wanted(self) -> Value:
        """What our code is to give: what is printed, and the days beside it."""
        if not self.besides:
            return self.expected
        printed = self.expected if isinstance(self.expected, tuple) else ()
        return tuple(sorted([*(str(day) for day in printed), *self.besides]))

    def difference(self, ours: Value) -> float:
        """Return how far our value lies from the printed one, in its unit; of several the farthest.

        Days differ by how many of them are in one list alone. Lists of unlike lengths differ without end.
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
    """Read every check, by file and then in the order of the file."""
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
    """Ask our code as a check says, and give its answer in the check's unit.

    Args:
        check: what to ask.
        words: the calculators' sentences by code.
        pitches_m: pitch of each thread of the register, m.

    Raises:
        CheckRefused: a calculator does not take the inputs, or its answer lacks the result.
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
        told = " ".join(error["message"] for error in answer["errors"])
        raise CheckRefused(f"outside check '{check.id}': {how['calculator']} refuses it: {told}")
    found = answer
    for step in how["result"].split("."):
        found = _step(found, step)
    if not isinstance(found, (int, float)):
        raise CheckRefused(f"outside check '{check.id}': the answer has no number at {how['result']}")
    return float(found)


def _step(found: Any, step: str) -> Any:
    """Go one step into an answer: a name, a row's number, or the row where a column has a value (n=5)."""
    column, is_column, wanted = step.partition("=")
    if isinstance(found, list) and is_column:
        return next((row for row in found if row[column] == float(wanted)), None)
    if isinstance(found, list):
        return found[int(step)] if int(step) < len(found) else None
    return found.get(step) if isinstance(found, dict) else None


@cache
def data_set(name: str) -> Any:
    """Return a set of data by name: pairs of numbers for a line, single ones for a summary."""
    if name == "norris":
        return [(float(x), float(y)) for x, y in _read(FOLDER / "data/norris.yml")["points"]]
    found = _read(FOLDER / "data/univariate.yml")[name]
    return [float(each) for each in (*found["first"], *found.get("pair", ()) * found.get("times", 0))]


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
    found = tuple(how.get("times", 1) * function(*arguments) for arguments in how["arguments"])
    return found if len(found) > 1 else found[0]


def _days(how: _How) -> tuple[str, ...]:
    """Return the days of a plan up to `until`, which is as far as the printed days go."""
    start, until = date.fromisoformat(how["start"]), date.fromisoformat(how["until"])
    plan = Plan(start=start, until=until, is_closed=lambda day: False, cycles_per_day=None)
    found: set[date] = set()
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
        found.update(due.day for due in dues(planned, plan))
    return tuple(day.isoformat() for day in sorted(found))


_KINDS: Mapping[str, Callable[[_How], Value]] = {
    "line": _line,
    "summary": _summary,
    "function": _function,
    "tasks": _days,
}

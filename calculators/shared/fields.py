"""How inputs and results are declared, and the reader that checks every input against its declaration."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from datetime import date

JSON_TYPES = {
    "number": "number",
    "whole": "integer",
    "choice": "string",
    "flag": "boolean",
    "date": "string",
    "text": "string",
    "numbers": "array",
    "dates": "array",
    "rows": "array",
}
ITEMS = {"numbers": "number", "dates": "date"}
"""The kind of each item of a list."""
FIRST_DATE, LAST_DATE = "2000-01-01", "2099-12-31"
"""A date outside these is taken for a typing mistake."""
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_NOT_IN_A_LINE = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
"""Line breaks, control characters, and surrogates, which no UTF-8 file can hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The declaration of one input: its name, what it may be, and how a person is asked for it."""

    name: str
    """Name on the wire, with the unit as suffix."""
    kind: str
    """number, whole, choice, flag, date ("2026-03-31"), text (one line), numbers, dates or rows (lists)."""
    label: str
    help: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    low_open: bool = False
    """True where `low` itself is not allowed."""
    choices: tuple[str, ...] = ()
    least: int = 0
    most: int = 0
    """`least` and `most` are the lengths allowed: of a list, or of a text in characters.

    A text has 1 as `least`, or 0 if it may be blank.
    """
    fields: tuple[Field, ...] = ()
    """The columns of kind rows; with kind numbers, those of an item that says more than its number."""
    may_be_null: bool = False
    """True where null, "not measured", is allowed; it must still be given."""
    optional: bool = False
    """True where the input may be left out."""
    figure: str = ""
    """A figure of the register that can be offered here; never filled in silently."""
    given: str = ""
    """Where the page fills it in and nobody is asked: a figure of the register, or what the script knows."""
    group: str = ""
    """Inputs of one group are together under a short heading, in the order in which they are measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """The declaration of one result: its name, what it holds, and how it is shown."""

    name: str
    kind: str
    """number, whole, choice, flag, date, text, hazards (a list of hazard ids), sentence, sentences, question,
    numbers or rows."""
    label: str
    help: str
    unit: str = ""
    choices: tuple[str, ...] = ()
    fields: tuple[Output, ...] = ()
    may_be_null: bool = False


@dataclass(frozen=True, slots=True)
class InputProblem:
    """One thing that is wrong with the input, as data; its sentence in the words is "error." + `code`."""

    field: str
    """Where: "window_low_s", "readings[2].fold_time_s" (counted from 0), or "" for the input as a whole."""
    value: object
    code: str
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)


class BadInput(ValueError):
    """The input cannot be used. `problems` are all that were found, not only the first."""

    def __init__(self, *problems: InputProblem) -> None:
        super().__init__(", ".join(f"{problem.field}: {problem.code}" for problem in problems))
        self.problems = problems


def rounded(number: float) -> float:
    """Return a number rounded to the 12 significant digits of all answers; -0 becomes 0."""
    return float(f"{number:.12g}") + 0.0


def read_inputs(fields: Sequence[Field], raw: object) -> dict[str, Any]:
    """Return the inputs in plain JSON data, checked against their declaration.

    Args:
        fields: the declaration.
        raw: what json.loads returned.

    Returns:
        Every declared input by name: float, int, str, bool, datetime.date, a tuple of floats or of dates, a
        tuple of dicts by column, or None where nothing was measured or an optional input was left out.

    Raises:
        BadInput: the data do not fit; it has all problems.
    """
    problems: list[InputProblem] = []
    values = _read_object(fields, raw, "", problems)
    if problems:
        raise BadInput(*problems)
    return values


def _read_object(
    fields: Sequence[Field], raw: object, at: str, problems: list[InputProblem]
) -> dict[str, Any]:
    if not isinstance(raw, Mapping):
        problems.append(InputProblem(at, raw, "not-an-object"))
        return {}
    prefix = f"{at}." if at else ""
    names = [known.name for known in fields]
    for key, value in raw.items():
        if key not in names:
            guess = {"name": str(key)[:80], "closest": closest(str(key), names)}
            problems.append(InputProblem(f"{prefix}{key}", value, "unknown-field", guess))
    return {known.name: _read_member(known, raw, prefix + known.name, problems) for known in fields}


def _read_member(known: Field, raw: Mapping[str, object], at: str, problems: list[InputProblem]) -> Any:
    if known.name not in raw:
        if not known.optional:
            problems.append(InputProblem(at, None, "missing"))
        return None
    value = raw[known.name]
    if value is None and (known.may_be_null or known.optional):
        return None
    return _read_value(known, value, at, problems)


def _read_value(known: Field, value: object, at: str, problems: list[InputProblem]) -> Any:
    """Return one value, read by its kind; where it does not fit, add a problem and return None."""
    if known.kind in ("numbers", "dates", "rows"):
        return _read_list(known, value, at, problems)
    code = _fault(known, value)
    if code:
        problems.append(InputProblem(at, value, code, _bounds(known)))
        return None
    if known.kind == "date":
        return _as_date(str(value))
    if known.kind == "text":
        return str(value).strip()
    if known.kind == "number":
        return float(value)  # type: ignore[arg-type]
    return int(value) if known.kind == "whole" else value  # type: ignore[call-overload]


def _read_list(known: Field, value: object, at: str, problems: list[InputProblem]) -> tuple[Any, ...]:
    if not isinstance(value, (list, tuple)):
        problems.append(InputProblem(at, value, "not-a-list"))
        return ()
    if not known.least <= len(value) <= known.most:
        # The items of a list that is too long are not read: one problem is enough.
        code = "too-few" if len(value) < known.least else "too-many"
        lengths = {"count": len(value), "least": known.least, "most": known.most}
        problems.append(InputProblem(at, value, code, lengths))
        return ()
    if known.kind == "rows":
        return tuple(_read_object(known.fields, item, f"{at}[{i}]", problems) for i, item in enumerate(value))
    return tuple(_read_item(known, item, f"{at}[{i}]", problems) for i, item in enumerate(value))


def _read_item(known: Field, item: object, at: str, problems: list[InputProblem]) -> Any:
    """Read one item of a plain list; where the declaration has columns, an object says more than a number."""
    if known.fields and isinstance(item, Mapping):
        return _read_object(known.fields, item, at, problems)
    return _read_value(dataclasses.replace(known, kind=ITEMS[known.kind]), item, at, problems)


def _fault(known: Field, value: object) -> str:
    """Return the code of what is wrong with a single value, "" where nothing is."""
    if known.kind == "flag":
        return "" if isinstance(value, bool) else "not-a-flag"
    if known.kind == "choice":
        return "" if isinstance(value, str) and value in known.choices else "not-a-choice"
    if known.kind == "date":
        return _date_fault(value)
    if known.kind == "text":
        return _text_fault(known, value)
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return "not-a-number"
    if isinstance(value, float) and not math.isfinite(value):
        return "not-finite"
    if known.kind == "whole" and value != math.floor(value):
        return "not-whole"
    below = known.low is not None and (value < known.low or (known.low_open and value == known.low))
    above = known.high is not None and value > known.high
    return "out-of-range" if below or above else ""


def _date_fault(value: object) -> str:
    if not isinstance(value, str) or not _DATE.fullmatch(value) or _as_date(value) is None:
        return "not-a-date"
    return "" if FIRST_DATE <= value <= LAST_DATE else "date-out-of-range"


def _text_fault(known: Field, value: object) -> str:
    if not isinstance(value, str):
        return "not-text"
    if _NOT_IN_A_LINE.search(value):
        return "not-one-line"
    length = len(value.strip())
    if length < known.least:
        return "missing"
    return "text-too-long" if length > known.most else ""


def _as_date(text: str) -> date | None:
    """Return the date of a text YYYY-MM-DD, None for a day that no calendar has."""
    from datetime import date  # only dates need it, and on a phone each import delays the start

    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _bounds(known: Field) -> dict[str, object]:
    """Return the limits that the sentence about a date or a text names besides the given value."""
    if known.kind == "date":
        return {"first": FIRST_DATE, "last": LAST_DATE}
    return {"most": known.most} if known.kind == "text" else {}


def closest(given: str, names: Sequence[str]) -> str:
    """Return the name most similar to the given one, "" where none is similar."""
    import difflib  # only a typing mistake needs it, and on a phone each import delays the start

    found = difflib.get_close_matches(
        given[:80].lower().replace("_", "-"), [name.replace("_", "-") for name in names], n=1, cutoff=0.5
    )
    return next((name for name in names if found and name.replace("_", "-") == found[0]), "")

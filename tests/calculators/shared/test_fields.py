"""Inputs are held against their declaration, and every declaration is whole."""

from __future__ import annotations

import inspect
import math
import re
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from calculators.answering import NAMES, module
from calculators.shared.fields import BadInput, Field, InputProblem, Output, closest, read_inputs, rounded


def field(name: str = "x", kind: str = "number", **rules: Any) -> Field:
    """Declare an input of these tests."""
    return Field(name=name, kind=kind, label=name.upper(), help="Told.", **rules)


def problems(fields: tuple[Field, ...], raw: object) -> list[tuple[str, object, str]]:
    """The problems that reading gives, as (field, value, code)."""
    with pytest.raises(BadInput) as caught:
        read_inputs(fields, raw)
    return [(problem.field, problem.value, problem.code) for problem in caught.value.problems]


RANGED = field(low=0.5, high=2)
DAY = field(kind="date")
LINE = field(kind="text", least=1, most=8)
GOOD = [
    (RANGED, 0.5, 0.5),
    (RANGED, 2, 2.0),
    (field(kind="whole", low=-3, high=3), -3, -3),
    (field(kind="whole", low=-3, high=3), 2.0, 2),
    (field(kind="choice", choices=("a", "b")), "b", "b"),
    (field(kind="flag"), False, False),
    (field(may_be_null=True, low=0, high=1), None, None),
    (field(kind="numbers", low=0, high=9, least=1, most=2), [1, 2.5], (1.0, 2.5)),
    (field(kind="rows", least=0, most=2, fields=(RANGED,)), [{"x": 1}], ({"x": 1.0},)),
    (DAY, "2000-01-01", date(2000, 1, 1)),
    (DAY, "2099-12-31", date(2099, 12, 31)),
    (DAY, "2028-02-29", date(2028, 2, 29)),
    (LINE, " T\u00fcr 3 ", "T\u00fcr 3"),
    (LINE, "12345678", "12345678"),
    (field(kind="text", least=0, most=8), "", ""),
    (field(kind="dates", least=0, most=2), [], ()),
    (field(kind="dates", least=0, most=2), ["2026-03-31"], (date(2026, 3, 31),)),
]


@pytest.mark.parametrize(("known", "given", "expected"), GOOD)
def test_good_values(known: Field, given: object, expected: object) -> None:
    """A value within its declaration is read as its type, both ends of the range included."""
    found = read_inputs((known,), {"x": given})
    assert (found, type(found["x"])) == ({"x": expected}, type(expected))


BAD = [
    (RANGED, 0.4999, "out-of-range"),
    (RANGED, 2.001, "out-of-range"),
    (RANGED, 10**400, "out-of-range"),
    (field(low=0, low_open=True, high=1), 0, "out-of-range"),
    (RANGED, math.nan, "not-finite"),
    (RANGED, -math.inf, "not-finite"),
    (RANGED, "1", "not-a-number"),
    (RANGED, True, "not-a-number"),
    (RANGED, None, "not-a-number"),
    (RANGED, [1], "not-a-number"),
    (field(kind="whole", low=0, high=3), 1.5, "not-whole"),
    (field(kind="whole", low=0, high=3), 4, "out-of-range"),
    (field(kind="whole", low=0, high=3), math.inf, "not-finite"),
    (field(kind="choice", choices=("a",)), "A", "not-a-choice"),
    (field(kind="choice", choices=("a",)), [], "not-a-choice"),
    (field(kind="flag"), 0, "not-a-flag"),
    (field(kind="numbers", least=0, most=1), "ab", "not-a-list"),
    (field(kind="numbers", least=1, most=1), [], "too-few"),
    (field(kind="numbers", least=0, most=1), [1, 2], "too-many"),
    (field(kind="rows", least=0, most=1), {}, "not-a-list"),
    *(
        (DAY, wrong, "not-a-date")
        for wrong in (
            "2026-02-29",
            "2026-13-01",
            "20260331",
            "2026-3-31",
            "2026-W05-2",
            "31.03.2026",
            " 2026-03-31",
            "2026-03-31T00:00",
            "\u0662026-03-31",
            "0000-01-01",
            "",
            20260331,
            None,
            True,
        )
    ),
    (DAY, "1999-12-31", "date-out-of-range"),
    (DAY, "2100-01-01", "date-out-of-range"),
    *((LINE, wrong, "not-one-line") for wrong in ("a\nb", "a\tb", "\x00", "\x7f", "a\u2028b", "\ud800")),
    *((LINE, wrong, "not-text") for wrong in (3, None, True, ["a"])),
    (LINE, "", "missing"),
    (LINE, "   ", "missing"),
    (LINE, "123456789", "text-too-long"),
    (field(kind="dates", least=0, most=1), "2026-03-31", "not-a-list"),
    (field(kind="dates", least=0, most=1), ["2026-03-31"] * 2, "too-many"),
]


@pytest.mark.parametrize(("known", "given", "code"), BAD)
def test_bad_values(known: Field, given: object, code: str) -> None:
    """A value outside its declaration is one problem, at its place, with what was given."""
    found = problems((known,), {"x": given})
    assert [(place, kind) for place, _, kind in found] == [("x", code)]
    assert found[0][1] is given


def test_all_problems_are_found_with_their_places() -> None:
    """Reading does not stop at the first problem; a place in a list counts from 0."""
    rows = field("rows", "rows", least=0, most=5, fields=(RANGED, field("y", optional=True, low=0, high=1)))
    raw = {"rows": [{"x": 1}, {"x": 3, "z": 0}, 7], "list": [1, 9], "extra": {}}
    fields = (rows, field("list", "numbers", low=0, high=5, least=0, most=5), field("gone", low=0, high=1))
    assert problems(fields, raw) == [
        ("extra", {}, "unknown-field"),
        ("rows[1].z", 0, "unknown-field"),
        ("rows[1].x", 3, "out-of-range"),
        ("rows[2]", 7, "not-an-object"),
        ("list[1]", 9, "out-of-range"),
        ("gone", None, "missing"),
    ]


def test_a_wrong_date_in_a_list_is_named_by_its_place() -> None:
    """Each item of a list of dates is read as a date, and a column of rows too."""
    rows = field("rows", "rows", least=0, most=2, fields=(DAY,))
    raw = {"days": ["2026-01-01", "2026-02-30"], "rows": [{"x": "2026-1-1"}]}
    assert problems((field("days", "dates", least=0, most=5), rows), raw) == [
        ("days[1]", "2026-02-30", "not-a-date"),
        ("rows[0].x", "2026-1-1", "not-a-date"),
    ]


def test_left_out_and_null_are_not_the_same() -> None:
    """An optional input may be left out; "not measured" must be said, as null."""
    assert read_inputs((field(optional=True, low=0, high=1),), {}) == {"x": None}
    assert problems((field(may_be_null=True, low=0, high=1),), {}) == [("x", None, "missing")]


@pytest.mark.parametrize("raw", [None, [], "text", 3, True])
def test_only_an_object_is_an_input(raw: object) -> None:
    """Anything but a JSON object is one problem of the whole input."""
    assert problems((field(optional=True, low=0, high=1),), raw) == [("", raw, "not-an-object")]


def test_closest() -> None:
    """A typing mistake finds the name meant, an unlike word finds none."""
    names = ("window_low_s", "window_high_s", "runs_s")
    assert [closest(word, names) for word in ("Window-High-S", "windowlow", "runs", "zebra", "")] == [
        "window_high_s",
        "window_low_s",
        "runs_s",
        "",
        "",
    ]


def test_closest_takes_a_part_of_a_name_and_either_dash() -> None:
    """Half a name is enough to guess it, and an underscore is as good as a hyphen."""
    assert closest("time", ("fold_time_s", "zebra")) == "fold_time_s"
    assert [closest(word, ("a____b", "zebra")) for word in ("a____b", "A----B")] == ["a____b", "a____b"]


def test_rounded() -> None:
    """Numbers leave with 12 significant digits, and never as -0."""
    assert (rounded(1 / 3), rounded(2e22 / 3)) == (0.333333333333, 6.66666666667e21)
    assert math.copysign(1, rounded(-0.0)) == 1


def test_bad_input_says_where() -> None:
    """BadInput raised inside Python is named by place and code."""
    bad = BadInput(InputProblem("x", 1, "out-of-range"), InputProblem("y", 2, "missing"))
    assert str(bad) == "x: out-of-range, y: missing"


ORDERING = ("fold-time", "turn-plan", "mainspring-plan", "fold-trend")
"""Calculators that may ask for a turn or a cycle; the others explain or plan, and order neither."""


def flat(fields: tuple[Any, ...]) -> list[Any]:
    """Every declaration, columns of rows included."""
    return [each for known in fields for each in (known, *flat(known.fields))]


@pytest.mark.parametrize("name", NAMES)
def test_inputs_are_declared_whole(name: str) -> None:
    """Each input has words, a kind, and all that its kind needs; a number always has both limits."""
    for known in flat(module(name).INPUTS):
        assert re.fullmatch(r"[a-z][a-z0-9_]*", known.name)
        assert known.label and known.help.endswith(".") and "\n" not in known.help
        ranged = known.low is not None and known.high is not None and known.low < known.high
        assert ranged == (known.kind in ("number", "whole", "numbers")), known.name
        assert bool(known.choices) == (known.kind == "choice"), known.name
        counted = known.kind in ("numbers", "dates", "rows", "text")
        assert (0 <= known.least <= known.most > 0) == counted, known.name
        assert bool(known.fields) == (known.kind == "rows") or known.kind == "numbers", known.name
    assert len({known.name for known in module(name).INPUTS}) == len(module(name).INPUTS)


@pytest.mark.parametrize("name", NAMES)
def test_outputs_are_declared_whole(name: str) -> None:
    """Each output has words and a known kind; every answer has sentences, and cautions if it may order."""
    outputs: tuple[Output, ...] = module(name).OUTPUTS
    kinds = {
        "number",
        "whole",
        "choice",
        "flag",
        "date",
        "text",
        "hazards",
        "sentence",
        "sentences",
        "question",
        "numbers",
        "rows",
    }
    every = flat(outputs)
    assert [each.name for each in every if each.kind not in kinds or not each.label or not each.help] == []
    names = {each.name for each in outputs}
    assert {"headline", "reasons"} <= names
    assert ({"before_turning", "before_cycling"} <= names) == (name in ORDERING)
    assert not {"do_now", "next_action"} & names or name in ORDERING


def docstring_args(text: str) -> dict[str, str]:
    """The Args of a docstring, name by name."""
    block = re.search(r"\n {4}Args:\n(.*?)\n\n", text, re.DOTALL)
    assert block
    joined = re.sub(r"\n {9,}", " ", block[1])
    return dict(line.strip().split(": ", 1) for line in joined.splitlines())


def number_in(limit: float, told: str) -> str:
    """How a limit is written there: with all its digits, or as 1e6."""
    written = f"{Decimal(str(limit)).normalize():f}"
    short = f"{limit:.0e}".replace("e+0", "e").replace("e+", "e")
    return short if float(short) == limit and short in told.split() + told.rstrip(".").split() else written


@pytest.mark.parametrize("name", NAMES)
def test_docstring_tells_what_is_declared(name: str) -> None:
    """Args tells of each argument in order, with limits, columns, lengths or choices as INPUTS has them."""
    calculate, inputs = module(name).calculate, module(name).INPUTS
    args = docstring_args(calculate.__doc__)
    assert list(args) == list(inspect.signature(calculate).parameters)
    assert set(args) == {known.name for known in inputs}
    for known in inputs:
        told = args[known.name]
        for each in flat((known,)):
            limits = [limit for limit in (each.low, each.high) if limit is not None]
            wanted = [number_in(limit, told) for limit in limits]
            wanted += [each.name] if each is not known else []
            wanted += [f"{each.least} to {each.most}"] if each.most else []
            wanted += [*each.choices]
            assert [word for word in wanted if word not in told] == [], f"{known.name}: {told}"


@pytest.mark.parametrize("name", NAMES)
def test_docstrings_are_whole(name: str) -> None:
    """A calculator tells limits and source in its module, and arguments, result, errors and an example."""
    module_text, text = module(name).__doc__, module(name).calculate.__doc__
    assert [part for part in ("Limits:", "Source:") if part not in module_text] == []
    assert [part for part in ("Args:", "Returns:", "Raises:", "Example:", ">>> ") if part not in text] == []

"""How a number is rounded and written for a person: one rule, the same in Python and JavaScript."""

from __future__ import annotations

import json
import random
import re
import shutil
import struct
import subprocess
from decimal import ROUND_HALF_UP, Context, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_tools.places import BROWSER, PROJECT
from build_tools.shown.shown_numbers import shown_number
from calculators.answering import run
from calculators.shared.decimal_text import fixed, marked, plain, short, significant
from calculators.shared.words import read_words

WORDS = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
PAGE = BROWSER / "page"
SCRIPT = PAGE / "shared" / "decimal_text.js"
HALVES = st.builds(
    lambda count, places: count / 10**places,
    st.integers(-(10**8), 10**8).map(lambda n: 10 * n + 5),
    st.integers(1, 9),
)
"""Numbers whose text ends in 5, where one digit less is a tie."""
NUMBERS = st.one_of(HALVES, st.floats(allow_nan=False, allow_infinity=False), st.integers(-(10**6), 10**6))
TOLD = (
    *(18.125, 18.135, 0.5, 1.5, 2.5, 0.125, 1.125, 1.005, 2.675, 12.5, 9.995, 0.045, 0.000244140625),
    *(0, 1, 40, 999.5, 99999.5, 1234567890.125, 1234567890123.125, 18.12499999999996, 0.1 + 0.2),
    *(5e-324, 1e-7, 1.5e-5, 9.9999999999995e-5, 0.0001),
    *(999999999999.5, 1e12, 2.5e13, 1e21, 1e22, 1.7976931348623157e308),
)
"""Ties as text and in binary, zero, whole numbers, carries, noise of the arithmetic, exponents, both ends."""


def by_decimal(value: float, digits: int) -> Decimal:
    """The standard library's decimal arithmetic on a number's shortest text: 12 digits, then so many."""
    number = Decimal(repr(value))
    for precision in (max(12, digits), digits):
        number = Context(prec=precision, rounding=ROUND_HALF_UP, Emin=-999, Emax=999).plus(number)
    return number


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (18.125, 2, "18.13"),
        (-18.125, 2, "-18.13"),
        (1.005, 2, "1.01"),
        (0.5, 0, "1"),
        (2.5, 0, "3"),
        (0.49, 0, "0"),
        (-0.5, 0, "-1"),
        (-0.04, 1, "0.0"),
        (-0.0, 0, "0"),
        (9.995, 2, "10.00"),
        (0.995, 2, "1.00"),
        (18.12499999999996, 2, "18.13"),
        (18.1249999999, 2, "18.12"),
        (1e-9, 2, "0.00"),
        (1.5e22, 1, "15000000000000000000000.0"),
        (7, 1, "7.0"),
        (1234.5, 2, "1234.50"),
    ],
)
def test_so_many_decimals(value: float, decimals: int, text: str) -> None:
    """A half goes away from zero, what is beyond 12 digits is noise, and what rounds to 0 has no minus."""
    assert fixed(value, decimals) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (1.125, 3, "1.13"),
        (-1.125, 3, "-1.13"),
        (1.2, 3, "1.20"),
        (12345.678, 3, "12300"),
        (9.996, 3, "10.0"),
        (999.5, 3, "1000"),
        (0.0012345, 3, "0.00123"),
        (1.5e-7, 3, "0.000000150"),
        (2.5e22, 1, "30000000000000000000000"),
        (-0.0, 3, "0"),
    ],
)
def test_so_many_significant_digits(value: float, digits: int, text: str) -> None:
    """Zeros at the end count, also where a carry makes the number one place longer; never an exponent."""
    assert significant(value, digits) == text


@pytest.mark.parametrize(
    ("value", "without", "with_exponent"),
    [
        (16.4, "16.4", "16.4"),
        (18.0, "18", "18"),
        (-2, "-2", "-2"),
        (-0.0, "0", "0"),
        (1200.0, "1200", "1200"),
        (0.0001, "0.0001", "0.0001"),
        (-1.5e-7, "-0.00000015", "-1.5e-7"),
        (999999999999.5, "1000000000000", "1e+12"),
        (2.5e13, "25000000000000", "2.5e+13"),
        (0.1 + 0.2, "0.3", "0.3"),
        (1234567890.125, "1234567890.13", "1234567890.13"),
        (float("inf"), "inf", "inf"),
    ],
)
def test_the_digits_a_number_has(value: float, without: str, with_exponent: str) -> None:
    """At most 12 of them, no needless zero, and an exponent only where it is asked for and far from 1."""
    assert (plain(value), short(value)) == (without, with_exponent)


def test_signs_are_the_languages() -> None:
    """The decimal mark, a minus that is one, and exponents as powers of ten."""
    assert marked("-18.13", ",") == "\u221218,13"
    assert [marked(text, ".") for text in ("-1.5e-7", "2.5e+13", "7")] == [
        "\u22121.5 × 10⁻⁷",
        "2.5 × 10¹³",
        "7",
    ]


@given(NUMBERS, st.integers(0, 9))
def test_decimals_as_by_decimal_arithmetic(value: float, decimals: int) -> None:
    """The standard library's decimal numbers, rounded half up from the same text, are the same number."""
    kept = by_decimal(value, 12)
    unit = Decimal(1).scaleb(-decimals)
    wanted = kept.quantize(unit, ROUND_HALF_UP, Context(prec=400))
    text = fixed(value, decimals)
    assert Decimal(text) == wanted
    assert len(text.partition(".")[2]) == decimals
    assert not re.fullmatch(r"-[0.]+", text)


@given(NUMBERS, st.integers(1, 17))
def test_digits_as_by_decimal_arithmetic(value: float, digits: int) -> None:
    """So are numbers of so many significant digits, however they are written."""
    wanted = by_decimal(value, digits)
    assert Decimal(significant(value, digits)) == Decimal(plain(value, digits)) == wanted
    assert Decimal(short(value)) == by_decimal(value, 12)


def in_node(numbers: list[float]) -> list[list[str]]:
    """The page's own module on each number, run by Node.js: every shape that `in_python` gives."""
    asks = """
        import { readFileSync } from "node:fs";
        const counts = [0, 1, 2, 3, 6, 9];
        const shapes = (x) => [
            ...counts.map((n) => fixed(x, n)), ...counts.map((n) => significant(x, n + 1)),
            ...counts.map((n) => plain(x, n + 1)), plain(x, 15), plain(x), short(x), marked(short(x), ","),
        ];
        console.log(JSON.stringify(JSON.parse(readFileSync(0, "utf-8")).map(shapes)));
    """
    command = ["node", "--input-type=module", "--eval", SCRIPT.read_text(encoding="utf-8") + asks]
    done = subprocess.run(
        command, input=json.dumps(numbers), capture_output=True, text=True, encoding="utf-8", check=True
    )
    found: list[list[str]] = json.loads(done.stdout)
    return found


def in_python(x: float) -> list[str]:
    """Each shape of a number: decimals, significant digits, at most so many, exponents, signs."""
    counts = (0, 1, 2, 3, 6, 9)
    return [
        *(fixed(x, n) for n in counts),
        *(significant(x, n + 1) for n in counts),
        *(plain(x, n + 1) for n in counts),
        *(plain(x, 15), plain(x), short(x), marked(short(x), ",")),
    ]


def sample() -> list[float]:
    """The told numbers and, by a seed, ties in hundredths, binary fractions and any float; of both signs."""
    chance = random.Random(20261130)
    ties = [(2 * chance.randrange(10**6) + 1) / 200 for _ in range(1000)]
    binary = [chance.randrange(1, 2**20) / 2 ** chance.randrange(1, 20) for _ in range(1000)]
    any_bits = [struct.unpack("<d", chance.randbytes(8))[0] for _ in range(2000)]
    numbers = [*TOLD, *ties, *binary, *(x for x in any_bits if abs(x) < float("inf"))]
    return [*numbers, *(-x for x in numbers)]


@pytest.mark.skipif(shutil.which("node") is None, reason="Node.js is not installed")
def test_javascript_writes_every_number_alike() -> None:
    """The page's module gives the same text for ties, minus signs, exponents, huge and tiny numbers."""
    numbers = sample()
    there = in_node(numbers)
    assert len(there) == len(numbers) > 7000
    differing = [
        (x, in_python(x), texts) for x, texts in zip(numbers, there, strict=True) if in_python(x) != texts
    ]
    assert differing == []


def test_a_sentence_and_a_result_line_say_the_same() -> None:
    """Runs of 18.10 and 18.15 s have a mean of 18.125 s: the sentence and the result line say 18.13."""
    question = {
        "runs_s": [18.10, 18.15],
        "window_low_s": 18,
        "window_high_s": 20,
        "timing_uncertainty_s": 0.15,
    }
    answer = json.loads(run("fold-time", json.dumps({**question, "confidence": 0.95}), WORDS))
    assert answer["mean_s"] == 18.125
    assert answer["reasons"][0]["text"].startswith("Mean of 2 runs 18.13 s, ")
    assert shown_number(answer["mean_s"], "fixed:2", WORDS) == "18.13"


@pytest.mark.parametrize(
    ("value", "way", "text"),
    [
        (0.125, "percent", "13 %"),
        (0.285, "percent", "29 %"),
        (-3, "signed", "\u22123"),
        (3, "signed", "+3"),
        (0, "signed", "0"),
        (-3, "whole", "\u22123"),
        (-1.125, "significant:3", "\u22121.13"),
        (-0.004, "fixed:2", "0.00"),
    ],
)
def test_a_result_keeps_the_rule(value: float, way: str, text: str) -> None:
    """Percent, settings, whole numbers and quantities are rounded and signed alike."""
    assert shown_number(value, way, WORDS) == text


def test_no_other_script_rounds_or_signs_a_number() -> None:
    """JavaScript's own ways of rounding keep another rule, so that no script of a page uses them."""
    own = re.compile(r"\.(?:toFixed|toPrecision|toExponential)\(|Intl\.NumberFormat|decimal-mark")
    found = {path.name for path in PAGE.rglob("*.js") if own.search(path.read_text(encoding="utf-8"))}
    assert found == {"words.js"}  # which knows the language's decimal mark and hands it on


def test_no_other_python_signs_a_number() -> None:
    """A hyphen becomes a minus sign, and a point a decimal mark, in one module alone."""
    own = re.compile(r"""replace\(["']-["'], *(?:MINUS|["'](?:\\u2212|−))|replace\(["']\.["']""")
    files = [path for folder in ("calculators", "build_tools") for path in (PROJECT / folder).rglob("*.py")]
    found = {path.name for path in files if own.search(path.read_text(encoding="utf-8"))}
    assert len(files) > 100
    assert found == {"decimal_text.py"}

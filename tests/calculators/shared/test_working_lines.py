"""How one line of a working is said: digits, minus signs, powers of ten, sums and brackets."""

from __future__ import annotations

import math

import pytest

from calculators.shared.working_lines import line, line_text, shown


def said(sentence: str, *, decimal_mark: str = ".", **values: object) -> str:
    """One sentence with its blanks filled in."""
    return line_text(line("test", **values), {"test": sentence, "decimal-mark": decimal_mark})


def test_a_number_is_shown_with_five_digits_or_as_many_as_asked() -> None:
    """Rounded to significant digits, small numbers too, and never as minus nothing."""
    assert (shown(1.23456789), shown(123456.7), shown(-0.000123456)) == (1.2346, 123460.0, -0.00012346)
    assert (shown(1.23456789, 7), shown(9.9999999)) == (1.234568, 10.0)
    assert math.copysign(1, shown(-0.0)) == 1


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (16.4, "16.4"),
        (-2, "\u22122"),
        (0.0, "0"),
        (1e-7, "1 × 10⁻⁷"),
        (-1.5e-7, "\u22121.5 × 10⁻⁷"),
        (2.5e13, "2.5 × 10¹³"),
        (123456789012.0, "123456789012"),
        (1.23456789012345, "1.23456789012"),
        ("2026-03-01", "2026-03-01"),
        ([16.4, -1, 1e-7], "16.4 + \u22121 + 1 × 10⁻⁷"),
        ((1, 2), "1 + 2"),
    ],
)
def test_each_kind_of_value(value: object, text: str) -> None:
    """Numbers with a minus that is one and powers of ten, lists as sums, texts as they stand."""
    assert said("{x}", x=value) == text


def test_a_decimal_mark_is_the_languages() -> None:
    """The mark stands in single numbers, in sums and before powers of ten; without one it is a point."""
    assert said("{x}; {y}; {z}", decimal_mark=",", x=1.5, y=[0.5, 2], z=-1.5e-7) == (
        "1,5; 0,5 + 2; \u22121,5 × 10⁻⁷"
    )
    assert line_text(line("test", x=1.5), {"test": "{x}"}) == "1.5"


@pytest.mark.parametrize(
    ("value", "text"), [(3, "1 − 3"), (0, "1 − 0"), (0.5, "1 − 0.5"), (-2, "1 − (\u22122)"), ("b", "1 − (b)")]
)
def test_brackets_round_one_number_are_kept_below_0(value: object, text: str) -> None:
    """What is not below 0 needs none, and a text is left as the sentence has it."""
    assert said("1 − ({x})", x=value) == text


def test_brackets_that_belong_to_a_function_stay() -> None:
    """A root or a cosine keeps its own brackets."""
    assert said("√({x}) cos({x})", x=4) == "√(4) cos(4)"


@pytest.mark.parametrize(
    ("value", "text"), [(2, "2² + 1 / 2 + 2"), (1e-7, "(1 × 10⁻⁷)² + 1 / (1 × 10⁻⁷) + 1 × 10⁻⁷")]
)
def test_a_power_of_ten_is_bracketed_where_it_is_raised_or_divided_by(value: float, text: str) -> None:
    """Elsewhere, and for plain numbers, no bracket is needed."""
    assert said("{x}² + 1 / {x} + {x}", x=value) == text


def test_a_line_may_hold_a_line() -> None:
    """A value that is a line is said in its place, in the same words."""
    words = {"outer": "It is {state}.", "inner": "level at {x}", "decimal-mark": ","}
    assert line_text(line("outer", state=line("inner", x=0.5)), words) == "It is level at 0,5."


def test_a_sentence_that_is_not_there_is_named() -> None:
    """A code without a sentence stops with its name, not with an empty line."""
    with pytest.raises(LookupError, match=r"^the words file has no sentence 'gone'$"):
        line_text(line("gone"), {})

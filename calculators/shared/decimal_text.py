"""A number as decimal text: the one rule of rounding what is shown, and the one place that sets its signs.

The rule: a number is rounded as a person rounds it on paper. Its shortest decimal text is rounded to the 12
significant digits with which numbers leave a calculator, and that to the digits that are shown; a half goes
away from zero. So 18.125 is shown as 18.13 and -18.125 as -18.13, and what rounds to 0 has no minus sign.

browser/page/shared/decimal_text.js keeps the same rule. Both count in whole numbers of any length, where
format() rounds the binary number and ties to even, and JavaScript's toFixed() the binary number and ties up.
"""

from __future__ import annotations

import math
import re

DIGITS = 12
"""Significant digits with which numbers leave a calculator: what is smaller is noise of the arithmetic."""
MINUS = "\u2212"
_POWER = re.compile(r"e([+-]\d+)")
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def fixed(value: float, decimals: int, kept: int = DIGITS) -> str:
    """Return a number with so many decimals: "18.13". It is rounded to `kept` significant digits before."""
    if not math.isfinite(value):
        return str(value)
    return _signed(value, _text(*_cut(*_whole(value), kept), decimals))


def significant(value: float, digits: int) -> str:
    """Return a number with so many significant digits, zeros at its end too: "1.20", "12300"; 0 is "0"."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    count, power = _rounded(value, digits)
    return _signed(value, _text(count, power, max(0, digits - _length(count) - power)))


def plain(value: float, digits: int = DIGITS) -> str:
    """Return a number in at most so many significant digits, with no needless zero and no exponent."""
    if not math.isfinite(value):
        return str(value)
    count, power = _rounded(value, digits)
    return _signed(value, _bare(_text(count, power, max(0, -power))))


def short(value: float) -> str:
    """Return what plain() does, but with an exponent below 0.0001 and from 10 to the 12th up: "1.5e-7"."""
    if not math.isfinite(value):
        return str(value)
    count, power = _rounded(value, DIGITS)
    decimals = _length(count) - 1
    lead = power + decimals
    if count == 0 or -4 <= lead < DIGITS:
        return plain(value)
    return f"{_signed(value, _bare(_text(count, -decimals, decimals)))}e{lead:+d}"


def marked(text: str, mark: str) -> str:
    """Set a number's text as it is read: the language's decimal mark, a minus sign, a power of ten."""
    raised = _POWER.sub(lambda power: f" × 10{str(int(power[1])).translate(_RAISED)}", text)
    return raised.replace("-", MINUS).replace(".", mark)


def _whole(value: float) -> tuple[int, int]:
    """Return the size of a number as its shortest text has it, a count of a power of ten: 18125, -3."""
    digits, _, power = repr(abs(value)).partition("e")
    before, _, after = digits.partition(".")
    return int(before + after), int(power or 0) - len(after)


def _rounded(value: float, digits: int) -> tuple[int, int]:
    return _cut(*_cut(*_whole(value), max(digits, DIGITS)), digits)


def _cut(count: int, power: int, digits: int) -> tuple[int, int]:
    """Round a count to so many significant digits."""
    return _to_power(count, power, _length(count) + power - digits)


def _to_power(count: int, power: int, least: int) -> tuple[int, int]:
    """Round a count so that its last digit stands at a power of ten or above; a half goes up."""
    if least <= power:
        return count, power
    unit = 10 ** (least - power)
    return (count + unit // 2) // unit, least


def _text(count: int, power: int, decimals: int) -> str:
    """Write a count of a power of ten with so many decimals."""
    count, power = _to_power(count, power, -decimals)
    digits = str(count * 10 ** (power + decimals)).rjust(decimals + 1, "0")
    return f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits


def _length(count: int) -> int:
    return len(str(count))


def _bare(text: str) -> str:
    return text.rstrip("0").removesuffix(".") if "." in text else text


def _signed(value: float, text: str) -> str:
    return f"-{text}" if value < 0 and text.strip("0.") else text

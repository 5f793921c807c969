"""How many digits of a result a person sees; the same rules stand in browser/page/answer/shown_numbers.js.

How they are rounded, and with which signs they are written, is said in calculators/shared/decimal_text.py.
"""

from __future__ import annotations

from collections.abc import Mapping

from calculators.shared.decimal_text import fixed, marked, plain, significant
from calculators.shared.words import DECIMAL_MARK, say

_KINDS = {"choice": "words", "flag": "flag", "date": "date", "text": "text", "sentence": "text"}
_DIGITS = {"s": "fixed:2", "N": "fixed:0", "lbf": "fixed:1", "half turn": "signed"}


def way_of_showing(name: str, unit: str, kind: str) -> str:
    """Return a result's rule: fixed:2, significant:3, percent, signed, whole, words, flag, date, text."""
    if kind in _KINDS:
        return _KINDS[kind]
    if name.startswith("probability"):
        return "percent"
    if unit in _DIGITS:
        return _DIGITS[unit]
    return "whole" if kind == "whole" else "significant:3"


def shown_number(value: float, way: str, words: Mapping[str, str]) -> str:
    """Return a number by one of the rules, with the language's decimal mark; for numbers alone."""
    if way == "percent":
        return _percent(value, words)
    return marked(_digits(value, way), words[DECIMAL_MARK])


def _digits(value: float, way: str) -> str:
    if way in ("signed", "whole"):
        return f"{'+' if way == 'signed' and value > 0 else ''}{plain(value)}"
    rule, digits = way.split(":")
    return fixed(value, int(digits)) if rule == "fixed" else significant(value, int(digits))


def _percent(value: float, words: Mapping[str, str]) -> str:
    """Return a probability in percent; nothing is ever 0 % or 100 % sure."""
    if value > 0.99:
        return say(words, "page.percent.over", {"percent": 99})
    if value < 0.01:
        return say(words, "page.percent.under", {"percent": 1})
    return say(words, "page.percent.plain", {"percent": fixed(value * 100, 0)})

"""How many digits of a result a person sees; the same rules stand in browser/page/answer/shown_numbers.js."""

from __future__ import annotations

from collections.abc import Mapping

from calculators.shared.words import say

_KINDS = {"choice": "words", "flag": "flag", "date": "date", "text": "text", "sentence": "text"}
_DIGITS = {"s": "fixed:2", "N": "fixed:0", "lbf": "fixed:1", "half turn": "signed"}


def way_of_showing(name: str, unit: str, kind: str) -> str:
    """Give the rule for a result: fixed:2, significant:3, percent, signed, whole, words, flag, date, text."""
    if kind in _KINDS:
        return _KINDS[kind]
    if name.startswith("probability"):
        return "percent"
    if unit in _DIGITS:
        return _DIGITS[unit]
    return "whole" if kind == "whole" else "significant:3"


def shown_number(value: float, way: str, words: Mapping[str, str]) -> str:
    """Give a number by one of the rules, with the language's decimal mark; for numbers alone."""
    if way == "percent":
        return _percent(value, words)
    if way == "signed":
        return f"{value:+d}".replace("-", "\u2212") if value else "0"
    if way == "whole":
        return f"{value:d}".replace("-", "\u2212")
    rule, digits = way.split(":")
    text = f"{value:.{digits}f}" if rule == "fixed" else _significant(value, int(digits))
    return text.replace("-", "\u2212").replace(".", words["decimal-mark"])


def _percent(value: float, words: Mapping[str, str]) -> str:
    """Give a probability in percent; nothing is ever 0 % or 100 % sure."""
    if value > 0.99:
        return say(words, "page.percent.over", {"percent": 99})
    if value < 0.01:
        return say(words, "page.percent.under", {"percent": 1})
    return say(words, "page.percent.plain", {"percent": f"{value * 100:.0f}"})


def _significant(value: float, digits: int) -> str:
    """Give so many significant digits without an exponent for the sizes that calculators give."""
    if value == 0:
        return "0"
    text = f"{value:.{digits - 1}e}"
    decimals = max(0, digits - 1 - int(text.partition("e")[2]))
    return f"{float(text):.{decimals}f}"

"""Lines of a working: a formula with the numbers of one input put in, as data, and how it is said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from calculators.shared.decimal_text import marked, short, significant
from calculators.shared.words import DECIMAL_MARK, say

Line = dict[str, Any]
"""{"code", "values"}: values are numbers as they are to be shown, texts, lists of numbers, further lines."""

DIGITS = 5
"""Significant digits of a worked-out number: enough to follow it with a pocket calculator."""
_IN_BRACKETS = re.compile(r"(?<![√\w])\(\{([a-z0-9_]+)\}\)")
_IN_A_POWER = re.compile(r"(?:(?<=/ )\{(?=\w)|\{(?=\w+\}[²³⁴]))([a-z0-9_]+)\}")


def shown(value: float, digits: int = DIGITS) -> float:
    """Return a worked-out number as it is shown: rounded to its significant digits."""
    return float(significant(value, digits))


def line(code: str, **values: object) -> Line:
    """Return one line as data."""
    return {"code": code, "values": values}


def line_text(written: Line, words: Mapping[str, str]) -> str:
    """Say one line. LookupError for a code that the words have not.

    Lists of numbers become sums, exponents powers of ten, and hyphens before numbers minus signs, with the
    language's decimal mark. Brackets round one number are kept only where it is below 0, and set where a
    power of ten is raised or divided by.
    """
    code, values = written["code"], written["values"]
    if code not in words:
        raise LookupError(f"the words file has no sentence {code!r}")

    def bare(blank: re.Match[str]) -> str:
        value = values.get(blank[1])
        return blank[0][1:-1] if isinstance(value, (int, float)) and value >= 0 else blank[0]

    def whole(blank: re.Match[str]) -> str:
        return f"({blank[0]})" if "×" in str(texts[blank[1]]) else blank[0]

    texts = {name: _value(value, words) for name, value in values.items()}
    sentence = _IN_A_POWER.sub(whole, _IN_BRACKETS.sub(bare, words[code]))
    return say({**words, code: sentence}, code, texts)


def _value(value: object, words: Mapping[str, str]) -> object:
    if isinstance(value, (list, tuple)):
        return " + ".join(_number(each, words) for each in value)
    if isinstance(value, dict):
        return line_text(value, words)
    return _number(value, words) if isinstance(value, (int, float)) else value


def _number(value: float, words: Mapping[str, str]) -> str:
    return marked(short(value), words.get(DECIMAL_MARK, "."))

"""Sentences by code: how the words file is read, and how a sentence is filled with values."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from calculators.shared.decimal_text import fixed, marked, short

DECIMAL_MARK = "decimal-mark"
_LINE = re.compile(r'([a-z0-9][a-z0-9_.-]*): +(".*")(?: +#.*)?')
_BLANK = re.compile(r"\{([a-z][a-z0-9_]*)(?::\.(\d)f)?\}")


def read_words(text: str) -> dict[str, str]:
    """Read a words file: each line `code: "sentence"`, a JSON string and so YAML too; `#` starts a comment.

    Args:
        text: the whole file.

    Returns:
        The sentences by code, in the file's order.

    Raises:
        ValueError: a line of any other shape, a code that stands twice, or a brace that is no {value}; the
            message starts with the line number.
    """
    words: dict[str, str] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        line = line.strip()
        if not line or line.startswith("#"):
            continue
        code, sentence = _read_line(number, line)
        if code in words:
            raise ValueError(f"line {number}: {code} stands twice")
        words[code] = sentence
    return words


def _read_line(number: int, line: str) -> tuple[str, str]:
    parts = _LINE.fullmatch(line)
    if parts is None:
        raise ValueError(f'line {number}: expected  code: "sentence"  but found {line[:60]!r}')
    try:
        sentence = str(json.loads(parts[2]))
    except ValueError as slip:
        raise ValueError(f"line {number}: the sentence of {parts[1]} is no closed string: {slip}") from None
    if re.search(r"[{}]", _BLANK.sub("", sentence)):
        raise ValueError(f"line {number}: {parts[1]} has a brace that is not a {{value}} or {{value:.1f}}")
    return parts[1], sentence


def say(words: Mapping[str, str], code: str, values: Mapping[str, object]) -> str:
    """Fill the sentence of a code with values.

    Args:
        words: sentences by code, with the decimal mark under "decimal-mark".
        code: which sentence.
        values: what its braces name; {mean_s:.1f} gives a number one decimal, {mean_s} the digits it has,
            rounded and set as decimal_text does.

    Returns:
        The sentence.

    Raises:
        LookupError: an unknown code, or a value that the sentence names and that was not given.
    """
    if code not in words:
        raise LookupError(f"the words file has no sentence {code!r}")
    mark = words.get(DECIMAL_MARK, ".")

    def fill(blank: re.Match[str]) -> str:
        name, decimals = blank[1], blank[2]
        if name not in values:
            raise LookupError(f"the sentence {code!r} names {name!r}, which was not given")
        value = values[name]
        if not isinstance(value, (int, float)):
            return str(value)
        return marked(fixed(value, int(decimals)) if decimals else short(value), mark)

    return _BLANK.sub(fill, words[code])

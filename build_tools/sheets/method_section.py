"""The folded part of a work sheet that says how it works: formula, limits, source, inputs, results."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from markupsafe import Markup, escape

from build_tools.sheets.given import asked
from build_tools.sheets.method import FormulaLine, Method, MethodPart, method_of
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from calculators import answering
from calculators.shared.decimal_text import MINUS, marked, plain
from calculators.shared.fields import Field, Output
from calculators.shared.words import DECIMAL_MARK

_SYMBOLS = (
    (r"-/\+", "∓"),
    (r"\bsqrt(?=\()", "√"),
    (r"\bpi\b", "π"),
    (r"\bnu\b", "ν"),
    (r"\bchi\b", "χ"),
    (r"(?<=\s)-(?=\s)", MINUS),
    (r"(?<![\w-])-(?=\w)", MINUS),
)
"""What replaces the plain letters of the docstrings on a page."""
_FORMULA_SYMBOLS = (*_SYMBOLS, (r"\bsum\b", "Σ"))
"""The same for formulas, in which "sum" is no word."""
_EQUALS = re.compile(r"(?:or +)?[^\s=,;]+(?:,? [^\s=,;]+)? *=")
_POWER = re.compile(r"\^(-?\w+)")
DOCSTRING_LANGUAGE = "en"


def method_section(words: SheetWords) -> Markup:
    """Return the method of the words' calculator.

    Raises:
        MethodMissing: its docstrings lack a part.
    """
    module = answering.module(words.name)
    method = method_of(module)
    return tag(
        "details",
        tag("summary", words.say("page.method")),
        tag("div", *_texts(method, words), lang=DOCSTRING_LANGUAGE) if _is_read_in(words) else None,
        _table(words.say("page.method.inputs"), asked(module.INPUTS), words),
        _table(words.say("page.method.results"), module.OUTPUTS, words),
        class_="ht-method",
        data_part="method",
        data_search_exclude=True,
    )


def _is_read_in(words: SheetWords) -> bool:
    """Return whether the book is in the docstrings' language; in other languages there are tables alone."""
    return words.registers.language.partition("-")[0] == DOCSTRING_LANGUAGE


def _texts(method: Method, words: SheetWords) -> Iterator[Markup]:
    yield tag("p", method.question, class_="ht-method-question")
    for part in method.parts:
        yield _part(part)
    for name, text in (("limits", method.limits), ("source", method.source), ("example", method.example)):
        yield tag("h5", words.say(f"page.method.{name}"), class_="ht-method-part")
        yield tag("p", _set(text), data_method=name)


def _part(part: MethodPart) -> Markup:
    if part.text:
        return tag("p", _set(part.text))
    return tag("div", *(_line(line) for line in part.formula), class_="ht-formula", data_method="formula")


def _line(line: FormulaLine) -> Markup:
    """Return one line: formulas as code, notes as text, and a name for what follows in bold."""
    is_term = bool(line.further) and "=" not in line.first and not _is_formula(line.first)
    first = tag("strong", line.first) if is_term else _formula(line.first)
    further = [
        _formula(text) if _is_formula(text) else tag("span", _set(text), class_="ht-formula-note")
        for text in line.further
    ]
    return tag("p", first, *(piece for each in further for piece in (" ", each)))


def _is_formula(text: str) -> bool:
    """Return whether a text begins "name =" or is an interval; a note may have an equals sign later on."""
    return bool(_EQUALS.match(text)) or "-/+" in text


def _formula(text: str) -> Markup:
    return tag("code", _set(text, _FORMULA_SYMBOLS))


def _set(text: str, symbols: Sequence[tuple[str, str]] = _SYMBOLS) -> Markup:
    """Return a docstring's text with its symbols: Greek letters, minus and root, raised powers."""
    for letters, symbol in symbols:
        text = re.sub(letters, symbol, text)
    return Markup(_POWER.sub(r"<sup>\1</sup>", str(escape(text))))


def _table(title: str, fields: Sequence[Field | Output], words: SheetWords) -> Markup:
    rows = [_row(field, path, words) for field, path in _with_parts(fields, "")]
    return tag("table", tag("caption", title), tag("tbody", *rows))


def _with_parts(fields: Sequence[Field | Output], at: str) -> Iterator[tuple[Field | Output, str]]:
    """Yield (field, path) for each field, with a list's columns after the list."""
    for field in fields:
        yield field, f"{at}{field.name}"
        yield from _with_parts(field.fields, f"{at}{field.name}.")


def _row(field: Field | Output, path: str, words: SheetWords) -> Markup:
    help_ = words.help(field, path)
    allowed = _allowed(field, words) if isinstance(field, Field) else _in_unit(field, words)
    wire = Markup("_<wbr>").join(field.name.split("_"))
    name = joined(words.label(field, path), " ", tag("code", wire))
    description = (help_, " ", allowed) if allowed else (help_,)
    return tag("tr", tag("th", name, scope="row"), tag("td", *description), data_method_row=path)


def _allowed(field: Field, words: SheetWords) -> str:
    """Return the declared range in the formula's own unit, "" where an end is open."""
    if field.low is None or field.high is None:
        return ""
    code = "page.range.above-to" if field.low_open else "page.range.from-to"
    return words.say(code, low=_number(field.low, words), high=_number(field.high, words) + _unit(field))


def _in_unit(field: Field | Output, words: SheetWords) -> str:
    return words.say("page.method.unit", unit=field.unit) if _unit(field) else ""


def _unit(field: Field | Output) -> str:
    return (
        f" {field.unit}" if field.unit not in ("", "1", "half turn") else ""
    )  # a setting's name has its unit


def _number(value: float, words: SheetWords) -> str:
    """Return the end of a range, without an exponent whatever its size."""
    return marked(plain(value), words.registers.words[DECIMAL_MARK])

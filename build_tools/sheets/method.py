"""The method of a calculator as a reader sees it, read from its docstrings, so that it is written once.

A module's docstring is a question, then text and formulas (indented lines), then "Limits:" and "Source:". The
docstring of calculate() has an "Example:". Its prose says where the numbers come from; its lines of Python
are a test and are not shown.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Sequence
from dataclasses import dataclass
from types import ModuleType

INDENT = "    "
_HEADS = ("Limits:", "Source:")
_PIECES = re.compile(r" {3,}")


class MethodMissing(ValueError):
    """A docstring lacks a part that a reader needs; the message names the part and the module."""


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """One line of a formula, and what is further right on that line: more formulas, or notes."""

    first: str
    further: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MethodPart:
    """A paragraph or the lines of a formula; the other of the two is empty."""

    text: str = ""
    formula: tuple[FormulaLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Method:
    """What the docstrings of a calculator say. Texts are paragraphs without line ends."""

    question: str
    parts: tuple[MethodPart, ...]
    limits: str
    source: str
    example: str


def method_of(module: ModuleType) -> Method:
    """Return a calculator's method, read from its docstrings.

    Raises:
        MethodMissing: a part is missing.
    """
    question, *rest = _paragraphs(inspect.cleandoc(module.__doc__ or ""), module)
    starts = [i for i, paragraph in enumerate(rest) if paragraph.startswith(_HEADS)]
    if [rest[i].split()[0] for i in starts] != list(_HEADS):
        raise MethodMissing(f"{module.__name__}: the docstring needs 'Limits:' and then 'Source:', once each")
    limits, source = rest[starts[0] : starts[1]], rest[starts[1] :]
    return Method(
        question=_flowing(question),
        parts=tuple(_part(paragraph) for paragraph in rest[: starts[0]]),
        limits=_section_text(limits),
        source=_section_text(source),
        example=_example(module),
    )


def _paragraphs(docstring: str, module: ModuleType) -> list[str]:
    paragraphs = [paragraph for paragraph in re.split(r"\n\s*\n", docstring) if paragraph.strip()]
    if not paragraphs:
        raise MethodMissing(f"{module.__name__}: there is no docstring")
    return paragraphs


def _part(paragraph: str) -> MethodPart:
    lines = paragraph.splitlines()
    if not all(line.startswith(INDENT) for line in lines):
        return MethodPart(text=_flowing(paragraph))
    pieces = [_PIECES.split(line.strip()) for line in lines]
    return MethodPart(formula=tuple(FormulaLine(first, tuple(further)) for first, *further in pieces))


def _section_text(paragraphs: Sequence[str]) -> str:
    """Return paragraphs as one, without the word before the first colon, with a capital letter first."""
    text = _flowing(" ".join(paragraphs)).partition(": ")[2]
    return text[:1].upper() + text[1:]


def _example(module: ModuleType) -> str:
    """Return the prose of the example in calculate()'s docstring."""
    docstring = inspect.getdoc(module.calculate) or ""
    example = docstring.partition("Example:\n")[2]
    prose = example.partition(">>>")[0].strip()
    if not prose or ">>>" not in example:
        raise MethodMissing(f"{module.__name__}: calculate() needs an Example with prose and a worked answer")
    return _flowing(prose)


def _flowing(text: str) -> str:
    return " ".join(text.split())

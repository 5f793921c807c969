"""What an author did that the book cannot use: file, line, what, why and what to write instead."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True, slots=True)
class Problem:
    """One mistake. `file` is relative to the project, `line` counts from 1 in the raw file.

    A warning is shown with the rest but never stops a build.
    """

    file: str
    line: int
    what: str
    why: str
    fix: str
    warning: bool = False

    def text(self) -> str:
        """Return the three lines that a person reads."""
        prefix = "warning: " if self.warning else ""
        return f"{self.file}:{self.line}: {prefix}{self.what}\n  why: {self.why}\n  fix: {self.fix}"


def render(problems: Iterable[Problem]) -> str:
    """Return all problems as text, each once, sorted by file and line, their count last; "" for none."""
    unique = sorted(set(problems))
    if not unique:
        return ""
    return "\n".join([*(problem.text() for problem in unique), closing(unique)])


def closing(problems: Iterable[Problem]) -> str:
    """Return the one line that ends what any command says of problems, such as "2 mistakes, 1 warning"."""
    unique = set(problems)
    warnings = sum(problem.warning for problem in unique)
    counts = [count(len(unique) - warnings, "mistake"), count(warnings, "warning")]
    return ", ".join(part for part in counts if part)


def has_errors(problems: Iterable[Problem]) -> bool:
    """Return whether any problem is more than a warning, so that the build must stop."""
    return any(not problem.warning for problem in problems)


def closest(word: str, known: Iterable[str]) -> str | None:
    """Return the known name nearest to `word` in spelling, or None where none is near."""
    near = difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return near[0] if near else None


def suggestion(word: str, known: Iterable[str], *, otherwise: str) -> str:
    """Return the fix for an unknown name: the closest known one or `otherwise`, or only the latter."""
    near = closest(word, known)
    return f"write '{near}' (closest), or {otherwise}" if near else otherwise


def count(number: int, noun: str) -> str:
    """Return "2 mistakes" or "1 mistake", "" for none of them."""
    return f"{number} {noun}{'' if number == 1 else 's'}" if number else ""

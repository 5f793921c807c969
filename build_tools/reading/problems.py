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
        """Give the three lines that a person reads."""
        mark = "warning: " if self.warning else ""
        return f"{self.file}:{self.line}: {mark}{self.what}\n  why: {self.why}\n  fix: {self.fix}"


def render(problems: Iterable[Problem]) -> str:
    """Give all problems, sorted by file and line, each once, with their number at the end; "" for none."""
    found = sorted(set(problems))
    if not found:
        return ""
    warnings = sum(problem.warning for problem in found)
    counts = [_count(len(found) - warnings, "mistake"), _count(warnings, "warning")]
    return "\n".join([*(problem.text() for problem in found), ", ".join(part for part in counts if part)])


def has_errors(problems: Iterable[Problem]) -> bool:
    """Tell whether anything but warnings was found."""
    return any(not problem.warning for problem in problems)


def closest(word: str, known: Iterable[str]) -> str | None:
    """Give the known name nearest to `word` in spelling, or None where nothing is near."""
    found = difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return found[0] if found else None


def suggestion(word: str, known: Iterable[str], *, otherwise: str) -> str:
    """Give the fix for an unknown name: the closest known one where there is any, else `otherwise`."""
    near = closest(word, known)
    return f"write '{near}' (closest), or {otherwise}" if near else otherwise


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}" if number else ""

"""What an author writes in braces at the end of a step's first line: its id, and what the visit does with it.

{#count-the-threads asks=threads-to-tighten}    the visit asks for this in the step
{#sweep-the-platform .with}                     shown on one screen with the step before it
"""

from __future__ import annotations

from dataclasses import dataclass

WITH, ASKS = ".with", "asks="


@dataclass(frozen=True, slots=True)
class StepMark:
    """One step's mark. `unknown` are the words of it that say nothing here."""

    id: str
    with_before: bool = False
    asks: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def read_mark(text: str) -> StepMark:
    """Read what stands between "{#" and "}". Other words stay with the id, malformed."""
    words = text.split(" ")
    marks = [word for word in words[1:] if word.startswith(".") or "=" in word]
    asks = tuple(
        name for word in marks if word.startswith(ASKS) for name in word[len(ASKS) :].split(",") if name
    )
    unknown = tuple(
        word for word in marks if word != WITH and not (word.startswith(ASKS) and len(word) > len(ASKS))
    )
    return StepMark(" ".join(word for word in words if word not in marks), WITH in marks, asks, unknown)

"""Makes an id from the first words of each step that has none. An existing id is never changed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container
from pathlib import Path

from build_tools.reading.lines import scan

_WORDS = 5
_LEFT_OUT = {"a", "an", "and", "the", "of", "to", "it", "its", "your", "is"}


def fill_step_ids(path: Path) -> list[str]:
    """Write an id at the end of the first line of each step that has none; return the new ids, in order.

    Line ends and everything else in the file stay as they are. Where no id is missing, nothing is written.
    """
    text = path.read_bytes().decode("utf-8")
    scanned = scan(text)
    taken = {step.id for step in scanned.steps if step.id}
    lines = text.split("\n")
    new = []
    for step in scanned.steps:
        if step.id is None:
            id_ = fresh_id(step.text, taken)
            taken.add(id_)
            new.append(id_)
            line = lines[step.line - 1]
            carriage_return = "\r" if line.endswith("\r") else ""
            lines[step.line - 1] = f"{line.rstrip()} {{#{id_}}}{carriage_return}"
    if new:
        path.write_bytes("\n".join(lines).encode("utf-8"))
    return new


def fresh_id(text: str, taken: Container[str]) -> str:
    """Return an id made of a step's first words that is not among those taken."""
    bare = re.sub(r"\]\([^)]*\)|\{\{.*?\}\}|`[^`]*`", " ", text)
    plain = unicodedata.normalize("NFKD", bare).encode("ascii", "ignore").decode().lower()
    words = [word for word in re.findall(r"[a-z0-9]+", plain) if word not in _LEFT_OUT]
    stem = "-".join(words[:_WORDS]) or "step"
    stem = stem if stem[0].isalpha() else f"step-{stem}"
    number = 2
    id_ = stem
    while id_ in taken:
        id_ = f"{stem}-{number}"
        number += 1
    return id_

"""The registers of plain words and spellings: what a step must not say, and what is no misspelling."""

from __future__ import annotations

from dataclasses import dataclass, field

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Key, Shape, check_shape
from build_tools.registers.reader import RegisterReader

PLAIN_WORDS, SPELLING = "plain_words.yml", "spelling.yml"
_SHAPE: Shape = {
    "vague": Key("rows", "steps are held against it", "[{words: as needed, instead: say how much}]"),
    "actions": Key("texts", "two of these verbs in one sentence are two steps", "[pull, press]"),
    "together": Key("texts", "they say that two actions are one", "[while, at that moment]"),
}
_VAGUE_SHAPE: Shape = {
    "words": Key("text", "steps are searched for it", "as needed"),
    "instead": Key("text", "the author must learn what to write", "say how much is enough"),
}


@dataclass(frozen=True, slots=True)
class PlainWords:
    """Rules for the words of a step. `vague` maps what it must not say to what to write instead."""

    vague: dict[str, str] = field(default_factory=dict)
    actions: frozenset[str] = frozenset()
    together: tuple[str, ...] = ()


def read_plain_words(reader: RegisterReader) -> PlainWords:
    """Read plain_words.yml; without that file there are no rules."""
    root = reader.read(PLAIN_WORDS)
    if root is None or root.value is None:
        return PlainWords()
    file = reader.file(PLAIN_WORDS)
    found = _shape_problems(root, file)
    reader.problems += found
    if found:
        return PlainWords()
    rows = [row.plain() for row in root.value["vague"].value]
    return PlainWords(
        vague={row["words"].lower(): row["instead"] for row in rows},
        actions=frozenset(word.lower() for word in root.value["actions"].plain()),
        together=tuple(word.lower() for word in root.value["together"].plain()),
    )


def read_spelling(reader: RegisterReader) -> frozenset[str]:
    """Read spelling.yml: correct words that are in no dictionary, in small letters."""
    root = reader.read(SPELLING)
    if root is None or root.value is None:
        return frozenset()
    if not isinstance(root.value, list) or not all(isinstance(item.value, str) for item in root.value):
        what, why = f"{SPELLING} is not a list of words", "each of its words counts as spelt right"
        reader.all_readable = False
        reader.problems.append(
            Problem(reader.file(SPELLING), root.line, what, why, "write `- word`, one a line")
        )
        return frozenset()
    return frozenset(item.value.lower() for item in root.value)


def _shape_problems(root: Node, file: str) -> list[Problem]:
    found = check_shape(root, _SHAPE, file=file, subject=PLAIN_WORDS)
    if found:
        return found
    rows = root.value["vague"].value
    subject = "a row of 'vague'"
    return [problem for row in rows for problem in check_shape(row, _VAGUE_SHAPE, file=file, subject=subject)]

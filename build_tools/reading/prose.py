"""The sentences of a page as a reader meets them: steps, their notes, paragraphs, list items and table cells.

Code counts as no word, a figure as one word, a link as its text. Lines are those of the raw file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from build_tools.reading.lines import FIGURE_USE, STEP_ID, Scan

STEP, NOTE, PARAGRAPH, ITEM, CELL, HEADING = "step", "note", "paragraph", "item", "cell", "heading"

_SKIPPED = re.compile(r"^ *(?:/{3,}.*|\[[^\]]+\]:.*|[-*_ ]{3,}|\|?[-:| ]+\|[-:| ]*)$")
_HEADING = re.compile(r"^ {0,3}#{1,6}[ \t]+(?P<text>.*?)[ \t#]*$")
_ITEM = re.compile(r"^ *(?:[-*+]|\d+[.)])[ \t]+(?P<text>.*)$")
_LINK = re.compile(r"!?\[(?P<text>[^\[\]]*)\]\([^)\n]*\)|!?\[(?P<named>[^\[\]]*)\]\[[^\]\n]*\]")
_TAG = re.compile(r"<!--.*?-->|</?[a-zA-Z][^>\n]*>", re.S)
CODE = re.compile(r"(?P<ticks>`+).+?(?P=ticks)", re.S)
_EMPHASIS = re.compile(r"(?<![\w*])\*{1,3}(?=\S)|(?<=\S)\*{1,3}(?![\w*])")
_END = re.compile(r"[.!?][\"'”’)\]*]*(?=\s+[^\sa-z]|\s*$)")
_WORD = re.compile(r"[^\W_]+(?:['’/.,-][^\W_]+)*")


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence, joined into one line, without Markdown's characters; a figure is still {{ id }}."""

    text: str
    line: int

    @property
    def plain(self) -> str:
        """The sentence without code and figures, for checks that look at its words."""
        return _without_code_and_figures(self.text, "#")

    def word_count(self) -> int:
        """Count words as a reader would: "half-turn" is one, and so is a figure with its unit."""
        return len(_WORD.findall(_without_code_and_figures(self.text, "figure")))


@dataclass(frozen=True, slots=True)
class Passage:
    """Sentences that belong together, of one of the six kinds above; a NOTE is what follows a step's line."""

    kind: str
    sentences: tuple[Sentence, ...]
    line: int


@lru_cache(maxsize=4096)  # several checks and the edition's record read the same pages
def passages(scan: Scan) -> tuple[Passage, ...]:
    """Return everything read on a page, in page order, without hazard messages and rows of figures."""
    return tuple(_closed(gathered) for gathered in _gathered(scan) if gathered[1])


def sentences(text: str, line: int = 1) -> tuple[Sentence, ...]:
    """Split a text into sentences; `line` is that of its first character."""
    text = _bare(text)
    split = []
    start = 0
    without_code = CODE.sub(lambda code: "`" * len(code[0]), text) if "`" in text else text
    for end in [*(match.end() for match in _END.finditer(without_code)), len(text)]:
        piece = text[start:end]
        if piece.strip():
            before = text[:start] + piece[: len(piece) - len(piece.lstrip())]
            split.append(Sentence(" ".join(piece.split()), line + before.count("\n")))
        start = end
    return tuple(split)


def _bare(text: str) -> str:
    """Remove Markdown's characters. Most lines have none, and a search for one character is quick."""
    if "<" in text:
        text = _TAG.sub(" ", text)
    if "[" in text:
        text = _LINK.sub(lambda link: link["text"] or link["named"] or "", text)
    return _EMPHASIS.sub("", text) if "*" in text else text


def _without_code_and_figures(text: str, figure: str) -> str:
    if "`" in text:
        text = CODE.sub(" ", text)
    return FIGURE_USE.sub(figure, text) if "{{" in text else text


_Gathered = tuple[str, list[tuple[int, str]]]


def _closed(gathered: _Gathered) -> Passage:
    kind, lines = gathered
    text = "\n".join(line for _, line in lines)
    return Passage(kind, sentences(text, lines[0][0]), lines[0][0])


def _gathered(scan: Scan) -> Iterator[_Gathered]:
    """Yield the kind and lines of each passage; a line of another kind closes the open one."""
    raw = scan.text.split("\n")
    steps = {step.line for step in scan.steps}
    kind, lines = PARAGRAPH, list[tuple[int, str]]()
    for number, masked in scan.body_lines():
        line = raw[number - 1]
        own = _own_line(line, masked, number in steps)
        if own is None:
            lines.append((number, line))
            continue
        yield kind, lines
        kind, texts = own
        lines = [(number, text) for text in texts]
        if kind in (CELL, HEADING):
            yield from ((kind, [cell]) for cell in lines)
            lines = []
        elif kind == STEP:
            yield kind, lines
            kind, lines = NOTE, []
    yield kind, lines


def _own_line(line: str, masked: str, is_step: bool) -> tuple[str, list[str]] | None:
    """Return kind and texts of the passage that a line begins, or None where it continues the last one."""
    if is_step:
        item = _ITEM.match(line)
        return STEP, [STEP_ID.sub("", item["text"] if item else line)]
    if not masked.strip() or _SKIPPED.match(masked):
        return PARAGRAPH, []
    if heading := _HEADING.match(line):
        return HEADING, [heading["text"]]
    if line.lstrip().startswith("|"):
        return CELL, [cell for cell in line.strip().strip("|").split("|") if cell.strip()]
    item = _ITEM.match(line)
    return (ITEM, [item["text"]]) if item else None

"""The sentences of a fault path, for the checks of words and for the record of what an edition said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from build_tools.reading.lines import FIGURE_USE
from build_tools.reading.pages import Page
from build_tools.reading.prose import NOTE, STEP, Passage, Sentence, sentences
from build_tools.registers.fault_paths import DO, STOP, FaultPath
from build_tools.registers.registers import Registers

FAULT_PATH, SYMPTOMS = "fault-path", "symptoms"
"""Two blocks: a path with its questions, and the list of all symptoms."""
INSTRUCTION, REMARK = STEP, NOTE
_ENDS = (".", "?", "!")


@dataclass(frozen=True, slots=True)
class PathText:
    """One text of a path. `kind` is INSTRUCTION where something is to be done, else REMARK."""

    kind: str
    text: str
    line: int


def path_texts(path: FaultPath) -> Iterator[PathText]:
    """Yield every text of a path in reading order, without `said_as`: people's own words are not checked."""
    yield PathText(REMARK, path.symptom, path.line)
    if path.note:
        yield PathText(REMARK, path.note, path.line)
    for question in path.questions:
        yield PathText(INSTRUCTION, question.look, question.line)
        if question.note:
            yield PathText(REMARK, question.note, question.line)
        yield PathText(REMARK, question.ask, question.line)
        for reply in question.replies:
            yield PathText(REMARK, reply.says, reply.line)
            if reply.kind in (DO, STOP):
                yield PathText(INSTRUCTION if reply.kind == DO else REMARK, reply.text, reply.line)
            if reply.why:
                yield PathText(REMARK, reply.why, reply.line)


def figures_of(path: FaultPath) -> Iterator[str]:
    """Yield the id of each figure that a path shows."""
    for text in path_texts(path):
        yield from (use["id"] for use in FIGURE_USE.finditer(text.text))


def path_passages(paths: Iterable[FaultPath]) -> Iterator[tuple[str, Passage]]:
    """Yield (file, passage) for each text of the paths; all sentences of a passage have its first line."""
    for path in paths:
        for text in path_texts(path):
            parts = tuple(Sentence(part.text, text.line) for part in sentences(text.text))
            yield path.file, Passage(text.kind, parts, text.line)


def paths_on(page: Page, registers: Registers) -> list[FaultPath]:
    """Return the paths that a page shows; one with a mistake is left out, for the checks have named it."""
    named = [block.argument for block in page.scan.blocks if block.name == FAULT_PATH]
    return [registers.faults[id_] for id_ in named if id_ in registers.faults]


def page_of_path(pages: Iterable[Page]) -> dict[str, str]:
    """Map each path's id to the page that shows it (the page's path in the docs folder)."""
    return {
        block.argument: page.src for page in pages for block in page.scan.blocks if block.name == FAULT_PATH
    }


def shown_lines(page: Page, registers: Registers) -> Iterator[tuple[int, str]]:
    """Yield (line of the block, whole sentence) for everything that a page's paths say."""
    for block in page.scan.blocks:
        path = registers.faults.get(block.argument) if block.name == FAULT_PATH else None
        for text in path_texts(path) if path else ():
            yield block.line, text.text if text.text.endswith(_ENDS) else f"{text.text}."


def path_words(page: Page, registers: Registers) -> Iterator[str]:
    """Yield all words of a page's paths and where replies lead: a reply that leads elsewhere is a change."""
    for path in paths_on(page, registers):
        yield from (text.text for text in path_texts(path))
        yield from path.said_as
        yield from path.all_cautions()
        for question in path.questions:
            yield from (f"{reply.says} {reply.text} {reply.page}" for reply in question.replies)

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
"""The blocks: a path with its questions, and the list of all symptoms."""
INSTRUCTION, REMARK = STEP, NOTE
_ENDS = (".", "?", "!")


@dataclass(frozen=True, slots=True)
class Told:
    """One text of a path. `kind` is INSTRUCTION for what is to be done, REMARK for the rest."""

    kind: str
    text: str
    line: int


def told(path: FaultPath) -> Iterator[Told]:
    """Return every text of a path in the order in which it is read; what people say is theirs, not ours."""
    yield Told(REMARK, path.symptom, path.line)
    if path.note:
        yield Told(REMARK, path.note, path.line)
    for question in path.questions:
        yield Told(INSTRUCTION, question.look, question.line)
        if question.note:
            yield Told(REMARK, question.note, question.line)
        yield Told(REMARK, question.ask, question.line)
        for reply in question.replies:
            yield Told(REMARK, reply.says, reply.line)
            if reply.kind in (DO, STOP):
                yield Told(INSTRUCTION if reply.kind == DO else REMARK, reply.text, reply.line)
            if reply.why:
                yield Told(REMARK, reply.why, reply.line)


def figures_of(path: FaultPath) -> Iterator[str]:
    """Return the id of each figure that a path shows."""
    for text in told(path):
        yield from (use["id"] for use in FIGURE_USE.finditer(text.text))


def path_passages(paths: Iterable[FaultPath]) -> Iterator[tuple[str, Passage]]:
    """Return the passages of paths as those of a page, each with its file, all on the line where they begin."""
    for path in paths:
        for text in told(path):
            parts = tuple(Sentence(part.text, text.line) for part in sentences(text.text))
            yield path.file, Passage(text.kind, parts, text.line)


def paths_on(page: Page, registers: Registers) -> list[FaultPath]:
    """Return the paths that a page shows; one with a mistake is left out, since the checks have named it."""
    named = [block.argument for block in page.scan.blocks if block.name == FAULT_PATH]
    return [registers.faults[id_] for id_ in named if id_ in registers.faults]


def homes(pages: Iterable[Page]) -> dict[str, str]:
    """Return for each path the page that shows it, by path in the docs folder."""
    return {
        block.argument: page.src for page in pages for block in page.scan.blocks if block.name == FAULT_PATH
    }


def shown_lines(page: Page, registers: Registers) -> Iterator[tuple[int, str]]:
    """Return what a page's paths say as whole sentences, with the line of the block that shows them."""
    for block in page.scan.blocks:
        path = registers.faults.get(block.argument) if block.name == FAULT_PATH else None
        for text in told(path) if path else ():
            yield block.line, text.text if text.text.endswith(_ENDS) else f"{text.text}."


def path_words(page: Page, registers: Registers) -> Iterator[str]:
    """Return every word of a page's paths, and where answers lead: a path that leads elsewhere has changed."""
    for path in paths_on(page, registers):
        yield from (text.text for text in told(path))
        yield from path.said_as
        yield from path.all_cautions()
        for question in path.questions:
            yield from (f"{reply.says} {reply.text} {reply.page}" for reply in question.replies)

"""Drawings and terms as asked for: names, states, levelers and labels known, every sentence written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from build_tools.drawing.catalogue import NAMES, OPTIONS, STATEFUL, Request, drawing_of
from build_tools.drawing.geometry import not_drawable
from build_tools.drawing.sheet import Drawing
from build_tools.reading.lines import Block, listed, option_lines
from build_tools.reading.marked_yaml import InvalidYaml, Node, read_marked
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.registers import Registers

_WORDS = "content/registers/words"
_UNSEEN = "nothing would be shown here"


def check_drawing(page: Page, block: Block, registers: Registers) -> list[Problem]:
    """Return every problem of one drawing block."""
    try:
        options = _options(page, block)
    except InvalidYaml as error:
        what = f"the options of the drawing are not readable as YAML: {error.message}"
        fix = "write them under the first line, four spaces in: `    state: stored`"
        return [Problem(page.file, error.line, what, _UNSEEN, fix)]
    found = [*_unknown_options(page, options), *_name(page, block)]
    if found:
        return found
    found = [*_state(page, block, options), *_leveler(page, options, registers)]
    if found:
        return found
    return list(_labels(page, block, _request(block, options), registers))


def terms_shown(pages: Iterable[Page], registers: Registers) -> set[str]:
    """Return the terms that blocks show: those of lists, and the labels of drawings without a mistake."""
    shown: set[str] = set()
    for page in pages:
        for block in page.scan.blocks:
            if block.name == "terms":
                shown.update(listed(block.argument))
            if block.name == "drawing" and not check_drawing(page, block, registers):
                shown.update(drawing_of(_request(block, _options(page, block)), registers.equipment).terms)
    return shown


def _request(block: Block, options: dict[str, Node]) -> Request:
    return Request(block.argument, *(options[name].written if name in options else "" for name in OPTIONS))


def check_terms(page: Page, block: Block, registers: Registers) -> list[Problem]:
    """Return every problem of one block that lists terms."""
    names = listed(block.argument)
    if not names:
        fix = "write `/// terms | platform, lip` (an example)"
        return [Problem(page.file, block.line, "the terms block names no term", _UNSEEN, fix)]
    return [
        _unknown_term(page, block, f"unknown term '{name}'", name, registers)
        for name in names
        if name not in registers.terms and name not in registers.left_out
    ]


def _unknown_term(page: Page, block: Block, what: str, term: str, registers: Registers) -> Problem:
    fix = suggestion(term, registers.terms, otherwise="add it to the register")
    return Problem(page.file, block.line, what, "content/registers/terms.yml has no such id", fix)


def _options(page: Page, block: Block) -> dict[str, Node]:
    """Read a block's options. Raises InvalidYaml."""
    root = read_marked("\n".join(option_lines(page.scan.text, block)), first_line=block.line + 1)
    if root.value is not None and not isinstance(root.value, dict):
        raise InvalidYaml(block.line + 1, "an option is a name, a colon, a space and a value")
    return dict(root.value or {})


def _unknown_options(page: Page, options: dict[str, Node]) -> Iterator[Problem]:
    for name, node in options.items():
        if name not in OPTIONS:
            fix = suggestion(name, OPTIONS, otherwise=f"use one of: {', '.join(OPTIONS)}")
            yield Problem(page.file, node.line, f"a drawing has no option '{name}'", _UNSEEN, fix)


def _name(page: Page, block: Block) -> Iterator[Problem]:
    if not block.argument:
        fix = f"write `/// drawing | {NAMES[0]}` (an example)"
        yield Problem(page.file, block.line, "the drawing block names no drawing", _UNSEEN, fix)
    elif block.argument not in NAMES:
        what = f"unknown drawing '{block.argument}'"
        fix = suggestion(block.argument, NAMES, otherwise=f"use one of: {', '.join(NAMES)}")
        yield Problem(page.file, block.line, what, "build_tools/drawing/ has none of this name", fix)


def _state(page: Page, block: Block, options: dict[str, Node]) -> Iterator[Problem]:
    states = STATEFUL.get(block.argument, {})
    node = options.get("state")
    if node is None and states:
        what = f"the drawing '{block.argument}' needs a state"
        fix = f"write under it, four spaces in: `    state: {next(iter(states))}` (an example)"
        yield Problem(page.file, block.line, what, "it is drawn differently in each", fix)
    elif node is not None and not states:
        what = f"the drawing '{block.argument}' has no states"
        yield Problem(page.file, node.line, what, "the state would be passed over unseen", "remove the line")
    elif node is not None and node.written not in states:
        what = f"the drawing '{block.argument}' has no state '{node.written}'"
        fix = suggestion(node.written, states, otherwise=f"use one of: {', '.join(states)}")
        yield Problem(page.file, node.line, what, _UNSEEN, fix)


def _leveler(page: Page, options: dict[str, Node], registers: Registers) -> Iterator[Problem]:
    node = options.get("leveler")
    if node is None or node.written in registers.left_out:
        return
    row = registers.equipment.get(node.written)
    if row is None:
        what = f"unknown leveler class '{node.written}'"
        fix = suggestion(node.written, registers.equipment, otherwise="remove the line")
        yield Problem(page.file, node.line, what, "content/registers/equipment/ has none of this id", fix)
        return
    for name, value, low, high in not_drawable(row.figures):
        what = f"the drawing cannot show '{node.written}': its {name} is {value:g} m"
        why = f"from {low:g} to {high:g} m the parts of the drawing keep out of each other's way"
        yield Problem(page.file, node.line, what, why, "leave the leveler out, or correct its row")


def _labels(page: Page, block: Block, request: Request, registers: Registers) -> Iterator[Problem]:
    if request.leveler in registers.left_out:
        return
    drawing = drawing_of(request, registers.equipment)
    for term in drawing.terms:
        if term not in registers.terms and term not in registers.left_out:
            what = f"the drawing '{request.name}' labels the term '{term}', which is unknown"
            yield _unknown_term(page, block, what, term, registers)
    for code in sentences(request, drawing):
        if code not in registers.words:
            what = f"the sentence '{code}' of the drawing '{request.name}' is missing"
            file = f"{_WORDS}/{registers.language}.yml"
            yield Problem(
                page.file,
                block.line,
                what,
                "a reader who cannot see it learns nothing",
                f'add a line `{code}: "..."` to {file}',
            )


def sentences(request: Request, drawing: Drawing) -> tuple[str, ...]:
    """Return the codes of every sentence that a drawing needs."""
    notes = (f"drawing.note.{note}" for note in drawing.notes)
    return ("drawing.labeled", f"drawing.{request.key}.title", f"drawing.{request.key}.told", *notes)

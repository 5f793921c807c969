"""What sheets show beside their forms, and what they need: fields known, inputs accepted, pages there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import Any

from build_tools.book.asking import ask
from build_tools.book.book import REGISTERS, Book
from build_tools.book.kept_results import kept_problems
from build_tools.checks.figures import use_problems
from build_tools.reading.lines import FIGURE_USE, Block
from build_tools.reading.marked_yaml import Node
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import Key, Shape, check_shape
from build_tools.registers.figures import Figure
from build_tools.registers.rows import Equipment
from calculators.answering import NAMES, module
from calculators.shared import hazards
from calculators.shared.fields import Field

_EXAMPLE: Shape = {
    "inputs": Key("mapping", "the worked answer is computed from them", "{window_low_s: 18, ...}"),
    "table": Key(
        "mapping", "the look-up table reads without the calculator", "{vary: ..., rows: ..., show: ...}"
    ),
    "offers": Key(
        "mapping", "a row that the book knows is not typed", "{tasks: [{name: ...}]}", required=False
    ),
    "leads": Key(
        "mapping",
        "an answer that names a page leads there in one tap",
        "{fold-time.headline.too-quick: procedures/....md}",
        required=False,
    ),
}
_TABLE: Shape = {
    "vary": Key("text", "the caption says what differs from row to row", "Three runs, judged by one window"),
    "rows": Key(
        "rows", "each row is computed from the inputs above with these in their place", "[{...}, {...}]"
    ),
    "show": Key("texts", "the columns are inputs and results by name", "[runs_s, verdict]"),
}


def check_examples(book: Book) -> list[Problem]:
    """Return every problem of examples.yml, of equipment's fields and of what the calculators in use need."""
    places = [(page.file, block.line, block.argument) for page, block in _calculator_blocks(book)]
    depends = (book.key, json.dumps(places), json.dumps([*book.pages]))
    return kept_problems(book.kept, "examples", depends, lambda: _all_problems(book))


def _all_problems(book: Book) -> list[Problem]:
    found = []
    for name, node in book.registers.example_nodes.items():
        found += _example(book, name, node)
    return found + _needs(book) + _units(book) + _equipment(book)


def _example(book: Book, name: str, node: Node) -> list[Problem]:
    file = _file(book)
    if name not in NAMES:
        fix = suggestion(name, NAMES, otherwise=f"use one of: {', '.join(NAMES)}")
        return [
            Problem(
                file, node.line, f"unknown calculator '{name}'", "calculators/ has none of this name", fix
            )
        ]
    subject = f"the example of '{name}'"
    found = check_shape(node, _EXAMPLE, file=file, subject=subject)
    if not found:
        found = check_shape(node.value["table"], _TABLE, file=file, subject=f"{subject}, table")
    found = found or _leads(book, name, node) + _offers(file, name, node)
    found = found or _figures(book, node) or _columns(file, name, node.value["table"].value["show"], subject)
    if found or any(id_ in book.registers.left_out for id_ in _figure_ids(node)):
        return found
    return _refusals(book, name, node, subject)


def _leads(book: Book, name: str, node: Node) -> list[Problem]:
    """Return answers that the calculator does not have, and pages that the book does not have."""
    leads = node.value.get("leads")
    headlines = [code for code in book.registers.words if code.startswith(f"{name}.headline.")]
    found = []
    for code, page in leads.value.items() if leads else ():
        if code not in headlines:
            what, why = f"{name} has no answer '{code}'", "its link would never be shown"
            fix = suggestion(code, headlines, otherwise="use the code of a headline in the words")
            found.append(Problem(_file(book), page.line, what, why, fix))
        elif page.written not in book.pages:
            what = f"the answer '{code}' leads to '{page.written}', which does not exist"
            fix = suggestion(page.written, book.pages, otherwise="name a page from the docs folder")
            found.append(Problem(_file(book), page.line, what, "its link would lead nowhere", fix))
    return found


def _offers(file: str, name: str, node: Node) -> list[Problem]:
    """Return lists and columns that the calculator does not have."""
    offers = node.value.get("offers")
    lists = {field.name: [column.name for column in field.fields] for field in module(name).INPUTS}
    why = "the offered row would fill nothing"
    found = []
    for list_, rows in offers.value.items() if offers else ():
        columns = lists.get(list_, [])
        if not columns or not isinstance(rows.value, list):
            what = f"{name} has no list '{list_}'"
            fix = suggestion(list_, [known for known in lists if lists[known]], otherwise="take it out")
            found.append(Problem(file, rows.line, what, why, fix))
            continue
        for row in rows.value:
            for key, item in row.value.items() if isinstance(row.value, dict) else ():
                if key not in columns:
                    what = f"the rows of '{list_}' have no column '{key}'"
                    fix = suggestion(key, columns, otherwise=f"use any of: {', '.join(columns)}")
                    found.append(Problem(file, item.line, what, why, fix))
    return found


def _figures(book: Book, node: Node) -> list[Problem]:
    """Return unknown figures and ranges used as one number."""
    found = []
    for used in _texts_with_figure(node):
        use = FIGURE_USE.search(used.written)
        id_, part = (use["id"], use["part"] or "") if use else ("", "")
        found += use_problems(book.registers, _file(book), used.line, id_, part)
        figure = book.registers.figures.get(id_)
        if figure is not None and not part and figure.value is None:
            what, why = f"figure '{id_}' is the range {figure.text()}", "an input takes one number"
            fix = f'write "{{{{ {id_}.low }}}}" or "{{{{ {id_}.high }}}}"'
            found.append(Problem(_file(book), used.line, what, why, fix))
    return found


def _texts_with_figure(node: Node) -> Iterator[Node]:
    if isinstance(node.value, (dict, list)):
        for item in node.value.values() if isinstance(node.value, dict) else node.value:
            yield from _texts_with_figure(item)
    elif FIGURE_USE.fullmatch(node.written):
        yield node


def _figure_ids(node: Node) -> list[str]:
    return [id_ for used in _texts_with_figure(node) for id_ in FIGURE_USE.findall(used.written)[0][:1]]


def _columns(file: str, name: str, show: Node, subject: str) -> list[Problem]:
    found = module(name)
    known = [field.name for field in (*found.INPUTS, *found.OUTPUTS)]
    why = f"{name} has no such input or result"
    problems = []
    for item in show.value:
        if item.written not in known:
            what = f"{subject}: the table shows an unknown field '{item.written}'"
            fix = suggestion(item.written, known, otherwise=f"use any of: {', '.join(known)}")
            problems.append(Problem(file, item.line, what, why, fix))
    return problems


def _refusals(book: Book, name: str, node: Node, subject: str) -> list[Problem]:
    inputs, rows = node.value["inputs"], node.value["table"].value["rows"].value
    found = _refused(book, name, inputs.plain(), inputs, f"{subject}, inputs")
    for number, row in enumerate(rows if not found else [], start=1):
        found += _refused(book, name, {**inputs.plain(), **row.plain()}, row, f"{subject}, row {number}")
    return found


def _refused(book: Book, name: str, inputs: dict[str, Any], node: Node, where: str) -> list[Problem]:
    """Return what the calculator says against the inputs, at the line of each input where there is one."""
    answer = json.loads(ask(name, json.dumps(book.registers.filled(inputs)), book.registers.words))
    why = "the worked answer and the table are computed when the book is built"
    found = []
    for error in answer.get("errors", ()):
        own = node.value.get(re.split(r"[.\[]", error["field"])[0], node)
        fix = f"correct '{error['field']}'" if error["field"] else "correct the inputs"
        found.append(Problem(_file(book), own.line, f"{where}: {error['message']}", why, fix))
    return found


def _needs(book: Book) -> list[Problem]:
    """Return what the calculators on pages lack: an example, the figures they offer, their hazards."""
    found = []
    for page, block in _calculator_blocks(book):
        if block.argument in NAMES:
            found += _needs_of(page.file, block.line, block.argument, book)
    return found


def _calculator_blocks(book: Book) -> Iterator[tuple[Page, Block]]:
    for page in book.pages.values():
        yield from ((page, block) for block in page.scan.blocks if block.name == "calculator")


def _needs_of(file: str, line: int, name: str, book: Book) -> list[Problem]:
    found = []
    if name not in book.registers.example_nodes:
        what = f"calculator '{name}' has no worked example"
        why = "a page must read without the calculator running"
        fix = f"add `{name}:` with inputs and table to content/registers/examples.yml"
        found.append(Problem(file, line, what, why, fix))
    for figure in _offered(module(name).INPUTS):
        id_, _, part = figure.partition(".")
        if use_problems(book.registers, file, line, id_, part):
            what = f"calculator '{name}' offers the figure '{figure}', which the register lacks"
            why = "its field would have nothing to offer and nothing to cite"
            found.append(Problem(file, line, what, why, f"add '{id_}' to content/registers/figures.yml"))
    known = {*book.registers.hazards, *book.registers.left_out}
    for hazard in (*hazards.BEFORE_TURNING, *hazards.BEFORE_CYCLING):
        if hazard not in known:
            what = f"calculator '{name}' warns of hazard '{hazard}', which the register lacks"
            why = "no answer may ask for a turn without its cautions"
            found.append(Problem(file, line, what, why, f"add '{hazard}' to content/registers/hazards.yml"))
    return found


def _units(book: Book) -> list[Problem]:
    """Return every figure that an input would take for another unit's: 0.5 min is not 0.5 s."""
    found: dict[tuple[str, str], Problem] = {}
    for name in dict.fromkeys(block.argument for _, block in _calculator_blocks(book)):
        for field in module(name).INPUTS if name in NAMES else ():
            for id_ in _figures_of(field, name, book):
                figure = book.registers.figures.get(id_)
                if figure is None or figure.unit.partition("(")[0].strip() == field.unit:
                    continue
                label = book.registers.words.get(f"{name}.{field.name}.label", field.label)
                what = (
                    f"figure '{id_}' is in {figure.unit}, and '{label}' of '{name}' takes it as {field.unit}"
                )
                why = "the calculator would judge by another value than the one that stands here"
                fix = f"give the figure in {field.unit}, with its number converted"
                problem = Problem(figure.file, figure.key_line("unit"), what, why, fix)
                found.setdefault((id_, field.unit), problem)
    return [*found.values()]


def _figures_of(field: Field, name: str, book: Book) -> list[str]:
    """Return the ids of the figures that fill a field: its own, and the one in the worked example."""
    node = book.registers.example_nodes.get(name)
    inputs = node.value.get("inputs") if node and isinstance(node.value, dict) else None
    given = inputs.value.get(field.name) if inputs and isinstance(inputs.value, dict) else None
    use = FIGURE_USE.fullmatch(given.written) if given and isinstance(given.value, str) else None
    ids = [field.figure.partition(".")[0], use["id"] if use else ""]
    return [id_ for id_ in dict.fromkeys(ids) if id_]


def _offered(fields: Sequence[Field]) -> Iterator[str]:
    for field in fields:
        if field.figure:
            yield field.figure
        yield from _offered(field.fields)


def _equipment(book: Book) -> list[Problem]:
    known = {field.name for name in NAMES for field in module(name).INPUTS}
    why = "no calculator asks for it, so it would never be used"
    found = []
    for row in book.registers.equipment.values():
        for name, figure in row.figures.items():
            general = book.registers.general(name)
            if general is not None:
                found += _own_figure(row, name, figure["value"], general)
            elif name not in known:
                what = f"equipment '{row.id}' gives a figure for the unknown field '{name}'"
                fix = suggestion(name, known, otherwise="remove it")
                found.append(Problem(row.file, row.line, what, why, fix))
    return found


def _own_figure(row: Equipment, name: str, value: float, general: Figure) -> list[Problem]:
    """Return a leveler's own value of one of the book's figures where it lies outside what is plausible."""
    low, high = general.plausible_low, general.plausible_high
    if low is None or high is None or low <= value <= high:
        return []
    what = f"equipment '{row.id}' gives '{name}' as {value:g}, outside what is plausible, {low:g} to {high:g}"
    why = "it is shown beside the book's own figure, and somebody works by it"
    return [Problem(row.file, row.line, what, why, f"compare it with the manual; it is in {general.unit}")]


def _file(book: Book) -> str:
    return book.file(book.docs / REGISTERS / "examples.yml")

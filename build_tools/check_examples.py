"""Worked examples and calculators' needs: every field known, every input accepted, every offered figure there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import Any

from build_tools.book import REGISTERS, Book
from build_tools.check_figures import use_problems
from build_tools.lines import FIGURE_USE
from build_tools.marked_yaml import Node
from build_tools.problems import Problem, closest
from build_tools.shapes import Key, Shape, check_shape
from calculators import _hazards
from calculators._fields import Field
from calculators._run import NAMES, module, run

_EXAMPLE: Shape = {
    "inputs": Key("mapping", "the worked answer is computed from them", "{window_low_s: 18, ...}"),
    "table": Key("mapping", "the look-up table reads without the calculator", "{vary: ..., rows: [...], show: [...]}"),
}


def check_examples(book: Book) -> list[Problem]:
    """Give every problem of examples.yml, of equipment's fields and of what the calculators in use need."""
    found = []
    for name, node in book.registers.example_nodes.items():
        found += _example(book, name, node)
    return found + _needs(book) + _equipment(book)


def _file(book: Book, name: str) -> str:
    return book.file(book.docs / REGISTERS / name)


def _example(book: Book, name: str, node: Node) -> list[Problem]:
    file = _file(book, "examples.yml")
    if name not in NAMES:
        near = closest(name, NAMES)
        return [Problem(file, node.line, f"unknown calculator '{name}'", "calculators/ has none of this name",
                        f"write '{near}' (closest)" if near else f"use one of: {', '.join(NAMES)}")]
    subject = f"the example of '{name}'"
    found = check_shape(node, _EXAMPLE, file=file, subject=subject)
    found += [problem for line, use in _figure_uses(node)
              for problem in use_problems(book.registers, file, line, use[0], use[1])]
    if found:
        return found
    inputs, table = node.value["inputs"], node.value["table"]
    found = _refused(book, name, inputs.plain(), inputs, f"{subject}, inputs")
    rows = table.value.get("rows")
    if not found and rows is not None and isinstance(rows.value, list):
        for number, row in enumerate(rows.value, start=1):
            if isinstance(row.value, dict):
                found += _refused(book, name, {**inputs.plain(), **row.plain()}, row, f"{subject}, row {number}")
    return found + _shown(file, name, table, subject)


def _refused(book: Book, name: str, inputs: dict[str, Any], node: Node, where: str) -> list[Problem]:
    """Give what the calculator says against an example's inputs, at the line of the input where it has one."""
    answer = json.loads(run(name, json.dumps(book.registers.filled(inputs)), book.registers.words))
    found = []
    for error in answer.get("errors", ()):
        own = node.value.get(re.split(r"[.\[]", error["field"])[0], node)
        found.append(Problem(_file(book, "examples.yml"), own.line, f"{where}: {error['message']}",
                             "the worked answer and the table are computed when the book is built",
                             f"correct '{error['field']}'" if error["field"] else "correct the inputs"))
    return found


def _shown(file: str, name: str, table: Node, subject: str) -> list[Problem]:
    show = table.value.get("show")
    if show is None or not isinstance(show.value, list):
        return [Problem(file, table.line, f"{subject}: the table has no list 'show'", "no column would stand in it",
                        "add `show: [...]` with names of inputs and results")]
    found = module(name)
    known = [field.name for field in (*found.INPUTS, *found.OUTPUTS)]
    return [Problem(file, item.line, f"{subject}: the table shows an unknown field '{item.written}'",
                    f"{name} has no such input or result",
                    f"write '{near}' (closest)" if (near := closest(item.written, known))
                    else f"use any of: {', '.join(known)}")
            for item in show.value if item.written not in known]


def _figure_uses(node: Node) -> Iterator[tuple[int, tuple[str, str]]]:
    if isinstance(node.value, (dict, list)):
        for item in node.value.values() if isinstance(node.value, dict) else node.value:
            yield from _figure_uses(item)
    elif use := FIGURE_USE.search(node.written):
        yield node.line, (use["id"], use["part"] or "")


def _needs(book: Book) -> list[Problem]:
    """Give what is missing of an example, offered figures and hazards for the calculators that stand on pages."""
    found = []
    for page in book.pages.values():
        for block in page.scan.blocks:
            if block.name != "calculator" or block.argument not in NAMES:
                continue
            if block.argument not in book.registers.example_nodes:
                found.append(Problem(page.file, block.line, f"calculator '{block.argument}' has no worked example",
                                     "a page must read without the calculator running",
                                     f"add `{block.argument}:` with inputs and table to content/registers/examples.yml"))
            found += _offered(page.file, block.line, block.argument, book)
    return found


def _offered(file: str, line: int, name: str, book: Book) -> list[Problem]:
    found = []
    for figure in _figures_of(module(name).INPUTS):
        id_, _, part = figure.partition(".")
        found += use_problems(book.registers, file, line, id_, part)
    return found + [
        Problem(file, line, f"calculator '{name}' warns of hazard '{hazard}', which the register lacks",
                "no answer may ask for a turn without its cautions",
                f"add '{hazard}' to content/registers/hazards.yml")
        for hazard in (*_hazards.BEFORE_TURNING, *_hazards.BEFORE_CYCLING) if hazard not in book.registers.hazards]


def _figures_of(fields: Sequence[Field]) -> Iterator[str]:
    for field in fields:
        if field.figure:
            yield field.figure
        yield from _figures_of(field.fields)


def _equipment(book: Book) -> list[Problem]:
    known = {field.name for name in NAMES for field in module(name).INPUTS}
    return [Problem(row.file, row.line, f"equipment '{row.id}' gives a figure for the unknown field '{name}'",
                    "no calculator asks for it, so it would never be used",
                    f"write '{near}' (closest)" if (near := closest(name, known)) else "remove it")
            for row in book.registers.equipment.values() for name in row.figures if name not in known]

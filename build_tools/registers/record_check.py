"""Records a check in the figures register: who checked a figure, when, its value, and a hash of these."""

from __future__ import annotations

import json
from pathlib import Path

from build_tools.reading.marked_yaml import Node, read_marked
from build_tools.registers.figures import figure_from


def record_check(path: Path, figure: str, by: str, on: str) -> None:
    """Set checked_by, checked_on, checked_value and checked_hash of one row; all else stays as typed.

    Args:
        path: figures.yml.
        figure: the id of a row that is well formed.
        by: the name of the person who checked the figure.
        on: the day of the check, YYYY-MM-DD.
    """
    text = path.read_text(encoding="utf-8")
    text = _with_key(text, figure, "checked_by", by)
    text = _with_key(text, figure, "checked_on", on)
    text = _with_key(text, figure, "checked_value", figure_from(_row(text, figure), path.name).text())
    text = _with_key(text, figure, "checked_hash", figure_from(_row(text, figure), path.name).hash())
    path.write_text(text, encoding="utf-8")


def _row(text: str, figure: str) -> Node:
    found: Node = next(row for row in read_marked(text).value if row.value["id"].written == figure)
    return found


def _with_key(text: str, figure: str, key: str, value: str) -> str:
    """Return the register's text with one key of one row set; a new key follows the row's other lines."""
    row = _row(text, figure)
    lines = text.split("\n")
    indent = " " * (lines[row.line - 1].index("-") + 2)
    # A hash such as 12345678901 or a name such as "1" must stay text, and JSON's quotes are YAML's too.
    line = f"{indent}{key}: {value if key == 'checked_on' else json.dumps(value, ensure_ascii=False)}"
    if key in row.value:
        lines[row.value[key].line - 1] = line
    else:
        lines.insert(_end(lines, row, indent), line)
    return "\n".join(lines)


def _end(lines: list[str], row: Node, indent: str) -> int:
    """Return the index after the row's last line; its lines are indented like its keys, or more."""
    end = row.line
    while end < len(lines) and (lines[end].startswith(indent) or not lines[end].strip()):
        end += 1
    while not lines[end - 1].strip():
        end -= 1
    return end

"""Reads the files of a registers folder, leaves out rows that cannot be used, and collects the problems."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from build_tools.reading.marked_yaml import InvalidYaml, Node, read_marked
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Shape, check_shape, id_of, subject_of
from build_tools.reading.source_text import read_source
from calculators.shared.words import read_words

_Row = TypeVar("_Row")
_Check = Callable[[Node, str, str], list[Problem]]
"""From a row, its file and its name in problems: what is wrong beyond the row's shape."""


class RegisterReader:
    """Reads one folder. `problems` and `left_out` grow with each file that is read."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: list[Problem] = []
        self.left_out: set[str] = set()
        """Ids of rows with mistakes, so that their uses are not called unknown as well."""
        self.all_readable = True

    def rows(
        self,
        name: str,
        noun: str,
        shape: Shape,
        make: Callable[[Node, str], _Row],
        check: _Check | None = None,
    ) -> dict[str, _Row]:
        """Read a file that is a list of rows, each with an id; return the good rows by id.

        Args:
            name: the file, from the registers folder.
            noun: what one row is called in problems.
            shape: the keys of a row.
            make: makes a typed row of a good one and its file.
            check: finds what is wrong with a row of the right shape.
        """
        root = self.read(name)
        if root is None or root.value is None:
            return {}
        file = self.file(name)
        if not isinstance(root.value, list):
            what, why = f"{name} is not a list", f"each {noun} is one item of a list"
            self.problems.append(Problem(file, root.line, what, why, "start each row with `- id: ...`"))
            self.all_readable = False
            return {}
        return self.rows_of(root, file, noun, shape, make, check)

    def rows_of(
        self,
        rows: Node,
        file: str,
        noun: str,
        shape: Shape,
        make: Callable[[Node, str], _Row],
        check: _Check | None = None,
    ) -> dict[str, _Row]:
        """Return the good rows of a list by id; the rest is as in `rows`."""
        made: dict[str, _Row] = {}
        lines: dict[str, int] = {}
        for row in rows.value:
            subject = subject_of(row, noun)
            problems = check_shape(row, shape, file=file, subject=subject)
            if not problems and check is not None:
                problems = check(row, file, subject)
            problems = problems or _check_once(row, lines, file, subject)
            self.problems += problems
            if problems:
                self.left_out.add(id_of(row))
            else:
                lines[id_of(row)] = row.line
                made[id_of(row)] = make(row, file)
        return made

    def mapping(self, name: str) -> dict[str, Node]:
        """Read a file that is a mapping; return its values with their lines."""
        root = self.read(name)
        if root is None or root.value is None:
            return {}
        if isinstance(root.value, dict):
            return root.value
        what, why = f"{name} is not a list of keys with values", "it is read by key"
        self.problems.append(Problem(self.file(name), root.line, what, why, "start each entry with `name:`"))
        return {}

    def words(self, language: str) -> dict[str, str]:
        """Read words/LANGUAGE.yml, sentences by code, as the calculators do, so that both see the same."""
        name = f"words/{language}.yml"
        file = self.file(name)
        if not (self.folder / name).exists():
            what, why = "the file of sentences is missing", "every page and answer takes its words from it"
            self.problems.append(Problem(file, 1, what, why, f"restore content/registers/{name}"))
            return {}
        try:
            return dict(read_words(self._text(name)))
        except ValueError as error:
            line, _, what = str(error).removeprefix("line ").partition(": ")
            self.problems.append(
                Problem(
                    file,
                    int(line) if line.isdigit() else 1,
                    f"the line cannot be read: {re.sub(r' +', ' ', what)}",
                    "pages and calculators take their sentences from it, one a line",
                    'write it as `code: "sentence"`, in double quotes',
                )
            )
            return {}

    def read(self, name: str) -> Node | None:
        """Read one YAML file; None where it is absent or not YAML."""
        if not (self.folder / name).exists():
            return None
        try:
            return read_marked(self._text(name))
        except InvalidYaml as error:
            what, why = (
                f"not readable as YAML: {error.message}",
                "nothing of the file can be used until it is",
            )
            fix = "look at this line and the one above: indents, colons, quotes"
            self.problems.append(Problem(self.file(name), error.line, what, why, fix))
            self.all_readable = False
            return None

    def file(self, name: str) -> str:
        """Return a register file's path from the project's folder."""
        return (self.folder / name).relative_to(self.folder.parent.parent).as_posix()

    def _text(self, name: str) -> str:
        text, problems = read_source(self.folder / name, self.file(name))
        self.problems += problems
        return text


def _check_once(row: Node, lines: dict[str, int], file: str, subject: str) -> list[Problem]:
    if id_of(row) not in lines:
        return []
    what = f"{subject} stands twice (first on line {lines[id_of(row)]})"
    why = "a page that names it could mean either"
    return [Problem(file, row.line, what, why, "give one of them another id")]

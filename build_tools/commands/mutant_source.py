"""Modules that carry all their mutants: mutmut writes them, and an import gets them in place of the file."""

from __future__ import annotations

import ast
import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from itertools import takewhile
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

from build_tools.commands.faults import Fault

CONTEXT = 24
"""Signs shown to either side of a change."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change to one function."""

    module: str
    name: str

    @property
    def function(self) -> str:
        """The function as the tests' hits name it."""
        return f"{self.module}.{self.name.partition('__mutmut_')[0]}"

    @property
    def key(self) -> str:
        """The name that turns it on."""
        return f"{self.module}.{self.name}"

    @property
    def short(self) -> str:
        """The name in lists."""
        return self.key.removeprefix("calculators.")


class MutatedModules(MetaPathFinder):
    """Finds the modules it was given, with their mutants in them; all others are found as ever."""

    def __init__(self, sources: Mapping[str, Path]) -> None:
        files = self._files = {name: mutated_file(path) for name, path in sources.items()}
        self.mutants = [Mutant(name, each) for name in files for each in files[name].mutant_names]

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Find a module, and let its own code be read from what mutmut wrote."""
        if name not in self._files:
            return None
        spec = PathFinder.find_spec(name, path)
        if spec is None or spec.origin is None:
            return None
        spec.loader = _Loader(name, spec.origin, self._files[name].code)
        return spec

    def change(self, mutant: Mutant) -> str:
        """Return the line that a mutant changes, before and after."""
        file = self._files[mutant.module]
        before, after = (
            self._lines(file, name) for name in (f"{mutant.name.rpartition('_')[0]}_orig", mutant.name))
        changed = [line for line in difflib.ndiff(before, after) if line[0] in "-+"]
        sides = [" ".join(line[2:].strip() for line in changed if line[0] == sign) for sign in "-+"]
        return " -> ".join(shortened(*sides))

    @staticmethod
    def _lines(file: Any, name: str) -> list[str]:
        span = file.line_span_by_function_name[name]
        lines: list[str] = file.code.splitlines()[span.start - 1 : span.end]
        return [line.replace(name, "") for line in lines]


class _Loader(SourceFileLoader):
    def __init__(self, name: str, path: str, code: str) -> None:
        super().__init__(name, path)
        self._code = code

    def get_code(self, fullname: str) -> CodeType:
        return self.source_to_code(self._code.encode(), self.path)


def shortened(before: str, after: str) -> tuple[str, str]:
    """Return what differs between two lines, with a few signs to either side."""
    start = alike(before, after)
    end = alike(before[start:][::-1], after[start:][::-1])
    near = max(0, start - CONTEXT)
    first, second = (line[near : len(line) - max(0, end - CONTEXT)] for line in (before, after))
    return first, second


def alike(one: str, other: str) -> int:
    """Return how many signs two texts share from their beginning."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def mutated_file(path: Path) -> Any:
    """Return mutmut's text of one file. Raises Fault where mutmut is not there."""
    try:
        from mutmut.mutation.file_mutation import mutate_file_contents
    except ImportError as error:
        raise Fault(
            f"mutmut is not in .venv ({error}).",
            "python3 -m pip install --no-deps --target FOLDER mutmut libcst, then mutants --mutmut FOLDER",
        ) from error
    return mutate_file_contents(str(path), with_plain_methods(path.read_text(encoding="utf-8")))


def with_plain_methods(text: str) -> str:
    """Make properties of methods after their class, since mutmut passes over what is decorated."""
    lines, late = text.splitlines(), []
    for kind in (each for each in ast.parse(text).body if isinstance(each, ast.ClassDef)):
        for method in (each for each in kind.body if isinstance(each, ast.FunctionDef)):
            if [ast.unparse(each) for each in method.decorator_list] == ["property"]:
                lines[method.decorator_list[0].lineno - 1] = ""
                late.append(f"{kind.name}.{method.name} = property({kind.name}.{method.name})")
    return "\n".join([*lines, *late, ""])

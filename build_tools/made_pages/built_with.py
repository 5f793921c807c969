"""The work of others that a book holds or was made with: name, version and licences, for its reader."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import metadata

from build_tools.places import VENDOR

PACKAGES = ("mkdocs", "mkdocs-material")
"""Python packages whose files or whose making a reader has in front of them: the pages' frame and search."""
_LICENCE = re.compile(r"\b(?:MIT|BSD-\d-Clause|[A-Z]+-\d\.\d)\b")
"""A licence by its SPDX name."""


@dataclass(frozen=True, slots=True)
class Part:
    """One piece of work of others. `licences` are SPDX names, the first one that of the piece itself."""

    name: str
    version: str
    licences: tuple[str, ...]


def built_with() -> tuple[Part, ...]:
    """Return every vendored folder and every package, by name."""
    return tuple(sorted([*_vendored(), *map(_package, PACKAGES)], key=lambda part: part.name))


def _vendored() -> Iterator[Part]:
    for path in VENDOR.glob("*/VERSION"):
        lines = path.read_text(encoding="utf-8").splitlines()
        facts = dict(line.split(": ", 1) for line in lines if ": " in line)
        name = facts["package"].partition(" ")[0]
        yield Part(name, facts["version"], tuple(_LICENCE.findall(facts["licence"])))


def _package(name: str) -> Part:
    found = metadata(name)
    return Part(found["Name"], found["Version"], tuple(_LICENCE.findall(found["License-Expression"])))

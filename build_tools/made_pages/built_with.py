"""The work of others that a book contains or was made with, for its reader: name, version and licenses."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import metadata

from build_tools.places import VENDOR

PACKAGES = ("mkdocs", "mkdocs-material")
"""Python packages whose work a reader sees: the frame of the pages and their search."""
_LICENSE = re.compile(r"\b(?:MIT|ISC|BSD-\d-Clause|[A-Z]+-\d\.\d)\b")
"""A license by its SPDX name."""


@dataclass(frozen=True, slots=True)
class Component:
    """One package by others. `licenses` are SPDX names, beginning with the package's own."""

    name: str
    version: str
    licenses: tuple[str, ...]


def built_with() -> tuple[Component, ...]:
    """Return every vendored folder and every package of PACKAGES, ordered by name."""
    return tuple(sorted([*_vendored(), *map(_package, PACKAGES)], key=lambda part: part.name))


def _vendored() -> Iterator[Component]:
    for path in VENDOR.glob("*/VERSION"):
        lines = path.read_text(encoding="utf-8").splitlines()
        facts = dict(line.split(": ", 1) for line in lines if ": " in line)
        name = facts["package"].partition(" ")[0]
        yield Component(name, facts["version"], tuple(_LICENSE.findall(facts["licence"])))


def _package(name: str) -> Component:
    facts = metadata(name)
    return Component(facts["Name"], facts["Version"], tuple(_LICENSE.findall(facts["License-Expression"])))

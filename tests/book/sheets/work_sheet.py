"""A work sheet as tests read it, and what its calculator says."""

from __future__ import annotations

import json

from bs4 import BeautifulSoup, Tag

from build_tools.registers.registers import Registers
from build_tools.sheets.section import render
from calculators import answering


def sheet(name: str, registers: Registers, root: str = "..") -> Tag:
    """Render one calculator and give its section."""
    section = BeautifulSoup(render(name, registers, root=root), "html.parser").section
    assert section is not None
    return section


def answer_to(inputs: str, name: str, registers: Registers) -> dict[str, object]:
    """What the calculator says to a JSON text of inputs."""
    found: dict[str, object] = json.loads(answering.run(name, inputs, registers.words))
    return found

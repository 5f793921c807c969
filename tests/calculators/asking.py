"""Ask a calculator through the one door, whether the pages offer it already or not."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from unittest.mock import patch

from calculators import _run
from calculators._words import read_words

PROJECT = Path(__file__).resolve().parents[2]
WORDS = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))


def ask(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    """Return the parsed answer of run(), with the name known for the moment where it is not yet."""
    with patch.object(_run, "NAMES", tuple(dict.fromkeys((*_run.NAMES, name)))):
        answer: dict[str, Any] = json.loads(_run.run(name, json.dumps(inputs), WORDS))
    return answer


def errors(name: str, inputs: dict[str, Any]) -> dict[str, str]:
    """Return the messages by field; an answer without errors fails here."""
    return {error["field"]: error["message"] for error in ask(name, inputs)["errors"]}

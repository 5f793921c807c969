"""Everything that the browser needs beside the pages, by its address on the site."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from build_tools.cut_library import LIBRARY, PYODIDE, cut_library, needed_modules
from build_tools.register_rows import Equipment
from build_tools.registers import Registers
from build_tools.units import TABLE

_TOOLS = Path(__file__).parent
_BROWSER = _TOOLS / "browser"
_CALCULATORS = _TOOLS.parent / "calculators"
SITE_FOLDER = "half-turn"
FOLDERS = {"page": (".js",), "worker": (".js",), "style": (".css",), "icons": (".png", ".svg")}
"""Folders of build_tools/browser that are served as they are; the service worker goes to the site's root."""
RUNTIME_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "pyodide-lock.json")


def browser_files(registers: Registers) -> dict[str, bytes | Path]:
    """List what the site needs under half-turn/: site path -> content, or the file to copy."""
    files: dict[str, bytes | Path] = {}
    for folder, endings in FOLDERS.items():
        found = [path for path in sorted((_BROWSER / folder).iterdir()) if path.suffix in endings]
        files |= {f"{SITE_FOLDER}/{folder}/{path.name}": path for path in found}
    files |= {f"{SITE_FOLDER}/pyodide/{name}": PYODIDE / name for name in RUNTIME_FILES}
    sources = dict(_calculator_sources())
    files[f"{SITE_FOLDER}/pyodide/{LIBRARY.name}"] = cut_library(LIBRARY, needed_modules(sources.values()))
    files[f"{SITE_FOLDER}/page/unit_table.js"] = _unit_table()
    files[f"{SITE_FOLDER}/words.json"] = _json(registers.words)
    files[f"{SITE_FOLDER}/equipment.json"] = _json(
        {"levelers": [_leveler(row) for row in registers.equipment.values()]}
    )
    files[f"{SITE_FOLDER}/calculators.json"] = _json({"files": sources, "words": words_text(registers.words)})
    return files


def _unit_table() -> bytes:
    """Give the table of units as a module: without it no sheet may start, or 12 in would pass for 12 m."""
    head = b"/** The units that a reader may choose, from build_tools/units.json. */\nexport const TABLE = "
    return head + _json(TABLE) + b";\n"


def words_text(words: dict[str, str]) -> str:
    """Give the sentences in the form that the calculators read, without the comments of the register."""
    written = ((code, json.dumps(sentence, ensure_ascii=False)) for code, sentence in words.items())
    return "".join(f"{code}: {sentence}\n" for code, sentence in written)


def _calculator_sources() -> Iterator[tuple[str, str]]:
    """Give each module of the calculators but the command line's, which no browser runs."""
    for path in sorted(_CALCULATORS.glob("*.py")):
        if path.name != "__main__.py":
            yield f"calculators/{path.name}", path.read_text(encoding="utf-8")


def _leveler(row: Equipment) -> dict[str, Any]:
    nut = row.adjusting_nut
    turning = (
        {"threadHand": nut["thread_hand"], "seenFrom": nut["seen_from"], "see": nut["see"]} if nut else None
    )
    return {
        "id": row.id,
        "name": row.name,
        "makerNote": row.maker_note,
        "adjustingNut": turning,
        "figures": {
            name: {"text": f"{figure['value']:g}", "basis": figure["basis"], "where": figure["where"]}
            for name, figure in row.figures.items()
        },
    }


def _json(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()

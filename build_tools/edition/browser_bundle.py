"""Everything that the browser needs beside the pages, by its address on the site."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from build_tools.edition.script_bundles import bundles
from build_tools.places import BROWSER, CALCULATORS, PYODIDE
from build_tools.registers.registers import Registers
from build_tools.registers.rows import Equipment
from build_tools.shown.own_figures import own_text
from build_tools.shown.units import TABLE
from build_tools.vendor import idb
from build_tools.vendor.derived import CUT_GLUE, CUT_LIBRARY, CUT_MODULE, LIBRARY, LOADER, listed_hashes
from build_tools.vendor.refresh import LOCK
from calculators.answering import run

SITE_FOLDER = "half-turn"
FOLDERS = {"style": (".css",), "icons": (".png", ".svg")}
"""Folders of build_tools/browser that are served as they are; the service worker goes to the site's root."""
SCRIPTS = {
    "page": (
        ("keeper.js", "kept.js"),
        ("runtime.js",),
        ("start.js",),
        ("where_you_stand.js",),
        ("leveler.js",),
        ("fault_path.js",),
        ("calculator.js",),
        ("visit.js",),
    ),
    "worker": (("python.js",),),
}
"""Folders of modules, and the files in which they are served: a page that is only read loads two of them."""
KNOWN = "fold-time"
KNOWN_TEXT = (
    '{"runs_s": [18.2, 18.9, 18.4], "window_low_s": 18, "window_high_s": 20,'
    ' "timing_uncertainty_s": 0.15, "confidence": 0.95}'
)
"""The known question goes through the statistics, which need most of the standard library's arithmetic."""
ALSO_SAID = ("decimal-mark", "book.changes.title")
SAID_IN_VISITS = ("page.visit.", "visit.", "book.section.before", "book.section.stop")
NEVER_IN_SCRIPTS = ("book.", "drawing.", "card.", *SAID_IN_VISITS)
"""What the build writes into pages and no script ever says."""
RUNTIME = {"pyodide.js": LOADER, "pyodide.asm.js": CUT_GLUE, "pyodide.asm.wasm": CUT_MODULE}
"""What is served of the runtime beside the library: its name there, and the vendored file.

Its scripts are served as .js: many a host sends .mjs under a type that no browser runs as a module.
"""


def browser_files(registers: Registers) -> dict[str, bytes | Path]:
    """List what the site needs under half-turn/: site path -> content, or the file to copy."""
    files: dict[str, bytes | Path] = {}
    for folder, endings in FOLDERS.items():
        found = [path for path in sorted((BROWSER / folder).iterdir()) if path.suffix in endings]
        files |= {f"{SITE_FOLDER}/{folder}/{path.name}": path for path in found}
    files |= {f"{SITE_FOLDER}/pyodide/{name}": PYODIDE / vendored for name, vendored in RUNTIME.items()}
    files[f"{SITE_FOLDER}/pyodide/{LIBRARY}"] = PYODIDE / CUT_LIBRARY
    files[f"{SITE_FOLDER}/words.json"] = _json(said_on_every_page(registers.words))
    files[f"{SITE_FOLDER}/sheet_words.json"] = _json(said_on_sheets(registers.words))
    files[f"{SITE_FOLDER}/visit_words.json"] = _json(said_in_visits(registers.words))
    files[f"{SITE_FOLDER}/equipment.json"] = _json(
        {"levelers": [_leveler(row, registers) for row in registers.equipment.values()]}
    )
    calculators = _json({"files": dict(_calculator_sources()), "words": words_text(registers.words)})
    files[f"{SITE_FOLDER}/calculators.json"] = calculators
    key = _runtime_key(calculators, registers.words)
    files |= _scripts(
        {
            "page": {"unit_table.js": _unit_table(), "idb.js": idb.served_module().encode()},
            "worker": {"runtime_key.js": key},
        }
    )
    return files


def _scripts(made: dict[str, dict[str, bytes]]) -> dict[str, bytes | Path]:
    """Bundle the modules of each folder, those that only the build can write among them."""
    files: dict[str, bytes | Path] = {}
    for folder, wanted in SCRIPTS.items():
        sources = {path.name: path.read_text(encoding="utf-8") for path in (BROWSER / folder).rglob("*.js")}
        sources |= {name: content.decode() for name, content in made[folder].items()}
        for name, text in bundles(sources, wanted).items():
            files[f"{SITE_FOLDER}/{folder}/{name}"] = text.encode()
    return files


def _runtime_key(calculators: bytes, words: dict[str, str]) -> bytes:
    """Return a module that holds what a worker must know of its Python.

    KEY names all that the memory of a started Python depends on, KNOWN is a question with the answer that
    this build gave, HASHES has the runtime's files, and LOCK is Pyodide's list of packages: it is empty.
    """
    interpreter = BROWSER / "worker" / "interpreter.js"
    parts = [(PYODIDE / "SHA256SUMS").read_bytes(), calculators, interpreter.read_bytes()]
    key = hashlib.sha256("".join(hashlib.sha256(part).hexdigest() for part in parts).encode()).hexdigest()
    known = {"name": KNOWN, "text": KNOWN_TEXT, "answer": run(KNOWN, KNOWN_TEXT, words)}
    listed = listed_hashes(PYODIDE)
    made: dict[str, object] = {
        "KEY": key,
        "KNOWN": known,
        "HASHES": {name: listed[vendored] for name, vendored in RUNTIME.items()},
        "LOCK": json.loads((PYODIDE / LOCK).read_text(encoding="utf-8")),
    }
    return b"".join(b"export const %s = %s;\n" % (name.encode(), _json(made[name])) for name in made)


def _unit_table() -> bytes:
    """Return the table of units as a module: without it no sheet may start, or 12 in would pass for 12 m."""
    head = b"/** The units that a reader may choose, from shown/units.json. */\nexport const TABLE = "
    return head + _json(TABLE) + b";\n"


def said_on_every_page(words: dict[str, str]) -> dict[str, str]:
    """Return what a page without a calculator may need to say; the rest would only slow its first visit."""
    said = [code for code in words if code.startswith("page.") or code in ALSO_SAID]
    return {code: words[code] for code in said if not code.startswith(SAID_IN_VISITS)}


def said_on_sheets(words: dict[str, str]) -> dict[str, str]:
    """Return the further sentences that a page with a calculator needs."""
    common = said_on_every_page(words)
    kept = {code: sentence for code, sentence in words.items() if code not in common}
    return {code: sentence for code, sentence in kept.items() if not code.startswith(NEVER_IN_SCRIPTS)}


def said_in_visits(words: dict[str, str]) -> dict[str, str]:
    """Return the further sentences that the page of visits needs."""
    return {code: sentence for code, sentence in words.items() if code.startswith(SAID_IN_VISITS)}


def words_text(words: dict[str, str]) -> str:
    """Return the sentences in the form that the calculators read, without the comments of the register."""
    written = ((code, json.dumps(sentence, ensure_ascii=False)) for code, sentence in words.items())
    return "".join(f"{code}: {sentence}\n" for code, sentence in written)


def _calculator_sources() -> Iterator[tuple[str, str]]:
    """Yield each module of the calculators but the command line's, which no browser runs."""
    for path in sorted(CALCULATORS.rglob("*.py")):
        if path.name != "__main__.py":
            yield path.relative_to(CALCULATORS.parent).as_posix(), path.read_text(encoding="utf-8")


def _leveler(row: Equipment, registers: Registers) -> dict[str, Any]:
    nut = row.adjusting_nut
    turning = (
        {"threadHand": nut["thread_hand"], "seenFrom": nut["seen_from"], "see": nut["see"]} if nut else None
    )
    return {
        "id": row.id,
        "name": row.name,
        "makerNote": row.maker_note,
        "adjustingNut": turning,
        "ways": {registers.ways[way].of: way for way in row.ways},
        "own": {
            general.id: {"text": own_text(general, figure), "where": figure["where"]}
            for name, figure in row.figures.items()
            if (general := registers.general(name))
        },
        "figures": {
            name: {"text": f"{figure['value']:g}", "basis": figure["basis"], "where": figure["where"]}
            for name, figure in row.figures.items()
            if registers.general(name) is None
        }
        | {
            "spring_count": {
                "text": str(row.spring_count),
                "basis": "class row",
                "where": "",
            }
        },
    }


def _json(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()

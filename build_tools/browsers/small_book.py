"""A hand-made site of few files with the real browser code, for tests of the keeping alone."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from urllib.parse import unquote

from build_tools.book.withdrawn import Withdrawal
from build_tools.edition.edition import BookFile, write_edition
from build_tools.edition.script_bundles import without_folders
from build_tools.edition.web_manifest import write_web_manifest
from build_tools.places import PROJECT
from calculators.shared.words import read_words

KEEPING = (
    "start",
    "offline",
    "keeper",
    "status",
    "details",
    "lasting",
    "home_screen",
    "offer",
    "tabs",
    "ticks",
    "kept",
    "words",
    "decimal_text",
    "place",
    "changes",
    "within_reach",
)
DATES = {1: "2026-11-20", 2: "2026-12-03"}

PAGE = """<!doctype html>
<html lang="en" data-runtime="absent" data-offline="none" data-root="{root}" data-old-after-days="90">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>{title}</title>
<link rel="icon" href="{root}/half-turn/icons/icon.svg">
<link rel="stylesheet" href="{root}/half-turn/style/sheet.css">
<script type="module" src="{root}/half-turn/page/start.js"></script></head>
<body><h1>{title}</h1><p id="words">{title} of edition {edition}</p>
<ol class="steps">
<li data-step="one"><label><input type="checkbox"> One</label></li>
<li data-step="two"><label><input type="checkbox"> Two</label></li>
</ol>
<p data-status="edition"></p><p data-status="offline"></p></body></html>
"""


def write_small_book(folder: Path, *, edition: int = 1, withdrawn: tuple[Withdrawal, ...] = ()) -> Path:
    """Write edition 1 or 2 into `folder`: 2 has other words on two pages, and one page more."""
    _write(folder / "index.html", _page("Home", ".", edition))
    _write(folder / "jobs" / "lip.html", _page("Lip", "..", edition))
    _write(folder / "jobs" / "same.html", _page("Same", "..", 1))
    if edition > 1:
        _write(folder / "jobs" / "added.html", _page("Added", "..", edition))
    browser = PROJECT / "build_tools" / "browser"
    for name in KEEPING:
        (source,) = (browser / "page").rglob(f"{name}.js")
        _write(folder / "half-turn" / "page" / source.name, without_folders(source.read_text("utf-8")))
    _copy(browser / "icons" / "icon.svg", folder / "half-turn" / "icons" / "icon.svg")
    _copy(browser / "style" / "sheet.css", folder / "half-turn" / "style" / "sheet.css")
    words = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    _write(folder / "half-turn" / "words.json", json.dumps(words))
    _write(folder / "half-turn" / "worker" / "python.js", "export {};\n")
    _write(folder / "half-turn" / "pyodide" / "pyodide.asm.wasm", "not really wasm\n" * 20_000)
    _write(folder / "half-turn" / "calculators.json", json.dumps({"files": {}, "edition": edition}))
    write_web_manifest(folder, name="Small book", short_name="Small", description="", language="en")
    write_edition(folder, date=DATES[edition], preview=False, withdrawn=withdrawn)
    return folder


def change_files(folder: Path, *endings: str) -> Path:
    """Make a finished book into another edition: every file of these endings has one byte more at its end."""
    for file in files_of(folder):
        if file["url"].endswith(endings):
            with (folder / unquote(file["url"])).open("ab") as end:
                end.write(b"\n")
    write_edition(folder, date=DATES[2], preview=False)
    return folder


def files_of(folder: Path, *tiers: str) -> list[BookFile]:
    """The files that a finished site's edition lists, of these tiers or of all, in the order of keeping."""
    listed = json.loads((folder / "edition.json").read_text(encoding="utf-8"))["tiers"]
    return [file for tier in tiers or listed for file in listed[tier]]


def hash_of(folder: Path, url: str) -> str:
    """The SHA-256 that the edition gives for one file."""
    return next(file["sha256"] for file in files_of(folder) if file["url"] == url)


def _page(title: str, root: str, edition: int) -> str:
    return PAGE.format(title=title, root=root, edition=edition)


def _write(file: Path, text: str) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(source, target)

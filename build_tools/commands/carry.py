"""Write the built handbook as one zip: for any static host, to unpack and serve, or to read from disk."""

from __future__ import annotations

import argparse
import datetime
import json
import sys
import tempfile
import textwrap
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from build_tools.book.book import read_book
from build_tools.faults import Fault
from build_tools.places import PROJECT
from build_tools.site.building import BookMistakes, Built, build_book

NOTE = "READ-ME-FIRST.txt"
FOLDER = "handbook"
"""Everything unpacks into this one folder."""
FILE_MODE = 0o644
PACKED_ALREADY = (".packed", ".png", ".zip", ".gz")
SERVE, ADDRESS = "python3 -m http.server 8000 --bind 127.0.0.1", "http://127.0.0.1:8000/"
WIDTH = 78


def run(arguments: Sequence[str]) -> int:
    """Build the book anew and write the zip. Mistakes in the book go to standard error, with exit code 1."""
    parser = argparse.ArgumentParser(prog="build_tools carry", description=__doc__)
    parser.add_argument("--into", type=Path, metavar="FILE", help="default: handbook-DATE.zip")
    into = parser.parse_args(arguments).into
    if into and (into.is_dir() or not into.absolute().parent.is_dir()):
        fix = "name a file in a folder that is there: --into book.zip"
        raise Fault(f"No file can be written at {into}.", fix)
    with tempfile.TemporaryDirectory(prefix="half-turn-carry-") as scratch:
        try:
            built = build_book(PROJECT, Path(scratch) / "site")
        except BookMistakes as mistakes:
            print(mistakes.text, file=sys.stderr)
            return 1
        archive = into or Path(f"handbook-{built.date}.zip")
        book, _ = read_book(PROJECT)
        count = write_archive(built, note(built, book.registers.words), archive)
    size = archive.stat().st_size / 1e6
    print(f"Edition {built.edition} of {built.date}: {count} files, {size:.1f} MB, in {archive}.")
    print(f"{NOTE} in it says how to serve it.")
    if built.closing:
        print(built.closing)
    return 0


def note(built: Built, words: Mapping[str, str]) -> str:
    """Return the note that lies on top, in the book's own language."""

    def told(code: str) -> str:
        sentences = words[f"book.carry.{code}"].format(date=built.date, edition=built.edition)
        return textwrap.fill(sentences, WIDTH, break_long_words=False, break_on_hyphens=False)

    parts = [f"{title(built.folder)}\n{told('edition')}", told("whole"), told("read")]
    parts += [told("serve"), f"    {SERVE}", told("then"), f"    {ADDRESS}"]
    return "\n\n".join([*parts, *map(told, ("host", "https", "twice", "change"))]) + "\n"


def write_archive(built: Built, note: str, archive: Path) -> int:
    """Write a built book as a zip, the note on how to serve it first; return the number of files.

    The same edition gives the same bytes: names in order, the edition's date as every file's, no owner.
    """
    files = sorted(path for path in built.folder.rglob("*") if path.is_file())
    half = archive.with_name(f"{archive.name}.half-written")
    with zipfile.ZipFile(half, "w") as zip_:
        _add(zip_, NOTE, note.encode("utf-8"), built.date)
        for path in files:
            _add(zip_, path.relative_to(built.folder).as_posix(), path.read_bytes(), built.date)
    half.replace(archive)
    return len(files) + 1


def _add(archive: zipfile.ZipFile, name: str, content: bytes, date: str) -> None:
    day = datetime.date.fromisoformat(date)
    entry = zipfile.ZipInfo(f"{FOLDER}/{name}", (day.year, day.month, day.day, 0, 0, 0))
    entry.create_system = 3  # the same on every system that writes it
    entry.external_attr = FILE_MODE << 16
    entry.compress_type = zipfile.ZIP_STORED if name.endswith(PACKED_ALREADY) else zipfile.ZIP_DEFLATED
    archive.writestr(entry, content, compresslevel=9)


def title(site: Path) -> str:
    """Return the book's name."""
    manifest = json.loads((site / "manifest.webmanifest").read_text(encoding="utf-8"))
    return str(manifest["name"])

"""Fetch one version of axe-core, the rules for access that `trials` and the tests run in our pages."""

from __future__ import annotations

import tarfile
import tempfile
from pathlib import Path

from build_tools.places import VENDOR
from build_tools.vendor.package import fetch, member, write_sums

PACKAGE = "axe-core"
FOLDER = VENDOR / PACKAGE
SCRIPT = "axe.min.js"
KEPT = (SCRIPT, "LICENSE", "LICENSE-3RD-PARTY.txt")

VERSION_TEXT = """\
package: {package} (npm)
version: {version}
date: {date}
archive integrity: {integrity}
licence: MPL-2.0 (LICENSE); parts of others inside: MIT (LICENSE-3RD-PARTY.txt)

Unchanged from the package: {kept}.
Left out: the unminified build, type declarations and translations.
No page of a book holds any of it: it is put into pages by the browser's driver alone.
"""


def refresh(version: str, *, date: str, folder: Path = FOLDER) -> list[str]:
    """Replace the vendored files by those of `version` and return the names of the files written."""
    with tempfile.TemporaryDirectory() as scratch:
        archive, integrity = fetch(PACKAGE, version, Path(scratch))
        folder.mkdir(parents=True, exist_ok=True)
        with tarfile.open(archive) as package:
            for name in KEPT:
                (folder / name).write_bytes(member(package, name))
    text = VERSION_TEXT.format(
        package=PACKAGE, version=version, date=date, integrity=integrity, kept=", ".join(KEPT)
    )
    (folder / "VERSION").write_text(text, encoding="utf-8")
    return write_sums(folder, [*KEPT, "VERSION"])

"""Fetch one version of idb, the promises over IndexedDB with which the visit's log is written."""

from __future__ import annotations

import tarfile
import tempfile
from pathlib import Path

from build_tools.places import VENDOR
from build_tools.vendor.package import fetch, member, write_sums

PACKAGE = "idb"
FOLDER = VENDOR / PACKAGE
SCRIPT = "index.js"
LICENSE = "LICENSE"

VERSION_TEXT = """\
package: {package} (npm)
version: {version}
date: {date}
archive integrity: {integrity}
licence: ISC (LICENSE)

Unchanged from the package: {script}, which lies in its folder build, and LICENSE.
Left out: the CommonJS and UMD builds, type declarations and the readme.
"""


def refresh(version: str, *, date: str, folder: Path = FOLDER) -> list[str]:
    """Replace the vendored files by those of `version` and return the names of the files written."""
    with tempfile.TemporaryDirectory() as scratch:
        archive, integrity = fetch(PACKAGE, version, Path(scratch))
        folder.mkdir(parents=True, exist_ok=True)
        with tarfile.open(archive) as package:
            (folder / SCRIPT).write_bytes(member(package, f"build/{SCRIPT}"))
            (folder / LICENSE).write_bytes(member(package, LICENSE))
    text = VERSION_TEXT.format(
        package=PACKAGE, version=version, date=date, integrity=integrity, script=SCRIPT
    )
    (folder / "VERSION").write_text(text, encoding="utf-8")
    return write_sums(folder, [SCRIPT, LICENSE, "VERSION"])


def served_module(folder: Path = FOLDER) -> str:
    """Return the module as books serve it: the license, which belongs into every copy, and the script."""
    license_, script = ((folder / name).read_text(encoding="utf-8") for name in (LICENSE, SCRIPT))
    return f"/*! {PACKAGE}. {license_.strip()} */\n{script}"

"""Fetch one version of Pyodide and keep the files that a phone needs.

The package has no licence text, so LICENSE is left as it is.
"""

from __future__ import annotations

import json
import tarfile
import tempfile
from pathlib import Path

from build_tools.places import PYODIDE
from build_tools.vendor.derived import GLUE, LIBRARY, LOADER, MADE, MODULE, SQUEEZED, SUFFIX, derive
from build_tools.vendor.package import fetch, member, write_sums

PACKAGE = "pyodide"
FOLDER = PYODIDE
AS_THEY_ARE = (LOADER, GLUE, MODULE, LIBRARY)
LOCK = "pyodide-lock.json"
LICENCES = ("LICENSE", "LICENSE-PYTHON")

VERSION_TEXT = """\
package: {package} (npm)
version: {version}
date: {date}
archive integrity: {integrity}
licence: MPL-2.0 (LICENSE); the Python standard library inside: PSF-2.0 (LICENSE-PYTHON)

Unchanged from the package: {unchanged}.
Changed: {lock} lists no packages, because none is served here.
Left out: the CommonJS build, type declarations, source maps and consoles.
Made of them, and served in their place:
{glue} and {module}, the runtime without the exports that nothing uses (build_tools/vendor/cut_exports.py);
{library}, the modules that its start and the calculators need, compiled by this Pyodide without docstrings;
copies of these three packed with zopfli (*{suffix}).

The package has no licence text.
LICENSE is the Mozilla Public License 2.0 as installed with the Python package pathspec.
LICENSE-PYTHON is the licence as installed with CPython 3.13; the library inside is 3.14's, on the same terms.
"""


def refresh(version: str, *, date: str, folder: Path = FOLDER) -> list[str]:
    """Replace the vendored files by those of `version` and return the names of the files written.

    Raises Fault where npm is missing, cannot fetch, or delivers other bytes than it announced.
    """
    with tempfile.TemporaryDirectory() as scratch:
        archive, integrity = fetch(PACKAGE, version, Path(scratch))
        unpack(archive, folder)
    derive(folder)
    glue, module, library = SQUEEZED
    text = VERSION_TEXT.format(
        package=PACKAGE,
        version=version,
        date=date,
        integrity=integrity,
        unchanged=", ".join(AS_THEY_ARE),
        lock=LOCK,
        glue=glue,
        module=module,
        library=library,
        suffix=SUFFIX,
    )
    (folder / "VERSION").write_text(text, encoding="utf-8")
    return write_sums(folder, [*AS_THEY_ARE, LOCK, *MADE, "VERSION", *LICENCES])


def unpack(archive: Path, folder: Path) -> None:
    """Write the needed files of the archive into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    with tarfile.open(archive) as package:
        for name in AS_THEY_ARE:
            (folder / name).write_bytes(member(package, name))
        (folder / LOCK).write_text(without_packages(member(package, LOCK)), encoding="utf-8")


def without_packages(lock: bytes) -> str:
    """Return Pyodide's lock file with the list of downloadable packages emptied."""
    return json.dumps({**json.loads(lock), "packages": {}}, indent=2) + "\n"

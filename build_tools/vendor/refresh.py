"""Fetch one version of Pyodide and keep the files that a phone needs.

The package has no licence text, so LICENSE is left as it is.
"""

from __future__ import annotations

import json
import subprocess
import tarfile
import tempfile
from pathlib import Path

from build_tools.faults import Fault
from build_tools.places import PYODIDE, VENDOR
from build_tools.vendor.derived import COMPILED, GLUE, LOADER, MADE, MODULE, SQUEEZED, SUFFIX, derive
from build_tools.vendor.module_imports import library_imports
from build_tools.vendor.package import fetch, member, write_sums

PACKAGE = "pyodide"
FOLDER = PYODIDE
LIBRARY = "python_stdlib.zip"
AS_THEY_ARE = (LOADER, GLUE, MODULE, LIBRARY)
LOCK = "pyodide-lock.json"
STARTUP = "STARTUP_MODULES"
IMPORTS = "LIBRARY_IMPORTS"
LISTER = VENDOR / "list_startup_modules.mjs"
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
Ours: {startup}, measured with this version: the library modules it has imported when it is ready;
{imports}, read from this version: what each module of the library imports of it while it is loaded.
Made of them, and served in their place:
{compiled}, the library as this Pyodide compiles it, without docstrings;
{cut}, the runtime without the exports that nothing here uses (build_tools/vendor/cut_exports.py);
copies of these two packed with zopfli (*{suffix}).

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
    (folder / STARTUP).write_text(startup_modules(folder), encoding="utf-8")
    (folder / IMPORTS).write_text(library_imports(folder / LIBRARY), encoding="utf-8")
    derive(folder)
    text = VERSION_TEXT.format(
        startup=STARTUP,
        imports=IMPORTS,
        package=PACKAGE,
        version=version,
        date=date,
        integrity=integrity,
        unchanged=", ".join(AS_THEY_ARE),
        lock=LOCK,
        compiled=COMPILED,
        cut=" and ".join(SQUEEZED),
        suffix=SUFFIX,
    )
    (folder / "VERSION").write_text(text, encoding="utf-8")
    return write_sums(folder, [*AS_THEY_ARE, LOCK, STARTUP, IMPORTS, *MADE, "VERSION", *LICENCES])


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


def startup_modules(folder: Path) -> str:
    """Start the Pyodide in `folder` under Node.js and return what it has imported, one name a line."""
    done = subprocess.run(["node", str(LISTER), str(folder)], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["Node.js said nothing"])[-1]
        raise Fault(f"The fetched Pyodide does not start under Node.js: {last}", "use another version.")
    return done.stdout

"""Fetch one version of Pyodide and keep the files that a phone needs.

`npm pack` fetches the package and prints the digest that the registry records for it; the archive is checked
against that digest before a byte of it is used. The package has no licence text, so LICENSE is left as it is.
"""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

from build_tools.commands.faults import Fault

PACKAGE = "pyodide"
FOLDER = Path(__file__).parent / "pyodide"
AS_THEY_ARE = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
LOCK = "pyodide-lock.json"
STARTUP = "STARTUP_MODULES"
LISTER = Path(__file__).parent / "list_startup_modules.mjs"
LICENCES = ("LICENSE", "LICENSE-PYTHON")
SUMS = "SHA256SUMS"

VERSION_TEXT = """\
package: {package} (npm)
version: {version}
date: {date}
archive integrity: {integrity}
licence: MPL-2.0 (LICENSE); the Python standard library inside: PSF-2.0 (LICENSE-PYTHON)

Unchanged from the package: {unchanged}.
Changed: {lock} lists no packages, because none is served here.
Left out: the CommonJS build, type declarations, source maps and consoles.
Ours: {startup}, measured with this version: the library modules it has imported when it is ready.

The package has no licence text.
LICENSE is the Mozilla Public License 2.0 as installed with the Python package pathspec.
LICENSE-PYTHON is the licence as installed with CPython 3.13; the library inside is 3.14's, on the same terms.
"""


def refresh(version: str, *, date: str, folder: Path = FOLDER) -> list[str]:
    """Replace the vendored files by those of `version` and return the names of the files written.

    Raises Fault where npm is missing, cannot fetch, or delivers other bytes than it announced.
    """
    with tempfile.TemporaryDirectory() as scratch:
        archive, integrity = fetch(version, Path(scratch))
        verify(archive, integrity)
        unpack(archive, folder)
    (folder / STARTUP).write_text(startup_modules(folder), encoding="utf-8")
    text = VERSION_TEXT.format(
        startup=STARTUP,
        package=PACKAGE,
        version=version,
        date=date,
        integrity=integrity,
        unchanged=", ".join(AS_THEY_ARE),
        lock=LOCK,
    )
    (folder / "VERSION").write_text(text, encoding="utf-8")
    return write_sums(folder)


def fetch(version: str, scratch: Path) -> tuple[Path, str]:
    """Fetch the archive with npm into `scratch`; return its path and the integrity npm announced."""
    npm = shutil.which("npm")
    if npm is None:
        raise Fault("npm is not installed, and fetching Pyodide needs it.", "install Node.js with npm.")
    command = [npm, "pack", f"{PACKAGE}@{version}", "--json", "--pack-destination", str(scratch)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["npm said nothing"])[-1]
        raise Fault(f"npm could not fetch {PACKAGE} {version}: {last}", "check the version and the network.")
    answer = json.loads(done.stdout)[0]
    return scratch / answer["filename"], answer["integrity"]


def verify(archive: Path, integrity: str) -> None:
    """Compare the archive with `integrity`, for example "sha512-0YvX...". Raises Fault where they differ."""
    method, _, expected = integrity.partition("-")
    found = base64.b64encode(hashlib.new(method, archive.read_bytes()).digest()).decode("ascii")
    if found != expected:
        raise Fault(
            f"The fetched archive of {PACKAGE} is not what npm announced ({method} {found}).",
            "nothing was replaced; run this again, and do not use the archive.",
        )


def unpack(archive: Path, folder: Path) -> None:
    """Write the needed files of the archive into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    with tarfile.open(archive) as package:
        for name in AS_THEY_ARE:
            (folder / name).write_bytes(member(package, name))
        (folder / LOCK).write_text(without_packages(member(package, LOCK)), encoding="utf-8")


def member(package: tarfile.TarFile, name: str) -> bytes:
    """Return the bytes of one file of the package."""
    found = package.extractfile(f"package/{name}")
    if found is None:
        raise Fault(f"The package has no file {name}.", "read this version's changelog: it is laid out anew.")
    return found.read()


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


def write_sums(folder: Path) -> list[str]:
    """Write SHA256SUMS over every vendored file and return their names."""
    names = sorted([*AS_THEY_ARE, LOCK, STARTUP, "VERSION", *LICENCES])
    lines = [f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n" for name in names]
    (folder / SUMS).write_text("".join(lines), encoding="utf-8")
    return names

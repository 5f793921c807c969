"""Fetch one package with npm, believe nothing unverified, and write down the hashes of what is kept of it.

`npm pack` fetches the package and prints the digest that the registry records for it; the archive is checked
against that digest before a byte of it is used.
"""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
import subprocess
import tarfile
from collections.abc import Sequence
from pathlib import Path

from build_tools.faults import Fault

SUMS = "SHA256SUMS"


def fetch(package: str, version: str, scratch: Path) -> tuple[Path, str]:
    """Fetch the verified archive with npm into `scratch`; return its path and the integrity npm announced.

    Raises Fault where npm is missing, cannot fetch, or delivers other bytes than it announced.
    """
    npm = shutil.which("npm")
    if npm is None:
        raise Fault(f"npm is not installed, and fetching {package} needs it.", "install Node.js with npm.")
    command = [npm, "pack", f"{package}@{version}", "--json", "--pack-destination", str(scratch)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or ["npm said nothing"])[-1]
        raise Fault(f"npm could not fetch {package} {version}: {last}", "check the version and the network.")
    answer = json.loads(done.stdout)[0]
    archive = scratch / answer["filename"]
    verify(package, archive, answer["integrity"])
    return archive, answer["integrity"]


def verify(package: str, archive: Path, integrity: str) -> None:
    """Compare the archive with `integrity`, for example "sha512-0YvX...". Raises Fault where they differ."""
    method, _, expected = integrity.partition("-")
    found = base64.b64encode(hashlib.new(method, archive.read_bytes()).digest()).decode("ascii")
    if found != expected:
        raise Fault(
            f"The fetched archive of {package} is not what npm announced ({method} {found}).",
            "nothing was replaced; run this again, and do not use the archive.",
        )


def member(archive: tarfile.TarFile, name: str) -> bytes:
    """Return the bytes of one file of the package."""
    found = archive.extractfile(f"package/{name}")
    if found is None:
        raise Fault(f"The package has no file {name}.", "read this version's changelog: it is laid out anew.")
    return found.read()


def write_sums(folder: Path, names: Sequence[str]) -> list[str]:
    """Write SHA256SUMS over the vendored files of a folder and return their names in order."""
    ordered = sorted(names)
    lines = [f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n" for name in ordered]
    (folder / SUMS).write_text("".join(lines), encoding="utf-8")
    return ordered

"""What has to be installed at the desk, and what has to reach the phone."""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from build_tools.edition.edition import BookFile
from build_tools.measuring.row import Row
from build_tools.places import PROJECT
from build_tools.vendor.refresh import AS_THEY_ARE, FOLDER

LOCKED = PROJECT / "build_tools" / "setting_up" / "requirements" / "book.txt"
RUNTIME = "half-turn/pyodide/"
RUNTIME_MOST = 0.75
WHOLE_MOST_MB = 6


def rows(site: Path) -> Iterator[Row]:
    """Return what has to be sent, what a phone keeps, and what is installed at the desk."""
    reading, everything = edition_bytes(site)
    runtime, stock = runtime_bytes(site), stock_runtime_bytes()
    yield Row("runtime, sent", runtime / 1e6, "MB", stock / 1e6, ratio_most=RUNTIME_MOST)
    yield Row("runtime with every calculator, sent", (everything - reading) / 1e6, "MB", stock / 1e6)
    yield Row("pages and search, sent", reading / 1e6, "MB")
    yield Row("whole book, sent", everything / 1e6, "MB", most=WHOLE_MOST_MB)
    files, plain = kept_on_phone(site)
    yield Row("files kept on the phone", files, "", digits=0)
    yield Row("kept on the phone, unpacked", plain / 1e6, "MB")
    ours, theirs = package_bytes(LOCKED, "mkdocs-material")
    yield Row("installed packages at the desk", ours / 1e6, "MB", theirs / 1e6, 1)


def runtime_bytes(site: Path) -> int:
    """Return what is sent of the runtime alone, in bytes, packed where we pack."""
    files = _tiers(site)["calculators"]
    return sum((file.get("packed") or file)["bytes"] for file in files if RUNTIME in file["url"])


def kept_on_phone(site: Path) -> tuple[int, int]:
    """Return how many files a phone keeps and their bytes, unpacked; Python's memory comes on top."""
    files = [file for tier in _tiers(site).values() for file in tier]
    return len(files), sum(file["bytes"] for file in files)


def package_bytes(lock: Path, stock: str) -> tuple[int, int]:
    """Return the installed size of the locked packages, and of `stock` with all it requires, in bytes."""
    names = set(re.findall(r"^([\w.-]+)==", lock.read_text(encoding="utf-8"), re.MULTILINE))
    needed = requirements(stock, set())
    return sum(map(installed_bytes, names)), sum(map(installed_bytes, needed))


def requirements(name: str, seen: set[str]) -> set[str]:
    """Name a package and everything it requires without extras, as far as it is installed here."""
    found = installed(name)
    if found is None or name in seen:
        return seen
    seen.add(name)
    for line in found.requires or ():
        wanted = re.match(r"[\w.-]+", line)
        if wanted and "extra ==" not in line:
            requirements(wanted[0].lower().replace("_", "-"), seen)
    return seen


def installed(name: str) -> Distribution | None:
    """Find an installed package; None where this system does not need it."""
    try:
        return distribution(name)
    except PackageNotFoundError:
        return None


def installed_bytes(name: str) -> int:
    """Return the size of an installed package's files in bytes, 0 where this system does not need it."""
    found = installed(name)
    paths = [Path(str(file.locate())) for file in found.files or ()] if found else []
    return sum(path.stat().st_size for path in paths if path.is_file())


def edition_bytes(site: Path) -> tuple[int, int]:
    """Return what a phone fetches for the pages alone and for everything, in bytes, packed where we pack."""
    sizes = {
        name: sum((file.get("packed") or file)["bytes"] for file in files)
        for name, files in _tiers(site).items()
    }
    return sizes["reading"], sum(sizes.values())


def _tiers(site: Path) -> dict[str, list[BookFile]]:
    edition = json.loads((site / "edition.json").read_text(encoding="utf-8"))
    tiers: dict[str, list[BookFile]] = edition["tiers"]
    return tiers


def stock_runtime_bytes() -> int:
    """Return the size of the runtime's files as their package has them, each gzipped, in bytes."""
    return sum(gzipped(FOLDER / name) for name in AS_THEY_ARE)


def gzipped(path: Path) -> int:
    """Return a file's size in bytes, gzipped if that is smaller."""
    content = path.read_bytes()
    return min(len(content), len(gzip.compress(content, 9, mtime=0)))

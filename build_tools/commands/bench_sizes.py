"""What has to be installed at the desk, and what has to reach the phone."""

from __future__ import annotations

import gzip
import json
import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from build_tools.vendor.refresh import AS_THEY_ARE, FOLDER


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
    tiers = json.loads((site / "edition.json").read_text(encoding="utf-8"))["tiers"]
    sizes = {
        name: sum((file.get("packed") or file)["bytes"] for file in files) for name, files in tiers.items()
    }
    return sizes["reading"], sum(sizes.values())


def packed_bytes(site: Path) -> int:
    """Return the size of a site's files, source maps left out, each gzipped where that helps, in bytes."""
    files = (path for path in site.rglob("*") if path.is_file() and path.suffix not in (".map", ".gz"))
    return sum(gzipped(path) for path in files)


def stock_runtime_bytes() -> int:
    """Return the size of the runtime's files as their package has them, each gzipped, in bytes."""
    return sum(gzipped(FOLDER / name) for name in AS_THEY_ARE)


def gzipped(path: Path) -> int:
    """Return a file's size in bytes, gzipped if that is smaller."""
    content = path.read_bytes()
    return min(len(content), len(gzip.compress(content, 9, mtime=0)))

"""Make sure that Chromium and its driver are there for the browser tests."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence

from build_tools.commands.faults import Fault

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
DRIVER = "chromedriver"
PACKAGES = ("chromium", "chromium-driver")


def ensure_chromium(say: Callable[[str], None]) -> None:
    """Return where browser and driver are on the PATH, or install them as root from the distribution.

    Raises Fault with the exact command for a person who may.
    """
    if is_there():
        return
    if sys.platform != "linux" or shutil.which("apt-get") is None:
        raise Fault(
            "The browser tests need Chromium and chromedriver, and one of them is not on the PATH.",
            "install both with your package manager, and run the same command again.",
        )
    if os.geteuid() != 0:
        raise Fault(
            "The browser tests need Chromium and chromedriver, and only root may install them.",
            f"sudo apt-get update && sudo apt-get install --yes {' '.join(PACKAGES)}",
        )
    say("[1/2] Reading the distribution's list of packages")
    apt_get(["update"])
    say("[2/2] Installing Chromium and its driver (about 400 MB on disk, a few minutes)")
    apt_get(["install", "--yes", "--no-install-recommends", *PACKAGES])
    if not is_there():
        raise Fault(
            "Chromium was installed, but it or chromedriver is still not on the PATH.",
            f"see where they are: dpkg --listfiles {' '.join(PACKAGES)}",
        )


def is_there() -> bool:
    """Tell whether a Chromium and its driver are on the PATH."""
    return any(map(shutil.which, BROWSERS)) and shutil.which(DRIVER) is not None


def apt_get(arguments: Sequence[str]) -> None:
    """Run apt-get quietly. Raises Fault with its last word where it fails."""
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    command = ["apt-get", "-qq", *arguments]
    done = subprocess.run(command, capture_output=True, text=True, env=surroundings, check=False)
    if done.returncode != 0:
        said = [line for line in (done.stderr + done.stdout).splitlines() if line.startswith("E:")]
        raise Fault(
            f"apt-get {arguments[0]} failed: {said[0][2:].strip() if said else 'it did not say why'}",
            f"see the whole answer: {' '.join(command)}",
        )

"""Find the browsers and drivers that the browser tests need, and install those that are missing."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from build_tools.faults import Fault

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
CHROMIUM_DRIVER = "chromedriver"
WEBKIT_DRIVER = "WebKitWebDriver"
DISPLAY = "Xvfb"

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Engine:
    """One browser engine: the programs it needs (one of each group), and the packages that bring them."""

    name: str
    programs: tuple[tuple[str, ...], ...]
    packages: tuple[str, ...]

    def is_there(self) -> bool:
        """Tell whether all its programs are on the PATH."""
        return all(any(map(shutil.which, group)) for group in self.programs)


CHROMIUM = Engine("Chromium", (BROWSERS, (CHROMIUM_DRIVER,)), ("chromium", "chromium-driver"))
WEBKIT = Engine("WebKit", ((WEBKIT_DRIVER,), (DISPLAY,)), ("webkit2gtk-driver", "xvfb"))
ENGINES = (CHROMIUM, WEBKIT)
FIREFOX_PROGRAMS = ("firefox-esr", "firefox")
FIREFOX = Engine("Firefox", (FIREFOX_PROGRAMS,), ("firefox-esr",))
"""Used where it is there; the tests do not install it."""


def ensure_engines(say: Say) -> list[str]:
    """Install the engines that are missing where this user may, and name those that are there.

    Chromium is needed, and WebKit too where `CI` is set. Raises Fault with the exact command where one of
    these is missing; a WebKit missing on a desk is said in a line.
    """
    missing = [engine for engine in ENGINES if not engine.is_there()]
    if missing and may_install():
        install(missing, say)
        missing = [engine for engine in ENGINES if not engine.is_there()]
    if missing and (CHROMIUM in missing or os.environ.get("CI")):
        raise not_there(missing)
    for engine in missing:
        say(f"{engine.name} is not on this machine: its tests are left out. To have it: {by_hand([engine])}")
    return [engine.name for engine in (*ENGINES, FIREFOX) if engine.is_there()]


def ensure_chromium(say: Say) -> None:
    """Return where Chromium and its driver are there or can be installed. Raises Fault where not."""
    if not CHROMIUM.is_there() and may_install():
        install([CHROMIUM], say)
    if not CHROMIUM.is_there():
        raise not_there([CHROMIUM])


def may_install() -> bool:
    """Tell whether this is a Debian-like system and this user its root."""
    return has_apt() and os.geteuid() == 0


def has_apt() -> bool:
    """Tell whether packages come from apt here."""
    return sys.platform == "linux" and shutil.which("apt-get") is not None


def install(engines: Sequence[Engine], say: Say) -> None:
    """Install the packages of these engines from the distribution."""
    names = " and ".join(engine.name for engine in engines)
    say("[1/2] Reading the distribution's list of packages")
    apt_get(["update"])
    say(f"[2/2] Installing {names} with the drivers (about 400 MB on disk each, a few minutes)")
    apt_get(["install", "--yes", "--no-install-recommends", *packages_of(engines)])


def not_there(engines: Sequence[Engine]) -> Fault:
    """Say which engines are missing, and how this kind of system gets them."""
    names = " and ".join(engine.name for engine in engines)
    return Fault(
        f"The browser tests need {names} with the driver, and not all of it is on the PATH.", by_hand(engines)
    )


def by_hand(engines: Sequence[Engine]) -> str:
    """Return what a person does to get these engines."""
    if not has_apt():
        programs = [group[0] for engine in engines for group in engine.programs]
        return f"install {', '.join(programs)} with your package manager, and run the same command again."
    packages = " ".join(packages_of(engines))
    if may_install():
        return f"see where they are: dpkg --listfiles {packages}"
    return f"sudo apt-get update && sudo apt-get install --yes {packages}"


def packages_of(engines: Iterable[Engine]) -> list[str]:
    """Return the packages that bring these engines."""
    return [package for engine in engines for package in engine.packages]


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

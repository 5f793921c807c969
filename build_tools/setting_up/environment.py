"""What is known about .venv: where its parts lie, and whether it still fits the project."""

from __future__ import annotations

import hashlib
import json
import os
import re
import sys
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path

from build_tools.places import PROJECT

LEVELS = ("book", "tests")
"""What a verb needs. "tests" holds everything that "book" holds."""

UNDER_WAY = "under way"
READY = "ready"


@dataclass(frozen=True, slots=True)
class Mark:
    """The note a set-up leaves in .venv: how far it came, and what it was made for."""

    state: str
    project: str
    python: str
    locks: Mapping[str, str] = field(default_factory=dict)
    packages: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Environment:
    """The .venv of one project folder."""

    project: Path = PROJECT

    @property
    def folder(self) -> Path:
        """The environment itself."""
        return self.project / ".venv"

    @property
    def python(self) -> Path:
        """Its interpreter."""
        return self.folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")

    @property
    def mark_file(self) -> Path:
        """Where the note of the set-up lies."""
        return self.folder / "half-turn-set-up.json"

    def requirements(self, level: str) -> Path:
        """The locked requirements of "book" or "tests"."""
        return self.project / "build_tools" / "setting_up" / "requirements" / f"{level}.txt"

    def lock_key(self, level: str) -> str:
        """Sixteen hex digits that change with the locked requirements or the project's metadata."""
        content = self.requirements(level).read_bytes() + (self.project / "pyproject.toml").read_bytes()
        return hashlib.sha256(content).hexdigest()[:16]

    def packages(self, level: str) -> tuple[str, ...]:
        """The names in the locked requirements of `level`."""
        text = self.requirements(level).read_text(encoding="utf-8")
        return tuple(sorted(set(re.findall(r"^([A-Za-z0-9._-]+)==", text, re.MULTILINE))))

    def mark(self) -> Mark | None:
        """Read the note; None where there is none or it cannot be read."""
        try:
            written = json.loads(self.mark_file.read_text(encoding="utf-8"))
            return Mark(**{**written, "packages": tuple(written["packages"])})
        except (OSError, ValueError, TypeError, KeyError):
            return None

    def write_mark(self, mark: Mark) -> None:
        """Write the note in one step, so that it is never read half written."""
        half = self.mark_file.with_suffix(".new")
        half.write_text(json.dumps(asdict(mark), indent=2) + "\n", encoding="utf-8")
        half.replace(self.mark_file)

    def fits(self, mark: Mark) -> bool:
        """Tell whether .venv was made here and its interpreter is still the same one."""
        here = (str(self.project), os.path.realpath(self.python))
        is_whole = self.python.exists() and (self.folder / "pyvenv.cfg").is_file()
        return is_whole and (mark.project, mark.python) == here

    def is_ready(self, level: str) -> bool:
        """Tell whether nothing at all has to be done for `level`."""
        mark = self.mark()
        if mark is None or mark.state != READY or not self.fits(mark):
            return False
        return mark.locks.get(level) == self.lock_key(level)

    def is_running(self) -> bool:
        """Tell whether this very process runs in .venv."""
        return Path(sys.prefix).resolve() == self.folder.resolve()

"""A fault a person can do something about: what is wrong, and how to fix it."""

from __future__ import annotations


class Fault(Exception):
    """Stops a command with one clear line and the way out; never shown as a traceback."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(what)
        self.what = what
        self.fix = fix

    def __str__(self) -> str:
        return f"{self.what}\n  fix: {self.fix}"

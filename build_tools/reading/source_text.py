"""Reads a file that people wrote; one that is not UTF-8 becomes a problem with its line and stops no run."""

from __future__ import annotations

from pathlib import Path

from build_tools.reading.problems import Problem


def read_source(path: Path, file: str) -> tuple[str, list[Problem]]:
    """Return a file's text and, where it is not UTF-8, one problem. `file` is the name that problems use."""
    content = path.read_bytes()
    try:
        return content.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        problem = Problem(
            file,
            content.count(b"\n", 0, error.start) + 1,
            "the line holds a character that is not UTF-8",
            "phones would show a wrong sign in its place",
            "save the file as UTF-8 in the editor, and type the character again",
        )
        return content.decode("utf-8", errors="replace"), [problem]

"""What `check` passes, `build` builds: no mistake of an author waits until the build to be told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from build_tools.commands import build, check
from build_tools.places import PROJECT

Change = Callable[[Path, str, str], None]
PASSED = [
    case
    for case in sorted((PROJECT / "tests/book/checks/mistakes").glob("*.yml"))
    if " mistake" not in case.read_text(encoding="utf-8").splitlines()[-1]
]
"""The golden books that have warnings alone."""
ONLY_THE_BUILD = {
    "a key that MkDocs does not know": ("site_name:", "naw: []\nsite_name:"),
    "no name": ("site_name: A small handbook\n", ""),
    "a menu entry of two": (
        "- index.md\n  - procedures/time-the-lip.md\n",
        "- {a: index.md, b: procedures/time-the-lip.md}\n",
    ),
    "a menu entry that is a list": ("- figures.md", "- [figures.md]"),
    "a menu entry that is no page": ("- figures.md", "- figures.html"),
    "no such plugin": ("- half-turn\n", "- half-turn\n  - nowhere\n"),
    "an option of ours": ("- half-turn\n", "- half-turn: {loud: true}\n"),
    "no such extension": ("nav:\n", "markdown_extensions: [nowhere]\nnav:\n"),
    "an address without its kind": ("nav:\n", "site_url: nowhere\nnav:\n"),
    "a list for a mapping": ("nav:\n", "extra: []\nnav:\n"),
    "no such icon": ("name: material", "name: material\n  icon: {logo: no/such}"),
}
"""What only `build` found before `check` asked MkDocs itself, as edits of the good book's mkdocs.yml.

One kind stays the build's own: what a company asks MkDocs to be strict about by `validation:`.
"""


@pytest.fixture
def here(good_book: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small book in the place of the project."""
    for module in (build, check):
        monkeypatch.setattr(module, "PROJECT", good_book)
    return good_book


@pytest.mark.parametrize("what", ONLY_THE_BUILD)
def test_what_stops_the_build_stops_the_check(
    here: Path, changed: Change, capsys: pytest.CaptureFixture[str], what: str
) -> None:
    """Each mistake in mkdocs.yml is one mistake for both, with the same words and a line."""
    changed(here / "mkdocs.yml", *ONLY_THE_BUILD[what])

    assert check.run([]) == 1
    checked = capsys.readouterr().err
    assert build.run(["--into", str(here / "site")]) == 1
    built = capsys.readouterr().err

    assert checked.startswith("mkdocs.yml:")
    assert checked.endswith("\n1 mistake\n")
    assert built.removeprefix("the book has mistakes\n\n") == checked


@pytest.mark.parametrize("case", PASSED, ids=lambda case: case.stem)
def test_what_the_check_passes_is_built(here: Path, changed: Change, case: Path) -> None:
    """A book with nothing but warnings passes the check and is built."""
    told = yaml.safe_load(case.read_text(encoding="utf-8"))
    for edit in told.get("edits", []):
        changed(here / edit["file"], edit["old"], edit["new"])
    for name, text in told.get("files", {}).items():
        (here / name).write_text(text, encoding="utf-8")

    assert check.run([]) == 0
    assert build.run(["--into", str(here / "site")]) == 0

"""A page of the book: its front matter, read with the line of each key, and its scan."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath
from typing import Any

from build_tools.reading.lines import Scan, scan
from build_tools.reading.marked_yaml import InvalidYaml, Node, read_marked
from build_tools.reading.problems import Problem
from build_tools.reading.prose import Passage, passages
from build_tools.reading.shapes import Key, Shape, check_shape, is_kind
from build_tools.reading.source_text import read_source

PAGE_KINDS = ("home", "procedure", "guide", "reference")
SECTIONS = ("before", "steps", "stop", "record")
"""The sections of every procedure; the words "book.section." and one of these are its heading."""
_REVISED = re.compile(r"^revised:.*$", re.MULTILINE)
CLOSING_HERE, CLOSING_NOT_NEEDED = "here", "not needed"
_EVERY: Shape = {
    "title": Key("text", "menus and search name the page by its title", "Time the lip fold"),
    "kind": Key("text", "the kind decides which rules the page must meet", "procedure", choices=PAGE_KINDS),
    "summary": Key("text", "one sentence lets a reader choose the page", "Time the lip and judge it."),
    "revised": Key("date", "a reader must see how old the page is", "2026-11-20"),
    "review_by": Key("date", "somebody must look at the page again by then", "2027-11-20"),
    "accepts": Key(
        "texts",
        "a page that a fault path ends at says which of its cases it was held against",
        "[will-not-rise-fully/compare-the-record]",
        required=False,
    ),
    "read_first": Key("flag", "phones show such a page once before the next job", "true", required=False),
    "closing_cycle": Key(
        "text",
        "a procedure ends with the operating cycle unless it changes nothing on the leveler",
        CLOSING_NOT_NEEDED,
        required=False,
        choices=(CLOSING_HERE, CLOSING_NOT_NEEDED),
    ),
}
_PROCEDURE: Shape = {
    "who": Key("text", "a procedure says who may do it", "One trained technician"),
    "takes": Key("id", "the time is a figure, so that it lives in one place", "timing-takes"),
    "tools": Key("texts", "nobody should walk back for a tool", "[stopwatch, tape]"),
    "hazards": Key(
        "mapping", "each hazard must stand before the step that needs it", "{lip-path: start-the-watch}"
    ),
}
SHAPES: dict[str, Shape] = {
    "procedure": {**_EVERY, **_PROCEDURE},
    **{
        kind: {
            **_EVERY,
            **{name: Key(key.kind, key.why, key.example, required=False) for name, key in _PROCEDURE.items()},
        }
        for kind in PAGE_KINDS
        if kind != "procedure"
    },
}


def address_of(src: str) -> str:
    """Return a page's address from the site's root; `src` is its path in the docs folder."""
    return src.removesuffix(".md") + ".html"


@dataclass(frozen=True)
class Page:
    """One Markdown file. `src` is its path in the docs folder, `file` its path in the project."""

    src: str
    file: str
    scan: Scan
    fields: dict[str, Node]
    """The front matter's keys with their lines; empty where it could not be read."""

    def text(self, key: str) -> str:
        """Return a front matter value as typed, or "" where it is absent."""
        node = self.fields.get(key)
        return node.written if node is not None else ""

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """All sentences of the page as a reader meets them, which many checks read."""
        return passages(self.scan)

    @property
    def kind(self) -> str:
        """The page's kind, one of PAGE_KINDS, or "" where the front matter gives none."""
        return self.text("kind")

    @property
    def tools(self) -> tuple[str, ...]:
        """The tools that the page asks for, as typed."""
        node = self.fields.get("tools")
        return tuple(item.written for item in node.value) if node is not None and node.value else ()

    @property
    def accepts(self) -> dict[str, int]:
        """The ends of fault paths that the page accepts, "path/question", each with its line."""
        node = self.fields.get("accepts")
        return {item.written: item.line for item in node.value} if node is not None and node.value else {}

    @property
    def hazards(self) -> dict[str, Node]:
        """The declared hazards: hazard id to a node with the id of the first step that needs it."""
        node = self.fields.get("hazards")
        return dict(node.value) if node is not None and isinstance(node.value, dict) else {}

    @property
    def root(self) -> str:
        """The relative path from the built page to the site's root: ".", ".." or "../.."."""
        depth = len(PurePosixPath(self.src).parts) - 1
        return "/".join([".."] * depth) or "."

    def meta(self) -> dict[str, Any]:
        """Return the front matter without lines, dates as text."""
        return {key: node.plain() for key, node in self.fields.items()}


def read_page(path: Path, docs: Path, project: Path) -> tuple[Page, list[Problem]]:
    """Read one page; return it with its problems.

    Where the front matter is wrong, the page has those fields that can be read.

    Args:
        path: the Markdown file.
        docs: the docs folder, which holds it.
        project: the project's folder, from which problems name the file.
    """
    file = path.relative_to(project).as_posix()
    text, problems = read_source(path, file)
    page, found = page_from(text, path.relative_to(docs).as_posix(), file)
    return page, problems + found


def dated(text: str, revised: str) -> str:
    """Return a made page's text with the edition's date (YYYY-MM-DD) as its `revised` date."""
    return _REVISED.sub(f"revised: {revised}", text, count=1)


def page_from(text: str, src: str, file: str) -> tuple[Page, list[Problem]]:
    """Make a page from its raw text; return it with its problems. `src` and `file` are as in Page."""
    scanned = scan(text)
    if scanned.front_matter is None:
        problem = Problem(
            file,
            1,
            "the page has no front matter",
            "without it the page has no title, kind or date",
            "start the file with a line `---`, the keys, and a line `---`",
        )
        return Page(src, file, scanned, {}), [problem]
    try:
        root = read_marked(scanned.front_matter, first_line=2)
    except InvalidYaml as error:
        problem = Problem(
            file,
            error.line,
            f"the front matter is not readable as YAML: {error.message}",
            "the page would lose its title, hazards and dates",
            "look at this line and the one above: indents, colons, quotes",
        )
        return Page(src, file, scanned, {}), [problem]
    if not isinstance(root.value, dict):
        problem = Problem(
            file,
            2,
            "the front matter has no keys",
            "without it the page has no title, kind or date",
            "write lines such as `title: Time the lip fold` between the two lines `---`",
        )
        return Page(src, file, scanned, {}), [problem]
    problems = _check_fields(root, file)
    usable = {
        key: node
        for key, node in root.value.items()
        if key in SHAPES["procedure"] and is_kind(node, SHAPES["procedure"][key].kind)
    }
    return Page(src, file, scanned, usable), problems


def _check_fields(root: Node, file: str) -> list[Problem]:
    kind = root.value.get("kind")
    shape = SHAPES.get(kind.written if kind is not None else "", SHAPES["reference"])
    found = check_shape(root, shape, file=file, subject="the front matter")
    revised, review = root.value.get("revised"), root.value.get("review_by")
    if (
        revised
        and review
        and is_kind(revised, "date")
        and is_kind(review, "date")
        and review.value <= revised.value
    ):
        found.append(
            Problem(
                file,
                review.line,
                f"review_by {review.value} is not after revised {revised.value}",
                "the page would be overdue from the start",
                "give a later review date",
            )
        )
    return found

"""Links and images: relative targets and anchors exist, images can be read aloud."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping
from urllib.parse import unquote

from build_tools.book import REGISTER_PAGE, REGISTERS, Book
from build_tools.lines import Link
from build_tools.pages import Page
from build_tools.problems import Problem, closest
from build_tools.rendering import Rendered

_OUTSIDE = re.compile(r"^(?:https?|mailto|tel):", re.I)


def check_links(book: Book, rendered: Mapping[str, Rendered]) -> list[Problem]:
    """Give every broken link or image of all pages."""
    files = {path.relative_to(book.docs).as_posix() for path in book.docs.rglob("*") if path.is_file()}
    files = {name for name in files if not name.startswith(f"{REGISTERS}/")} | {REGISTER_PAGE}
    return [problem for page in book.pages.values() for link in page.scan.links
            for problem in _link(page, link, files, rendered)]


def _link(page: Page, link: Link, files: set[str], rendered: Mapping[str, Rendered]) -> list[Problem]:
    found = []
    if link.is_image and not link.text.strip():
        found.append(Problem(page.file, link.line, f"the image '{link.target}' has no alternative text",
                             "who cannot see it, or has no picture yet, learns nothing",
                             "say in the square brackets what it shows: ![the adjusting nut](...)"))
    if _OUTSIDE.match(link.target):
        if link.is_image:
            found.append(Problem(page.file, link.line, f"the image '{link.target}' lies outside the book",
                                 "without a network it is not there", "put the file beside the page"))
        return found
    return found + _target(page, link, files, rendered)


def _target(page: Page, link: Link, files: set[str], rendered: Mapping[str, Rendered]) -> list[Problem]:
    path, _, anchor = link.target.partition("#")
    if path.startswith("/"):
        return [_broken(page, link, "starts at the host's root", "the book may stand in a folder of its host",
                        "write it from this page: ../folder/page.md")]
    target = posixpath.normpath(posixpath.join(posixpath.dirname(page.src), unquote(path))) if path else page.src
    if target not in files:
        near = closest(target, files)
        here = posixpath.relpath(near, posixpath.dirname(page.src) or ".") if near else ""
        return [_broken(page, link, "leads nowhere", f"there is no file content/{target}",
                        f"write '{here}' (closest)" if near else "correct the path, from this page's folder")]
    if anchor and target in rendered and anchor not in rendered[target].anchors:
        near = closest(anchor, rendered[target].anchors)
        return [_broken(page, link, f"names '#{anchor}', which '{target}' does not have",
                        "the reader would land at the top of the page instead",
                        f"write '#{near}' (closest)" if near else "link to a heading or a step of that page")]
    return []


def _broken(page: Page, link: Link, what: str, why: str, fix: str) -> Problem:
    noun = "image" if link.is_image else "link"
    return Problem(page.file, link.line, f"the {noun} '{link.target}' {what}", why, fix)

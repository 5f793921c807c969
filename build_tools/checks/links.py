"""Links, images and HTML in a page: targets exist, images can be read aloud, the policy stops nothing."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping
from urllib.parse import unquote

from build_tools.blocks.rendering import Rendered
from build_tools.book.book import REGISTERS, Book
from build_tools.reading.lines import Link, line_of
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, closest

_OUTSIDE = re.compile(r"^(?:https?|mailto|tel):", re.I)
_STOPPED = ("script", "style", "iframe", "object", "embed", "base", "form")
_TAG = re.compile(r"<(?P<name>[a-z][a-z0-9-]*)\b(?P<attributes>[^<>]*)>", re.I)
_ATTRIBUTE = re.compile(r"(?<=\s)(?P<name>style|on[a-z]+)\s*=", re.I)
_WHY = "each page forbids it, so that nothing foreign can ever run or show there"


def check_links(book: Book, rendered: Mapping[str, Rendered]) -> list[Problem]:
    """Return every broken link or image of all pages."""
    files = {path.relative_to(book.docs).as_posix() for path in book.docs.rglob("*") if path.is_file()}
    files = {name for name in files if not name.startswith(f"{REGISTERS}/")} | {*book.made_pages()}
    return [
        problem
        for page in book.pages.values()
        for link in page.scan.links
        for problem in _link(page, link, files, rendered)
    ]


def _link(page: Page, link: Link, files: set[str], rendered: Mapping[str, Rendered]) -> list[Problem]:
    found = []
    if link.is_image and not link.text.strip():
        what = "has no alternative text"
        why = "who cannot see it, or has no picture yet, learns nothing"
        fix = "say in the square brackets what it shows: ![the adjusting nut](...)"
        found.append(_broken(page, link, what, why, fix))
    if not _OUTSIDE.match(link.target):
        return found + _target(page, link, files, rendered)
    if link.is_image:
        why = "without a network it is not there"
        found.append(_broken(page, link, "lies outside the book", why, "put the file beside the page"))
    return found


def _target(page: Page, link: Link, files: set[str], rendered: Mapping[str, Rendered]) -> list[Problem]:
    path, _, anchor = link.target.partition("#")
    here = posixpath.dirname(page.src)
    target = posixpath.normpath(posixpath.join(here, unquote(path))) if path else page.src
    if path.startswith("/"):
        what, why = "starts at the host's root", "the book may stand in a folder of its host"
        fix = "write it from this page: ../folder/page.md"
    elif target not in files:
        what, why = "leads nowhere", f"there is no file content/{target}"
        near = closest(target, files)
        fix = "correct the path, counted from this page's folder"
        fix = f"write '{posixpath.relpath(near, here or '.')}' (closest), or {fix}" if near else fix
    elif anchor and target in rendered and anchor not in rendered[target].anchors:
        what = f"names '#{anchor}', which '{target}' does not have"
        why = "the reader would land at the top of the page instead"
        near = closest(anchor, rendered[target].anchors)
        fix = "link to a heading or a step of that page"
        fix = f"write '#{near}' (closest), or {fix}" if near else fix
    else:
        return []
    return [_broken(page, link, what, why, fix)]


def _broken(page: Page, link: Link, what: str, why: str, fix: str) -> Problem:
    noun = "image" if link.is_image else "link"
    return Problem(page.file, link.line, f"the {noun} '{link.target}' {what}", why, fix)


def check_markup(pages: Iterable[Page]) -> list[Problem]:
    """Return every tag and attribute of pages that no browser would heed there."""
    return [problem for page in pages for problem in _stopped_parts(page)]


def _stopped_parts(page: Page) -> Iterator[Problem]:
    for tag in _TAG.finditer(page.scan.masked):
        line, name = line_of(page.scan.masked, tag.start()), tag["name"].lower()
        if name in _STOPPED:
            what, fix = f"the tag <{name}> is not let in", "leave it out, or ask whoever keeps build_tools"
            yield Problem(page.file, line, what, _WHY, fix)
        for attribute in _ATTRIBUTE.finditer(tag["attributes"]):
            what = f"the attribute '{attribute['name'].lower()}' is not let in"
            fix = "leave it out; how a page looks and acts stands in build_tools/browser"
            yield Problem(page.file, line, what, _WHY, fix)

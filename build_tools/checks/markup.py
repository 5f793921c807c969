"""HTML that authors write into a page: nothing that the pages' policy would stop (see policy.py)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from build_tools.reading.lines import line_of
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem

_STOPPED = ("script", "style", "iframe", "object", "embed", "base", "form")
_TAG = re.compile(r"<(?P<name>[a-z][a-z0-9-]*)\b(?P<attributes>[^<>]*)>", re.I)
_ATTRIBUTE = re.compile(r"(?<=\s)(?P<name>style|on[a-z]+)\s*=", re.I)


def check_markup(pages: Iterable[Page]) -> list[Problem]:
    """Give every tag and attribute of pages that no browser would heed there."""
    return [problem for page in pages for problem in _problems(page)]


def _problems(page: Page) -> Iterator[Problem]:
    for tag in _TAG.finditer(page.scan.masked):
        line, name = line_of(page.scan.masked, tag.start()), tag["name"].lower()
        if name in _STOPPED:
            what, fix = f"the tag <{name}> is not let in", "leave it out, or ask whoever keeps build_tools"
            yield Problem(page.file, line, what, _WHY, fix)
        for attribute in _ATTRIBUTE.finditer(tag["attributes"]):
            what = f"the attribute '{attribute['name'].lower()}' is not let in"
            fix = "leave it out; how a page looks and acts stands in build_tools/browser"
            yield Problem(page.file, line, what, _WHY, fix)


_WHY = "each page forbids it, so that nothing foreign can ever run or show there"

"""A page as search reads it: without what search leaves out or ignores, which it would find slowly.

The theme's search keeps the words and the marks of paragraphs, lists, code and raised letters. It walks a
page tag by tag, and a page of ours has three times as many as plain Markdown.
"""

from __future__ import annotations

import re

_LEFT_OUT = re.compile(
    r"<(label|sup|span|aside|dl)\b[^<>]*\sdata-search-exclude\b[^<>]*>(?:[^<]|<(?!h[1-6]\b|/?\1\b))*</\1>"
)
"""An element that search leaves out; one with a heading in it, or another of its own kind, it gets to see."""
_UNNOTICED = re.compile(
    r"</?(?:strong|em|q|td|th|tr|thead|tbody|dt|dd)(?:\s(?:(?!data-search-exclude)[^<>])*)?>"
    r"|<a\s(?:(?!data-search-exclude|headerlink)[^<>])*>(?P<words>[^<]*)</a>"
)
"""Tags of which search takes the words alone. None of them ever holds a heading."""


def as_search_reads(html: str) -> str:
    """Return the page without them; all sections, their headings and their words stay."""
    return _UNNOTICED.sub(lambda tag: tag["words"] or "", _LEFT_OUT.sub("", html))

"""Finds phrases in sentences: whole words in upper or lower case, with hyphens or spaces between them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

_TOKEN = re.compile(r"[^\W_]+")


class Phrases:
    """A set of phrases to look for. With `plural`, a phrase is also found with an s at its end."""

    def __init__(self, phrases: Iterable[str], *, plural: bool = False) -> None:
        self._by_start: dict[str, list[str]] = {}
        self._plural = plural
        for phrase in sorted(phrases, key=lambda each: (-len(each), each)):
            start = _TOKEN.findall(phrase.lower())[0]
            for token in (start, f"{start}s") if plural else (start,):
                self._by_start.setdefault(token, []).append(phrase)

    def found(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield (phrase, words as written) for each phrase in `text`, longest first, none inside another."""
        near = {phrase for token in _TOKEN.findall(text.lower()) for phrase in self._by_start.get(token, ())}
        for phrase in sorted(near, key=lambda each: (-len(each), each)):
            pattern = phrase_pattern(phrase, plural=self._plural)
            if match := pattern.search(text):
                yield phrase, match[0]
                text = pattern.sub("#", text)

    def without(self, text: str) -> str:
        """Return `text` with every phrase blanked out."""
        for phrase, _ in list(self.found(text)):
            text = phrase_pattern(phrase, plural=self._plural).sub("#", text)
        return text


@cache
def phrase_pattern(phrase: str, *, plural: bool = False) -> re.Pattern[str]:
    """Return the pattern that matches one phrase, whatever its case and with hyphens or spaces."""
    joined = r"[\s-]+".join(re.escape(part) for part in re.split(r"[\s-]+", phrase.strip()))
    return re.compile(rf"(?<![\w-]){joined}{'s?' if plural else ''}(?![\w-])", re.I)

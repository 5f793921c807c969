"""Each question once a build: examples are checked, shown and looked up in tables, and all ask alike."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from calculators import answering


def ask(name: str, text: str, words: Mapping[str, str]) -> str:
    """Return what `calculators.answering.run` answers; the same question in the same words is worked out once.

    `words` are those of a book that has been read and do not change any more.
    """
    return _answer(name, text, _Same(words))


class _Same:
    """The sentences of one book, told from those of others by being the same object: they are many."""

    def __init__(self, words: Mapping[str, str]) -> None:
        self.words = words

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.words is self.words

    def __hash__(self) -> int:
        return id(self.words)


@lru_cache(maxsize=1024)  # some five times what a book asks
def _answer(name: str, text: str, words: _Same) -> str:
    return answering.run(name, text, words.words)

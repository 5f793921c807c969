"""Large pieces of the pages, calculators and drawings, set aside while Markdown and search read a page.

Each is made once, however many pages show it. Search reads what a person would search for in it; its form,
its lines and its numbers would only cost time and lead nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from dataclasses import dataclass

_PLACE = re.compile(r"<!--set aside (\d+)-->")
_TOLD = re.compile(r"<!--set aside (\d+)-->.*?<!--set back-->", re.S)


@dataclass(frozen=True, slots=True)
class Piece:
    """HTML for a page, and the HTML of what search finds of it."""

    whole: str
    told: str


class SetAside:
    """The pieces of one build."""

    def __init__(self) -> None:
        self._numbers: dict[Hashable, int] = {}
        self._makers: list[Callable[[], Piece]] = []
        self._made: dict[int, Piece] = {}

    def place(self, key: Hashable, make: Callable[[], Piece]) -> str:
        """Give what stands for a piece for the time being; it is made when the first page needs it."""
        number = self._numbers.setdefault(key, len(self._makers))
        if number == len(self._makers):
            self._makers.append(make)
        return f"<!--set aside {number}-->"

    def told(self, html: str) -> str:
        """Give the page as search reads it."""
        return _PLACE.sub(lambda place: f"{place[0]}{self._piece(place).told}<!--set back-->", html)

    def whole(self, html: str) -> str:
        """Give the page, read by search, with its pieces."""
        return _TOLD.sub(lambda place: self._piece(place).whole, html)

    def _piece(self, place: re.Match[str]) -> Piece:
        number = int(place[1])
        if number not in self._made:
            self._made[number] = self._makers[number]()
        return self._made[number]


def told_of_drawing(figure: str) -> Piece:
    """Give a drawing as a piece: search finds its caption."""
    return Piece(figure, re.sub(r"<svg\b.*</svg>", "", figure, flags=re.S))

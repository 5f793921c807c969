"""Large pieces of the pages, calculators and drawings, set aside while Markdown and search read a page.

Each is made once, however many pages show it. Search reads what a person would search for in it; its form,
its lines and its numbers would only cost time and lead nowhere. What stands in a piece's place says all that
is needed to make it, so that a page kept from an earlier build brings its pieces too.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

_PLACE = re.compile(r"<!--set aside ([^<>]+)-->")
_TOLD = re.compile(r"<!--set aside ([^<>]+)-->.*?<!--set back-->", re.S)


@dataclass(frozen=True, slots=True)
class Piece:
    """HTML for a page, and the HTML of what search finds of it."""

    whole: str
    told: str


def place(*what: str) -> str:
    """Return the comment that holds a piece's place; `what` says which one, in words without < > and |."""
    return f"<!--set aside {'|'.join(what)}-->"


class SetAside:
    """The pieces of one build. `make` is given what `place` was given, once for each piece."""

    def __init__(self, make: Callable[..., Piece]) -> None:
        self._make = make
        self._made: dict[str, Piece] = {}

    def told(self, html: str) -> str:
        """Return the page as search reads it."""
        return _PLACE.sub(lambda place: f"{place[0]}{self._piece(place).told}<!--set back-->", html)

    def whole(self, html: str) -> str:
        """Return the page, read by search, with its pieces."""
        return _TOLD.sub(lambda place: self._piece(place).whole, html)

    def _piece(self, place: re.Match[str]) -> Piece:
        what = place[1]
        if what not in self._made:
            self._made[what] = self._make(*what.split("|"))
        return self._made[what]

"""Labels outside a drawing, each at the end of an upright leader: none covers another, no leader crosses one.

There are rows above and below a drawing. A label may be in any row, and slide along it as long as its leader
meets it. Of all arrangements without a clash, the one closest to the drawing with the straightest leaders is
taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from calculators.drawing.svg import FONT, WIDTH, text_width
from calculators.shared.spring_geometry import Point

ROW = 24
"""Height of a row of labels, and of the area that reacts to a touch."""
EDGE = 5
"""No word comes closer to the sheet's edge than this."""
_GAP, _HOLD, _CLEAR = 9, 5, 5
MOST_ROWS = 5
_WIDE = "mw"


@dataclass(frozen=True, slots=True)
class LabelText:
    """A label before it is placed: its words, and the points of its leader, beginning at the part."""

    words: str
    leader: tuple[Point, ...]
    below: bool

    @property
    def x(self) -> float:
        """Where its leader leaves the drawing, in units from the left."""
        return self.leader[-1][0]

    @property
    def width(self) -> float:
        """The width of its words, an overestimate, since some phones have wide letters."""
        return _width(self.words)


@cache
def _width(words: str) -> float:
    wide = sum(letter in _WIDE for letter in words)
    return text_width(words, strong=True) + 3 * wide


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that has been placed: the left end of its words, and its row; row 0 is next to the drawing."""

    text: LabelText
    left: float
    row: int

    @property
    def right(self) -> float:
        """The right end of its words."""
        return self.left + self.text.width

    @property
    def anchor(self) -> tuple[str, float]:
        """The SVG text anchor (start, middle or end) and its x.

        It is close to the leader, so that the leader meets the words where letters are narrower, too.
        """
        share = (self.text.x - self.left) / self.text.width
        if share < 1 / 3:
            return "start", self.left
        return ("end", self.right) if share > 2 / 3 else ("middle", (self.left + self.right) / 2)


class NoRoom(ValueError):
    """The labels of one side do not fit beside each other in MOST_ROWS rows."""


def place_labels(labels: Sequence[LabelText]) -> list[Placed]:
    """Return the labels of one side in their places, from left to right.

    Raises:
        NoRoom: they do not fit.
    """
    ordered = sorted(labels, key=lambda label: label.x)
    for rows in range(1, MOST_ROWS + 1):
        arrangement = _cheapest(ordered, rows)
        if arrangement is not None:
            return arrangement
    raise NoRoom(", ".join(label.words for label in ordered))


def _cheapest(ordered: Sequence[LabelText], rows: int) -> list[Placed] | None:
    best: tuple[float, list[Placed]] | None = None
    choices = [_choices(label, rows) for label in ordered]

    def extend(done: list[Placed], cost: float) -> None:
        nonlocal best
        if best is not None and cost >= best[0]:
            return
        if len(done) == len(ordered):
            best = (cost, done)
            return
        for price, next_ in choices[len(done)]:
            if not any(_clash(next_, other) or _clash(other, next_) for other in done):
                extend([*done, next_], cost + price)

    extend([], 0.0)
    return best[1] if best else None


def _choices(label: LabelText, rows: int) -> list[tuple[float, Placed]]:
    """Return (cost, place) for each place of a label, cheapest first: near rows, leader near the middle."""
    middle = label.x - label.width / 2
    lefts = {
        min(max(left, EDGE), WIDTH - EDGE - label.width)
        for left in (label.x - _HOLD, middle, label.x + _HOLD - label.width)
    }
    choices = [
        (30.0 * row + 0.25 * abs(left - middle), Placed(label, left, row))
        for row in range(rows)
        for left in sorted(lefts)
        if left < label.x < left + label.width
    ]
    return sorted(choices, key=lambda choice: choice[0])


def _clash(one: Placed, other: Placed) -> bool:
    """Return whether the first label's words or its leader meet the other's words."""
    if one.row == other.row:
        return one.left < other.right + _GAP and other.left < one.right + _GAP
    return one.row > other.row and other.left - _CLEAR < one.text.x < other.right + _CLEAR


def baseline(edge: float, row: int, *, below: bool) -> float:
    """Return the y of a row's baseline; `edge` is the y of the drawing's end on that side."""
    return edge + ROW * (row + 1) - 5 if below else edge - ROW * row - 9


def leader_end(edge: float, row: int, *, below: bool) -> float:
    """Return the y at which a leader ends, just before the words."""
    line = baseline(edge, row, below=below)
    return line - FONT + 1 if below else line + 5

"""A picture as a test reads it: its marks, and the values that its own axes give them."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

SVG = "{http://www.w3.org/2000/svg}"
Place = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """A parsed picture."""

    root: ElementTree.Element

    @property
    def elements(self) -> list[ElementTree.Element]:
        """Everything drawn, in order."""
        return list(self.root)

    @property
    def size(self) -> Place:
        """Width and height."""
        _, _, width, height = str(self.root.get("viewBox")).split()
        return float(width), float(height)

    def of_kind(self, kind: str) -> list[ElementTree.Element]:
        """Everything of one kind, in order."""
        return [each for each in self.elements if f"ht-plot-{kind}" in str(each.get("class")).split()]

    def marks(self, kind: str) -> list[Place]:
        """The middle of each mark of a kind, in order."""
        return [middle(each) for each in self.of_kind(kind)]

    def lines(self, kind: str) -> list[list[Place]]:
        """The points of each line of a kind, in order."""
        return [points(each) for each in self.of_kind(kind)]

    def texts(self, kind: str) -> list[str]:
        """The words of a kind, in order."""
        return [str(each.text) for each in self.of_kind(kind)]

    def along(self, read: Callable[[str], float] = lambda text: number(text)) -> Callable[[float], float]:
        """What the level axis says of a place: read off its first and last named tick."""
        named = [(float(str(each.get("x"))), read(str(each.text))) for each in self.of_kind("x-tick")]
        return through(min(named), max(named))

    def upward(self) -> Callable[[float], float]:
        """What the upright axis says of a place: read off its ticks, named in the same order."""
        levels = [ends[0][1] for ends in self.lines("tick-line") if ends[0][1] == ends[1][1]]
        named = list(zip(levels, map(number, self.texts("y-tick")), strict=True))
        return through(min(named), max(named))


def parsed(svg: str) -> Drawn:
    """Parse a picture; anything not well formed fails here."""
    return Drawn(ElementTree.fromstring(svg))


def number(text: str) -> float:
    """Read a number as it is written on an axis."""
    return float(text.replace("\u2212", "-"))


def day(text: str) -> float:
    """Read a date as it is written on an axis: a year or a month stands for its first day."""
    parts = [int(part) for part in text.split("-")]
    return date(*[*parts, 1, 1][:3]).toordinal()


def through(first: Place, last: Place) -> Callable[[float], float]:
    """The straight line through two points."""
    slope = (last[1] - first[1]) / (last[0] - first[0])
    return lambda place: first[1] + (place - first[0]) * slope


def points(element: ElementTree.Element) -> list[Place]:
    """The corners of a path, or the middle of a circle, or where words are."""
    if element.tag == f"{SVG}path":
        pairs = re.findall(r"[ML]([-\d.]+) ([-\d.]+)", str(element.get("d")))
        return [(float(x), float(y)) for x, y in pairs]
    names = ("cx", "cy") if element.tag == f"{SVG}circle" else ("x", "y")
    return [(float(str(element.get(names[0]))), float(str(element.get(names[1]))))]


def middle(mark: ElementTree.Element) -> Place:
    """The middle of a mark. A triangle's is where its point and its foot say."""
    corners = points(mark)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    if len(corners) == 3 and ys[1] == ys[2]:  # upright triangle: 1.2 to its point, 0.9 to its foot
        return xs[0], ys[0] + (ys[1] - ys[0]) * 1.2 / 2.1
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2

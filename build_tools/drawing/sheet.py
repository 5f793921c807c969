"""A drawing with its labels laid out on a sheet, before it is written as SVG."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from build_tools.drawing.ink import View
from build_tools.drawing.labels import ROW, LabelText, Placed, place_labels
from build_tools.drawing.shapes import Shape
from calculators.drawing.svg import WIDTH
from calculators.shared.spring_geometry import Point

MARGIN = 3
"""Distance between the drawing and the sheet's edges, in units."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A term of the glossary, or a note of the words, with the point that it names."""

    at: Point
    """The point, m, at which its leader starts."""
    term: str = ""
    note: str = ""
    """The part after "drawing.note." in the note's code, where the label is no term."""
    via: Point | None = None
    """Where the leader turns upright, m; None where it starts upright."""
    below: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Shapes and labels in m, and the lower left and upper right corner of what is shown."""

    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]
    low: Point
    high: Point

    @property
    def terms(self) -> tuple[str, ...]:
        """The ids of the glossary terms that it labels, each once."""
        return tuple(dict.fromkeys(label.term for label in self.labels if label.term))

    @property
    def notes(self) -> tuple[str, ...]:
        """The notes that it labels, each once."""
        return tuple(dict.fromkeys(label.note for label in self.labels if label.note))


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where everything is, in units: the drawing's view, its upper and lower end, the labels."""

    view: View
    top: float
    bottom: float
    height: float
    labels: tuple[tuple[Label, Placed], ...]


def laid_out(drawing: Drawing, words: Callable[[Label], str]) -> Sheet:
    """Return a drawing laid out over the sheet's width; `words` returns the text of a label.

    Raises:
        NoRoom: the labels do not fit.
    """
    scale = (WIDTH - 2 * MARGIN) / (drawing.high[0] - drawing.low[0])
    flat = View(scale, (MARGIN - scale * drawing.low[0], scale * drawing.high[1]))
    above = _placed([label for label in drawing.labels if not label.below], flat, words)
    below = _placed([label for label in drawing.labels if label.below], flat, words)
    top = _rows(above) * ROW + MARGIN
    bottom = top + scale * (drawing.high[1] - drawing.low[1])
    # Labels above depend on x alone, so they stay valid when the view moves down.
    return Sheet(flat.down(top), top, bottom, bottom + _rows(below) * ROW + MARGIN, (*above, *below))


def _placed(labels: Sequence[Label], view: View, words: Callable[[Label], str]) -> list[tuple[Label, Placed]]:
    labels_by_text = {LabelText(words(label), leader(label, view), label.below): label for label in labels}
    return [(labels_by_text[place.text], place) for place in place_labels(list(labels_by_text))]


def leader(label: Label, view: View) -> tuple[Point, ...]:
    """Return the points of a label's leader within the drawing, in units, beginning at the part."""
    return tuple(view.at(point) for point in (label.at, label.via) if point is not None)


def _rows(labels: Sequence[tuple[Label, Placed]]) -> int:
    return max((place.row + 1 for _, place in labels), default=0)

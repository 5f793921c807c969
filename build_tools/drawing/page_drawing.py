"""A drawing on a page: the picture, its text alternative, labels linked to the glossary, a caption."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from build_tools.drawing.catalogue import Request, drawing_of
from build_tools.drawing.ink import drawn, path
from build_tools.drawing.labels import ROW, Placed, baseline, leader_end
from build_tools.drawing.sheet import Label, Sheet, laid_out, leader
from build_tools.registers.registers import Registers
from build_tools.shown.html_parts import joined, tag
from calculators.drawing.svg import FONT, WIDTH, number
from calculators.shared.words import say

_DOT = "2.6"


@dataclass(frozen=True, slots=True)
class PageDrawing:
    """Writes a drawing as HTML. `figures_page` is the glossary's relative address, `anchor` its own id."""

    registers: Registers
    figures_page: str
    anchor: str

    def html(self, request: Request) -> Markup:
        """Return the whole HTML figure.

        Raises:
            LookupError: the drawing is unknown, or the words lack one of its sentences.
            NoRoom: its labels do not fit.
        """
        drawing = drawing_of(request, self.registers.equipment)
        sheet = laid_out(drawing, self.words)
        title, description = self.say(f"{request.key}.title"), self.say(f"{request.key}.told")
        parts = ", ".join(self.words(label) for label, _ in sheet.labels)
        picture = tag(
            "g",
            tag("title", title, id=f"{self.anchor}-title"),
            tag("desc", description, " ", self.say("labeled", parts=parts), id=f"{self.anchor}-desc"),
            _window(drawn(drawing.shapes, sheet.view), sheet),
            *(_leader(label, place, sheet) for label, place in sheet.labels),
            role="img",
            aria_labelledby=f"{self.anchor}-title",
            aria_describedby=f"{self.anchor}-desc",
        )
        svg = tag(
            "svg",
            picture,
            *(self._label(*pair, sheet) for pair in sheet.labels),
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {WIDTH} {number(sheet.height)}",
            class_="ht-draw",
            font_size=FONT,
            data_search_exclude="",
        )
        caption = tag("figcaption", tag("strong", title), " ", description)
        return tag(
            "figure",
            svg,
            caption,
            id=self.anchor,
            class_="ht-drawing",
            data_drawing=request.name,
            data_state=request.state or None,
            data_leveler=request.leveler or None,
        )

    def say(self, code: str, **values: object) -> str:
        """Return the sentence "drawing." + `code` of the words. Raises LookupError where there is none."""
        return say(self.registers.words, f"drawing.{code}", values)

    def words(self, label: Label) -> str:
        """Return the text of a label: the term as the glossary spells it, or the note."""
        return self.registers.terms[label.term].term if label.term else self.say(f"note.{label.note}")

    def _label(self, label: Label, place: Placed, sheet: Sheet) -> Markup:
        edge = sheet.bottom if label.below else sheet.top
        y = baseline(edge, place.row, below=label.below)
        anchor, x = place.anchor
        written = tag("text", self.words(label), x=number(x), y=number(y), text_anchor=anchor)
        if not label.term:
            return tag("g", written, class_="ht-draw-note")
        width = number(place.text.width)
        room = tag("rect", x=number(place.left), y=number(y - 17), width=width, height=ROW)
        return tag(
            "a",
            joined(room, written),
            href=f"{self.figures_page}#term-{label.term}",
            class_="ht-draw-label",
            data_term=label.term,
        )


def _window(ink: Markup, sheet: Sheet) -> Markup:
    """Return the ink cut off at the drawing's edges; an inner svg element does so without an id."""
    top, height = number(sheet.top), number(sheet.bottom - sheet.top)
    return tag("svg", ink, x=0, y=top, width=WIDTH, height=height, viewBox=f"0 {top} {WIDTH} {height}")


def _leader(label: Label, place: Placed, sheet: Sheet) -> Markup:
    points = list(leader(label, sheet.view))
    edge = sheet.bottom if label.below else sheet.top
    points.append((points[-1][0], leader_end(edge, place.row, below=label.below)))
    x, y = points[0]
    dot = tag("circle", class_="ht-draw-dot", cx=number(x), cy=number(y), r=_DOT)
    return joined(path("halo", points), path("leader", points), dot)

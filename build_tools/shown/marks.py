"""Figures, hazard messages and the book's own sentences as HTML for one page, with every word escaped."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from build_tools.reading.lines import FIGURE_USE
from build_tools.registers.figures import Figure
from build_tools.registers.registers import Registers
from build_tools.registers.rows import Hazard
from build_tools.shown.html_parts import joined, tag
from calculators.shared.words import say

BASIS_CODES = {
    "published": "published",
    "common practice": "common-practice",
    "company": "company",
    "owner's manual": "owners-manual",
}


@dataclass(frozen=True, slots=True)
class Marks:
    """Writes figures and hazards for one page. `figures_page` is the register page's address from there."""

    registers: Registers
    figures_page: str

    def say(self, code: str, **values: object) -> str:
        """Return the sentence "book." + `code` of the words, its placeholders filled with `values`.

        Raises:
            LookupError: the words have no such sentence.
        """
        return say(self.registers.words, f"book.{code}", values)

    def basis(self, basis: str) -> str:
        """Return the sentence that explains a basis to a reader; `basis` is one of BASIS_CODES."""
        return self.say(f"basis.{BASIS_CODES[basis]}")

    def figure(self, figure: Figure, part: str = "") -> Markup:
        """Return a figure, or one part of it, linked to its row; screen readers hear its basis in words."""
        link = tag(
            "a",
            _shown(figure, part),
            self.basis_symbol(figure.basis),
            href=f"{self.figures_page}#figure-{figure.id}",
        )
        return tag("span", link, class_="ht-figure", data_figure=figure.id, data_basis=figure.basis)

    def plain_figure(self, figure: Figure, part: str = "") -> Markup:
        """Return a figure without its link and the symbol of its basis, for headings and inside links."""
        return tag(
            "span", _shown(figure, part), class_="ht-figure", data_figure=figure.id, data_basis=figure.basis
        )

    def basis_symbol(self, basis: str) -> Markup:
        """Return the small symbol of a basis, hidden from screen readers, and its words for them alone."""
        symbol = self.say(f"sign.{BASIS_CODES[basis]}")
        return joined(
            tag("sup", symbol, class_="ht-basis", aria_hidden="true", data_search_exclude=""),
            tag("span", f" ({self.basis(basis)})", class_="ht-spoken", data_search_exclude=""),
        )

    def with_figures(self, text: str) -> Markup:
        """Return a plain sentence, escaped, with its figures filled in; unknown ids stay as written."""
        parts: list[object] = []
        at = 0
        for use in FIGURE_USE.finditer(text):
            figure = self.registers.figures.get(use["id"])
            if figure is None or (use["part"] and use["part"] not in figure.parts()):
                continue
            parts += [text[at : use.start()], self.figure(figure, use["part"] or "")]
            at = use.end()
        return joined(*parts, text[at:])

    def signal(self, hazard: Hazard) -> str:
        """Return a hazard's signal word in the book's language."""
        return self.say(f"signal.{hazard.signal.lower()}")

    def hazard_link(self, hazard: Hazard, href: str) -> Markup:
        """Return a hazard's signal word and title as a link to its message."""
        word = tag("strong", self.signal(hazard), class_="ht-signal")
        return tag("a", word, " ", hazard.title, href=href, data_signal=hazard.signal)

    def hazard(self, hazard: Hazard, anchor: str | None = None, *, searched: bool = False) -> Markup:
        """Return a hazard message in its three parts; `anchor` is its id on the page.

        Search reads only a message that is `searched`: that of the register, since some are on thirty pages.
        """
        return tag(
            "aside",
            tag(
                "p",
                tag("strong", self.signal(hazard), class_="ht-signal"),
                " ",
                tag("span", hazard.title, class_="ht-hazard-title"),
                class_="ht-hazard-head",
            ),
            tag("p", self.with_figures(hazard.what), class_="ht-hazard-what"),
            tag("p", self.with_figures(hazard.avoid), class_="ht-hazard-avoid"),
            id=anchor,
            class_="ht-hazard",
            role="note",
            data_hazard=hazard.id,
            data_signal=hazard.signal,
            data_search_exclude=None if searched else "",
        )


def plain_text(text: str, figures: Mapping[str, Figure]) -> str:
    """Return a sentence with each figure as plain text, for titles, menus and descriptions."""

    def fill(use: re.Match[str]) -> str:
        figure = figures.get(use["id"])
        return _shown(figure, use["part"] or "") if figure else use[0]

    return FIGURE_USE.sub(fill, text)


def _shown(figure: Figure, part: str) -> str:
    return figure.part_text(part) if part else figure.text()

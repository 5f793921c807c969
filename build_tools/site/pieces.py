"""The calculators and drawings of a book as pieces of its pages, each made, or kept from an earlier build."""

import json
import re

from build_tools.book.book import REGISTER_PAGE, Book
from build_tools.drawing.catalogue import Request
from build_tools.drawing.page_drawing import PageDrawing
from build_tools.reading.pages import address_of
from build_tools.sheets import section as calculator_section
from build_tools.site.set_aside import Piece, place

FIGURES_ADDRESS = address_of(REGISTER_PAGE)
PROCEDURE, FOLDED = "procedure", "folded"


class PieceRefused(LookupError):
    """A piece lacks a sentence or a hazard in the registers; the message names both."""


def place_of_calculator(root: str, kind: str, name: str) -> str:
    """Return what stands for a calculator on a page of this kind; `root` is its way to the site's root."""
    return place("calculator", name, root, FOLDED if kind == PROCEDURE else "")


def place_of_drawing(root: str, request: Request, anchor: str) -> str:
    """Return what stands for a drawing with an id of its own on its page."""
    return place("drawing", request.name, request.state, request.leveler, anchor, root)


def piece_of(book: Book, kind: str, *what: str) -> Piece:
    """Make a piece of which a page has the place, or find it kept. Raises PieceRefused."""
    make = _calculator if kind == "calculator" else _drawing
    titles = json.dumps(_titles(book)) if kind == "calculator" else ""
    whole, told = book.kept.of(kind, (book.key, titles, *what), lambda: make(book, *what))
    return Piece(whole, told)


def _calculator(book: Book, name: str, root: str, folded: str) -> tuple[str, str]:
    registers = book.registers
    try:
        whole = calculator_section.render(
            name, registers, root=root, folded=bool(folded), titles=_titles(book)
        )
        return whole, calculator_section.searched_text(name, registers)
    except LookupError as slip:
        if type(slip) is not LookupError:  # a KeyError or IndexError is a fault of ours, no missing sentence
            raise
        raise PieceRefused(f"the calculator '{name}' cannot be shown: {slip}") from None


def _titles(book: Book) -> dict[str, str]:
    """Return the titles of all pages, to which answers lead on."""
    return {src: page.text("title") for src, page in book.pages.items()}


def _drawing(book: Book, name: str, state: str, leveler: str, anchor: str, root: str) -> tuple[str, str]:
    figure = PageDrawing(book.registers, f"{root}/{FIGURES_ADDRESS}", anchor)
    html = str(figure.html(Request(name, state, leveler)))
    return html, without_picture(html)


def without_picture(figure: str) -> str:
    """Return what search finds of a drawing: its caption."""
    return re.sub(r"<svg\b.*</svg>", "", figure, flags=re.S)

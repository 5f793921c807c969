"""Which sentences a book needs in its language: those of sentences.txt that its pages can use.

sentences.txt lists the code of every sentence that the build, the scripts and the calculators can say. After
a new sentence in the English words, `python3 -m build_tools.book.needed_words` writes the list anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from build_tools.book.book import REGISTERS, Book
from build_tools.places import PROJECT, TOOLS
from build_tools.reading.problems import Problem
from calculators.answering import NAMES, module
from calculators.shared.fields import Field, Output
from calculators.shared.words import read_words

ASKING = {"fold-time", "turn-plan"}
"""Calculators that ask questions of their own."""
LIST = TOOLS / "book" / "sentences.txt"
DECLARED = "en"
"""The language in which fields declare their labels and helps; any other needs them among its words."""
DRAWING = "drawing"
CARD = "pocket-card"
IN_VISITS = ("book.visit.", "page.visit.", "visit.")
"""How the codes begin of what only a book with sequences of jobs says."""
ASKED = ("fold-time", "turn-plan", "mainspring-plan")
"""The calculators whose words the pocket card uses."""


def check_words(book: Book) -> list[Problem]:
    """Return one problem that names every sentence missing in the book's language, or none."""
    registers = book.registers
    if not registers.words:
        return []
    missing = [code for code in needed_codes(book) if code not in registers.words]
    if not missing:
        return []
    file = book.file(book.docs / REGISTERS / "words" / f"{registers.language}.yml")
    number = "a sentence is" if len(missing) == 1 else f"{len(missing)} sentences are"
    what = f"{number} missing in the language '{registers.language}': {', '.join(missing)}"
    why = "pages and calculators would show the code, or another language, in its place"
    return [Problem(file, 1, what, why, 'add a line `code: "sentence"` for each')]


def has_book_words(book: Book) -> bool:
    """Return whether the words have every sentence that the build itself puts on pages."""
    return all(code in book.registers.words for code in _listed(book) if code.startswith("book."))


def needed_codes(book: Book) -> list[str]:
    """Return the codes that this book needs, in the list's order; a calculator's if a page shows it."""
    blocks = [block for page in book.pages.values() for block in page.scan.blocks]
    has_card = any(block.name == CARD for block in blocks)
    used = [
        name
        for name in NAMES
        if any((block.name, block.argument) == ("calculator", name) for block in blocks)
        or (has_card and name in ASKED)
    ]
    left_out = {*NAMES} - {*used}
    if not any(block.name == DRAWING for block in blocks):
        left_out.add(DRAWING)
    if not has_card:
        left_out.add("card")
    if not ASKING & {*used}:
        left_out.add("question")
    needed = [code for code in _listed(book) if code.partition(".")[0] not in left_out]
    if book.registers.language != DECLARED:
        needed += [code for name in used for code in _declared_codes(name)]
    return list(dict.fromkeys(needed))


def _listed(book: Book) -> list[str]:
    """Return the codes of the list, without those of visits for a book that has none."""
    codes = LIST.read_text(encoding="utf-8").split()
    return codes if book.has_sequences() else [code for code in codes if not code.startswith(IN_VISITS)]


def write_list(words_file: Path) -> None:
    """Write the list from a words file that has every sentence."""
    declared = {code for name in NAMES for code in _declared_codes(name)}
    codes = [code for code in read_words(words_file.read_text(encoding="utf-8")) if code not in declared]
    LIST.write_text("\n".join(codes) + "\n", encoding="utf-8")


def _declared_codes(name: str) -> Iterator[str]:
    yield from _codes(module(name).INPUTS, name)
    yield from _codes(module(name).OUTPUTS, name)


def _codes(fields: Sequence[Field | Output], path: str) -> Iterator[str]:
    for field in fields:
        if isinstance(field, Field) and field.given:
            continue  # nobody is asked for it
        yield f"{path}.{field.name}.label"
        yield f"{path}.{field.name}.help"
        if field.kind == "rows":  # an item of a plain list is written into one field
            yield from _codes(field.fields, f"{path}.{field.name}")


if __name__ == "__main__":
    write_list(PROJECT / "content" / REGISTERS / "words" / f"{DECLARED}.yml")

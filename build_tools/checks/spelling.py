"""Spelling of pages and registers, against the dictionary of the language and our own words; no network."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from build_tools.book.book import REGISTERS, Book
from build_tools.book.configuration import CONFIGURATION
from build_tools.book.fault_words import path_passages
from build_tools.reading.lines import FIGURE_USE
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, closest
from build_tools.reading.prose import Sentence
from build_tools.registers.plain_words import SPELLING

if TYPE_CHECKING:
    from spellchecker import SpellChecker

_WORD = re.compile(r"(?<![\w@./\\])[^\W\d_]+(?:['’][^\W\d_]+)*(?![\w@/\\]|\.\w)")
"""A word; not what stands in an address, a path or a mark with digits."""
_POSSESSIVE = re.compile(r"'s?$")
_VOWEL = re.compile(r"[^bcdfghjklmnpqrstvwxz']", re.I)
CHECKED = ("en",)
"""The library's lists of other languages may hold base forms alone, as its Spanish one does, and would call
half of a page wrong."""
_BRACES = re.compile(r"\{[^{}]*\}|https?://\S+")


def check_spelling(book: Book) -> list[Problem]:
    """Return a warning for each word that neither the dictionary nor the registers know, once a file."""
    language = dictionary_of(book.registers.language)
    if language is None:
        return [_no_dictionary(book)]
    ours = _our_words(book)
    unknown = {word for word in _not_in_dictionary(book, language) if not _is_ours(word, ours)}
    if not unknown:
        return []
    sentences = [*_page_sentences(book.pages.values()), *_register_sentences(book)]
    told = [(file, sentence, _words(sentence.plain)) for file, sentence in sentences]
    uses = Counter(word.lower() for _, _, words in told for word in words)
    found: dict[tuple[str, str], Problem] = {}
    for file, sentence, words in told:
        for word in words:
            lower = word.lower()
            if lower in unknown and _is_a_word(word) and (file, lower) not in found:
                near = _closest(lower, ours, _dictionary(language), uses)
                found[file, lower] = _misspelt(file, sentence, word, near)
    return list(found.values())


def dictionary_of(language: str) -> str | None:
    """Return the language whose dictionary checks this one; a region ("en-US") takes its language's."""
    name = language.partition("-")[0].lower()
    return name if name in CHECKED else None


@cache
def _dictionary(language: str) -> SpellChecker:
    """Read a dictionary, which takes 0.2 s: only where a word stands nowhere that was checked before."""
    from spellchecker import SpellChecker

    return SpellChecker(language=language)


def _no_dictionary(book: Book) -> Problem:
    what = (
        f"spelling is not checked: there is no good dictionary for the language '{book.registers.language}'"
    )
    why, fix = (
        "slips would stand in the book unseen",
        "have a second person read each page before it is published",
    )
    return Problem(CONFIGURATION, 1, what, why, fix, warning=True)


def _not_in_dictionary(book: Book, language: str) -> Iterator[str]:
    """Return the words of pages and registers that the dictionary does not know, in lower case.

    Most words of a page that was changed stand in others too, and are known from there.
    """
    asked = {page.scan.text: partial(_page_sentences, [page]) for page in book.pages.values()}
    asked[book.key] = partial(_register_sentences, book)
    known: dict[str, bool] = {}
    new = []
    for text in asked:
        found = book.kept.find("words", (language, text))
        known |= found or {}
        if found is None:
            new.append(text)
    for text in new:
        words = {
            word.lower()
            for _, sentence in asked[text]()
            for word in _words(sentence.plain)
            if _is_a_word(word)
        }
        known |= {word: _is_in(_dictionary(language), word) for word in words - known.keys()}
        told = {word: known[word] for word in sorted(words)}
        book.kept.keep("words", (language, text), told)
    return (word for word, is_known in known.items() if not is_known)


def _our_words(book: Book) -> frozenset[str]:
    terms = (word for row in book.registers.terms.values() for word in _words(row.term))
    return book.registers.spelling | {word.lower() for word in terms}


def _words(text: str) -> list[str]:
    found = _WORD.findall(_BRACES.sub(" ", text).replace("’", "'"))
    return [word for word in found if word.isascii() or word.replace("'", "").isalpha()]  # s² is a formula's


def _is_a_word(word: str) -> bool:
    """Tell words from signs such as mm, lbf, ISO and MPa."""
    is_sign = len(word) < 3 or word[1:] != word[1:].lower() or not _VOWEL.search(word)
    return not is_sign


def _is_in(dictionary: SpellChecker, word: str) -> bool:
    return word in dictionary or _POSSESSIVE.sub("", word) in dictionary


def _is_ours(word: str, ours: frozenset[str]) -> bool:
    bare = _POSSESSIVE.sub("", word)
    return not ours.isdisjoint({word, bare, bare.removesuffix("s")})


def _closest(
    word: str, ours: frozenset[str], dictionary: SpellChecker, uses: Mapping[str, int]
) -> str | None:
    """Return the likeliest right word: one of ours, or the look-alike that this book uses most."""
    if near := closest(word, ours):
        return near
    candidates = (dictionary.candidates(word) or set()) - {word}
    return max(candidates, key=lambda near: (uses.get(near, 0), dictionary[near], near), default=None)


def _misspelt(file: str, sentence: Sentence, word: str, near: str | None) -> Problem:
    what = f"'{word}' is in no dictionary: '{sentence.text}'"
    why = "a slip in one word makes a reader doubt the rest, and search does not find it"
    keep = f"add `- {word}` to content/{REGISTERS}/{SPELLING} if it is right"
    fix = f"write '{near}' (closest), or {keep}" if near else keep
    return Problem(file, sentence.line, what, why, fix, warning=True)


def _page_sentences(pages: Iterable[Page]) -> Iterator[tuple[str, Sentence]]:
    for page in pages:
        for key in ("title", "summary", "who", "tools"):
            node = page.fields.get(key)
            for item in node.value if node is not None and isinstance(node.value, list) else [node]:
                if item is not None and item.written:
                    yield page.file, Sentence(item.written, item.line)
        for passage in page.passages:
            yield from ((page.file, sentence) for sentence in passage.sentences)


def _register_sentences(book: Book) -> Iterator[tuple[str, Sentence]]:
    registers = book.registers
    for figure in registers.figures.values():
        yield figure.file, Sentence(figure.label, figure.key_line("label"))
        yield figure.file, Sentence(figure.note, figure.key_line("note"))
    for hazard in registers.hazards.values():
        for text in (hazard.title, hazard.what, hazard.avoid):
            yield hazard.file, Sentence(text, hazard.line)
    for term in registers.terms.values():
        yield term.file, Sentence(term.meaning, term.line)
    for row in registers.equipment.values():
        for text in (row.name, row.maker_note, *(row.adjusting_nut or {}).values()):
            yield row.file, Sentence(text, row.line)
    for file, passage in path_passages(registers.faults.values()):
        yield from ((file, sentence) for sentence in passage.sentences)
    yield from _word_sentences(book)


def _word_sentences(book: Book) -> Iterator[tuple[str, Sentence]]:
    path: Path = book.docs / REGISTERS / "words" / f"{book.registers.language}.yml"
    if not path.is_file():
        return
    written = path.read_text(encoding="utf-8").split("\n")
    lines = {line.partition(":")[0].strip(): number for number, line in enumerate(written, start=1)}
    for code, text in book.registers.words.items():
        if not FIGURE_USE.search(text):
            yield book.file(path), Sentence(text, lines.get(code, 1))

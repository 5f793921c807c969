"""How pages are written: lengths, one action a sentence, no vague words in steps, terms as we spell them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from build_tools.book.book import Book
from build_tools.book.fault_words import path_passages
from build_tools.reading.pages import Page
from build_tools.reading.phrases import Phrases, phrase_pattern
from build_tools.reading.problems import Problem
from build_tools.reading.prose import CELL, HEADING, ITEM, NOTE, STEP, Passage, Sentence, sentences
from build_tools.registers.plain_words import PlainWords

STEP_WORDS, SENTENCE_WORDS, PARAGRAPH_SENTENCES = 20, 25, 6
"""The limits of ASD-STE100 for an instruction, for any other sentence, and for a paragraph."""
HINTS = ("summary", "not-for", "second-step", "reason")
"""The words "book.new." and one of these: what a page begun by `new` says until its author does."""
_JOINED = re.compile(r"(?:;\s*|\b(?:and|then)\s+(?:then\s+)?)([^\W\d_]+)(?!-)(?=\s+(?!and\b|or\b)[\w\"“#])")
"""A joint and the word after it, where more of a sentence follows: "lock and tag." are two things."""
_QUOTED = re.compile(r"\"[^\"\n]*\"|“[^”\n]*”")


def check_prose(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every problem with the sentences of pages."""
    plain = book.registers.plain_words
    not_said, vague = _not_said(book), Phrases(plain.vague)
    return [
        problem
        for page in pages
        for problem in (*_page_problems(page, plain, vague, not_said), *left_hints(book, page))
    ]


def check_register_prose(book: Book) -> list[Problem]:
    """Return every problem with the sentences of fault paths and hazards."""
    found = []
    plain = book.registers.plain_words
    not_said, vague = _not_said(book), Phrases(plain.vague)
    for file, passage in path_passages(book.registers.faults.values()):
        found += _length(file, passage) + not_said.problems(file, passage.sentences)
        found += _vague(file, passage, vague, plain) + _two_actions(file, passage, plain)
    for hazard in book.registers.hazards.values():
        told = tuple(Sentence(part.text, hazard.line) for part in sentences(f"{hazard.what} {hazard.avoid}"))
        found += _sentences_too_long(hazard.file, told, SENTENCE_WORDS)
        found += not_said.problems(hazard.file, told)
    return found


def _page_problems(page: Page, plain: PlainWords, vague: Phrases, not_said: _NotSaid) -> Iterator[Problem]:
    for passage in page.passages:
        yield from _length(page.file, passage)
        if passage.kind in (STEP, NOTE):
            yield from _vague(page.file, passage, vague, plain)
            yield from _two_actions(page.file, passage, plain)
        yield from not_said.problems(page.file, passage.sentences)
    yield from not_said.problems(page.file, _head(page))


def left_hints(book: Book, page: Page) -> list[Problem]:
    """Return one problem for each line on which a hint of a page begun by `new` still stands."""
    written = (book.registers.words.get(f"book.new.{code}", "") for code in HINTS)
    hints = {sentence.text for text in written for sentence in sentences(text)}
    told = [*_head(page), *(sentence for passage in page.passages for sentence in passage.sentences)]
    left = {sentence.line: sentence.text for sentence in reversed(told) if sentence.text in hints}
    why, fix = "a technician would read it as the company's word", "write over it what this page has to say"
    return [
        Problem(page.file, line, f"a hint of a new page is left: '{text}'", why, fix)
        for line, text in left.items()
    ]


def _head(page: Page) -> Iterator[Sentence]:
    for key in ("title", "summary"):
        if key in page.fields:
            yield Sentence(page.text(key), page.fields[key].line)


def _length(file: str, passage: Passage) -> list[Problem]:
    if passage.kind == HEADING:
        return []
    limit = STEP_WORDS if passage.kind == STEP else SENTENCE_WORDS
    found = _sentences_too_long(file, passage.sentences, limit)
    if passage.kind not in (CELL, ITEM) and len(passage.sentences) > PARAGRAPH_SENTENCES:
        what = f"a paragraph of {len(passage.sentences)} sentences begins: '{passage.sentences[0].text}'"
        why = f"ASD-STE100 allows {PARAGRAPH_SENTENCES}; nobody finds a line again in a longer one"
        fix = "leave an empty line where the subject changes, or make it a list"
        found.append(Problem(file, passage.line, what, why, fix, warning=True))
    return found


def _sentences_too_long(file: str, told: Iterable[Sentence], limit: int) -> list[Problem]:
    found = []
    for sentence in told:
        count = sentence.word_count()
        if count <= limit:
            continue
        if limit == STEP_WORDS:
            what, fix = "step", "make two steps of it, or put the reason on the next line, indented"
        else:
            what, fix = "sentence", "make two sentences of it"
        why = f"ASD-STE100 allows {limit} words in {'an instruction' if what == 'step' else 'a sentence'}; "
        why += "at a dock nobody reads a longer one to its end"
        what = f"a {what} of {count} words: '{sentence.text}'"
        found.append(Problem(file, sentence.line, what, why, fix, warning=True))
    return found


def _vague(file: str, passage: Passage, vague: Phrases, plain: PlainWords) -> list[Problem]:
    why = "nobody can tell from it when the step is done"
    return [
        Problem(
            file, sentence.line, f"the step says '{as_written}': '{sentence.text}'", why, plain.vague[words]
        )
        for sentence in passage.sentences
        for words, as_written in vague.found(sentence.plain)
    ]


def _two_actions(file: str, passage: Passage, plain: PlainWords) -> list[Problem]:
    found = []
    for sentence in passage.sentences:
        second = _second_action(sentence.plain, plain)
        if second is None:
            continue
        what = f"two actions in one sentence of a step: '{sentence.text}'"
        why = "ASD-STE100 wants one instruction a sentence; the second one is easily missed"
        fix = f"make '{second}' a sentence or a step of its own, or say that both go together ('while')"
        found.append(Problem(file, sentence.line, what, why, fix, warning=True))
    return found


def _second_action(text: str, plain: PlainWords) -> str | None:
    """Return the verb of a second action; a condition before the first ("If it drags, ...") is none."""
    if any(phrase_pattern(words).search(text) for words in plain.together):
        return None
    words = re.sub(r"^(?:If|When|Where|Once|After|Before|With)\b[^,]*,\s*", "", text.strip())
    first = re.match(r"[^\W\d_]+", words)
    if first is None or first[0].lower() not in plain.actions:
        return None
    return next((verb[1] for verb in _JOINED.finditer(words) if verb[1].lower() in plain.actions), None)


class _NotSaid:
    """Finds words that the glossary says we do not say, with the term that we do."""

    def __init__(self, terms: Mapping[str, str], right: Iterable[str]) -> None:
        self.terms = terms
        self.wrong = Phrases(terms, plural=True)
        self.right = Phrases(right, plural=True)

    def problems(self, file: str, told: Iterable[Sentence]) -> list[Problem]:
        """Return one warning for each such word; what stands in quotes is talked about, not said."""
        found = []
        for sentence in told:
            if not any(self.wrong.found(sentence.plain)):
                continue
            text = _QUOTED.sub("#", self.right.without(sentence.plain))
            for words, as_written in self.wrong.found(text):
                what = f"'{as_written}' is not our word: '{sentence.text}'"
                why = "one thing has one name, so that nobody looks for two; the glossary says so"
                fix = f"write '{self.terms[words]}'"
                found.append(Problem(file, sentence.line, what, why, fix, warning=True))
        return found


def _not_said(book: Book) -> _NotSaid:
    rows = book.registers.terms.values()
    return _NotSaid({words: row.term for row in rows for words in row.say_not}, [row.term for row in rows])

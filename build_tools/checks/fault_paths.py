"""Whether fault paths can be walked: every answer leads on, every question is reached, nothing leads back."""

from __future__ import annotations

from collections.abc import Iterator

from build_tools.book.book import Book
from build_tools.book.fault_words import path_texts
from build_tools.checks.figures import bare_figures, use_problems
from build_tools.reading.lines import FIGURE_USE
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.fault_paths import DO, GO, FaultPath, Question
from build_tools.registers.registers import Registers

_HAZARDS, _FIGURES = "content/registers/hazards.yml", "content/registers/figures.yml"


def check_faults(book: Book) -> list[Problem]:
    """Return every problem of the fault paths but those of the pages they lead to."""
    paths = list(book.registers.faults.values())
    found = _symptoms_twice(paths)
    for path in paths:
        found += _questions_twice(path)
        found += _answers(path)
        found += _loops(path) or _unreached(path)
        found += _cautions(path, book.registers)
        found += _figures(path, book.registers)
    return found


def _symptoms_twice(paths: list[FaultPath]) -> list[Problem]:
    seen: dict[str, FaultPath] = {}
    found = []
    for path in paths:
        for words in (path.symptom, *path.said_as):
            first = seen.setdefault(words.casefold(), path)
            if first is path:
                continue
            what = f"'{words}' is said of '{path.id}' and of '{first.id}' (line {first.line})"
            why = "who sees it, or searches for it, would not know which path to take"
            fix = "say it of one of them, or let its first question tell the two apart"
            found.append(Problem(path.file, path.line, what, why, fix))
    return found


def _questions_twice(path: FaultPath) -> list[Problem]:
    seen: dict[str, int] = {}
    found = []
    for question in path.questions:
        if question.id in seen:
            what = f"path '{path.id}': the question id '{question.id}' stands twice"
            what += f" (first on line {seen[question.id]})"
            why, fix = "an answer that leads to it could mean either", "give one of them another id"
            found.append(Problem(path.file, question.line, what, why, fix))
        seen.setdefault(question.id, question.line)
    return found


def _answers(path: FaultPath) -> list[Problem]:
    ids = [question.id for question in path.questions]
    found = []
    for question in path.questions:
        at = f"path '{path.id}', question '{question.id}'"
        seen: dict[str, int] = {}
        for reply in question.replies:
            if reply.slug in seen:
                what = f"{at}: the answer '{reply.says}' stands twice (first on line {seen[reply.slug]})"
                why, fix = "one tap could mean either", "word one of them otherwise, or take it out"
                found.append(Problem(path.file, reply.line, what, why, fix))
            seen.setdefault(reply.slug, reply.line)
            if reply.kind == GO and reply.text not in ids:
                what = f"{at}: '{reply.says}' leads to an unknown question '{reply.text}'"
                why = "the technician would stand at the dock with nothing to do"
                fix = suggestion(reply.text, ids, otherwise="write the question, or end here")
                found.append(Problem(path.file, reply.line, what, why, fix))
            if reply.kind == DO and not reply.page:
                what = f"{at}: '{reply.says}' says what to do, but names no page"
                why = "an action without its page comes without its cautions and its stops"
                fix = "add `page: procedures/its-page.md`"
                found.append(Problem(path.file, reply.line, what, why, fix))
    return found


def _loops(path: FaultPath) -> list[Problem]:
    """Return each answer that leads back to a question on the way to it."""
    first = path.by_id()
    found: dict[int, Problem] = {}
    done: set[str] = set()

    def walk(question: Question, way: tuple[str, ...]) -> None:
        way = (*way, question.id)
        for reply in question.replies:
            if reply.kind != GO or reply.text not in first:
                continue
            if reply.text in way:
                ring = " -> ".join((*way[way.index(reply.text) :], reply.text))
                what = f"path '{path.id}': '{reply.says}' leads back: {ring}"
                why = "the technician would go round and never reach an end"
                fix = "end here, or say in the earlier question to look again until it stays the same"
                found[reply.line] = Problem(path.file, reply.line, what, why, fix)
            elif reply.text not in done:
                walk(first[reply.text], way)
        done.add(question.id)

    walk(path.questions[0], ())
    return list(found.values())


def _unreached(path: FaultPath) -> list[Problem]:
    """Return the questions that nobody is asked; an answer that leads to an unknown one may mean them."""
    reached = set(_reached(path))
    if reached - {question.id for question in path.questions}:
        return []
    return [
        Problem(
            path.file,
            question.line,
            f"path '{path.id}': no answer leads to the question '{question.id}'",
            "nobody would ever be asked it",
            f"let an answer lead to it: `{GO}: {question.id}`, or take it out",
        )
        for question in path.questions
        if question.id not in reached
    ]


def _reached(path: FaultPath) -> Iterator[str]:
    """Return the ids that answers lead to from the first question on, unknown ones among them."""
    first = path.by_id()
    waiting, seen = [path.questions[0].id], set[str]()
    while waiting:
        id_ = waiting.pop()
        if id_ in seen:
            continue
        seen.add(id_)
        yield id_
        if id_ in first:
            waiting += [reply.text for reply in first[id_].replies if reply.kind == GO]


def _cautions(path: FaultPath, registers: Registers) -> list[Problem]:
    known = {*registers.hazards, *registers.left_out}
    named = [(path.line, path.cautions)]
    for question in path.questions:
        named += [(question.line, question.cautions)]
        named += [(reply.line, reply.cautions) for reply in question.replies]
    return [
        Problem(
            path.file,
            line,
            f"path '{path.id}': unknown hazard '{id_}'",
            f"{_HAZARDS} has no such id",
            suggestion(id_, registers.hazards, otherwise="add it to the register"),
        )
        for line, ids in named
        for id_ in ids
        if id_ not in known
    ]


def _figures(path: FaultPath, registers: Registers) -> list[Problem]:
    found = []
    for passage in path_texts(path):
        text = passage.text
        for use in FIGURE_USE.finditer(text):
            found += use_problems(registers, path.file, passage.line, use["id"], use["part"] or "")
        for _, words in bare_figures(text):
            what = f"path '{path.id}': '{words}' is typed straight into it"
            why = "a figure lives once, in the register, with its basis and its check"
            fix = f"add it to {_FIGURES} and write its id here: {{{{ the-id }}}}"
            found.append(Problem(path.file, passage.line, what, why, fix))
    return found

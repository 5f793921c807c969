"""Fault paths as faults.yml has them: a symptom, and questions with replies that lead on or end the path.

The file calls the replies to a question its `answers`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markdown.extensions.toc import slugify

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import Key, Shape, check_shape, id_of

FAULTS = "faults.yml"
DO, PAGE, STOP = "do", "page", "stop"
"""How a path can end: an action with the page that says how, a page to go on with, or stop and call."""
GO = "go"
FEWEST, MOST = 2, 4
"""How many replies a question may have: nobody chooses among more at a glance."""

PATH_SHAPE: Shape = {
    "id": Key("id", "a page shows a path by its id", "will-not-rise-fully"),
    "symptom": Key("text", "the technician chooses by what is seen", "It will not rise fully"),
    "note": Key("text", "a few words beside the symptom", "keep everyone off", required=False),
    "said_as": Key("texts", "search finds the page by what people say", "[won't come up]", required=False),
    "cautions": Key("texts", "the first question shows them", "[people-clear]", required=False),
    "questions": Key("rows", "a path asks, one question at a time", "[{id: pull-the-ring, ...}]"),
}
QUESTION_SHAPE: Shape = {
    "id": Key("id", "answers lead to a question by its id", "pull-the-ring"),
    "look": Key("text", "the technician must know where to look, or what to do to see", "Look at the lip."),
    "note": Key("text", "a reason, or how", "It should be one straight line.", required=False),
    "page": Key("text", "a page that says how", "procedures/cycle.md#up", required=False),
    "cautions": Key("texts", "they stand above the question", "[lip-path]", required=False),
    "ask": Key("text", "the question itself", "Is it straight?"),
    "answers": Key("rows", "a question that nobody can answer leads nowhere", "[{says: It is, ...}, ...]"),
}
REPLY_SHAPE: Shape = {
    "says": Key("text", "the technician chooses by these words", "It is straight"),
    GO: Key("id", "the question that comes next", "pull-the-ring", required=False),
    DO: Key("text", "what to do now", "Set the mainspring.", required=False),
    PAGE: Key("text", "the page to go on with", "procedures/cycle.md", required=False),
    STOP: Key("text", "why to stop and call", "The lip is bent.", required=False),
    "why": Key("text", "what it usually is", "A dry hinge.", required=False),
    "cautions": Key("texts", "they stand with the action", "[lip-path]", required=False),
}


@dataclass(frozen=True, slots=True)
class Reply:
    """What a person taps on a question. `kind` is GO, DO, PAGE or STOP.

    `text` is the next question's id (GO), the action (DO) or the reason (STOP).
    """

    says: str
    kind: str
    text: str
    page: str
    why: str
    cautions: tuple[str, ...]
    line: int

    @property
    def slug(self) -> str:
        """The reply's name in an address: its words in small letters, with hyphens."""
        return slugify(self.says, "-")


@dataclass(frozen=True, slots=True)
class Question:
    """What to look at or do, and the question about it."""

    id: str
    look: str
    note: str
    page: str
    cautions: tuple[str, ...]
    ask: str
    replies: tuple[Reply, ...]
    line: int


@dataclass(frozen=True, slots=True)
class FaultPath:
    """A symptom and its questions, beginning with the one that is asked first."""

    id: str
    symptom: str
    note: str
    said_as: tuple[str, ...]
    cautions: tuple[str, ...]
    questions: tuple[Question, ...]
    file: str
    line: int

    def by_id(self) -> dict[str, Question]:
        """Return the questions by id; where two share an id, which the checks refuse, the first."""
        return {question.id: question for question in reversed(self.questions)}

    def cautions_at(self, question: Question) -> tuple[str, ...]:
        """Return the ids of the hazards above a question: its own; the first has the path's as well."""
        own = (*self.cautions, *question.cautions) if question is self.questions[0] else question.cautions
        return tuple(dict.fromkeys(own))

    def all_cautions(self) -> tuple[str, ...]:
        """Return the id of every hazard of the path once, in the order of first need."""
        ids_in_order = [
            id_
            for question in self.questions
            for ids in (self.cautions_at(question), *(reply.cautions for reply in question.replies))
            for id_ in ids
        ]
        return tuple(dict.fromkeys(ids_in_order))

    def targets(self) -> Iterator[tuple[str, int]]:
        """Yield (page, line) for each page that the path leads to, named by its path in the docs folder."""
        for question in self.questions:
            pages = [(question.page, question.line)]
            pages += [(reply.page, reply.line) for reply in question.replies]
            yield from ((page, line) for page, line in pages if page)


def path_from(row: Node, file: str) -> FaultPath:
    """Make the FaultPath of a row that passed its shape and `check_path`."""
    value = row.value
    return FaultPath(
        value["id"].written,
        value["symptom"].written,
        _text(row, "note"),
        _list(row, "said_as"),
        _list(row, "cautions"),
        tuple(_question(question) for question in value["questions"].value),
        file,
        row.line,
    )


def check_path(row: Node, file: str, subject: str) -> list[Problem]:
    """Return the problems of a row's questions and replies that can be seen in the row alone."""
    found = []
    for question in row.value["questions"].value:
        name = f"{subject}, question '{id_of(question)}'"
        problems = check_shape(question, QUESTION_SHAPE, file=file, subject=name)
        found += problems or _check_replies(question, file, name)
    if not row.value["questions"].value:
        what, why = f"{subject} asks nothing", "the technician would find an empty page"
        found.append(Problem(file, row.line, what, why, "write at least one question under `questions:`"))
    return found


def _check_replies(question: Node, file: str, subject: str) -> list[Problem]:
    replies = question.value["answers"].value
    found = [
        problem
        for reply in replies
        for problem in check_shape(reply, REPLY_SHAPE, file=file, subject=f"{subject}, an answer")
        or _check_kind(reply, file, subject)
    ]
    if not FEWEST <= len(replies) <= MOST:
        number = "only one answer" if len(replies) == 1 else f"{len(replies) or 'no'} answers"
        what = f"{subject} has {number}"
        why = "without a choice it is no question, and nobody chooses among more than four at a glance"
        fix = f"give it {FEWEST} to {MOST} answers, or ask in two questions"
        found.append(Problem(file, question.line, what, why, fix))
    return found


def _check_kind(reply: Node, file: str, subject: str) -> list[Problem]:
    """Return a problem where a reply leads to more or less than one thing (GO, DO, PAGE or STOP)."""
    kinds = [kind for kind in (GO, DO, STOP) if _text(reply, kind)]
    named = f"{subject}, answer '{_text(reply, 'says')}'"
    if len(kinds) > 1:
        what = f"{named} has both '{kinds[0]}' and '{kinds[1]}'"
        why = "nobody could tell which of them is meant"
        return [Problem(file, reply.line, what, why, "keep one of them")]
    if kinds == [GO] and _text(reply, PAGE):
        what, why = f"{named} has both '{GO}' and '{PAGE}'", "the question that follows would hide the page"
        return [Problem(file, reply.line, what, why, "move the page to the question, or end here")]
    if not kinds and not _text(reply, PAGE):
        what, why = f"{named} leads nowhere", "the technician would stand at the dock with nothing to do"
        fix = f"write `{GO}: question-id`, `{DO}: ...` with a `{PAGE}:`, `{PAGE}: ...` or `{STOP}: why`"
        return [Problem(file, reply.line, what, why, fix)]
    return []


def _question(row: Node) -> Question:
    return Question(
        row.value["id"].written,
        _text(row, "look"),
        _text(row, "note"),
        _text(row, "page"),
        _list(row, "cautions"),
        _text(row, "ask"),
        tuple(_reply(reply) for reply in row.value["answers"].value),
        row.line,
    )


def _reply(row: Node) -> Reply:
    kind = next((kind for kind in (GO, DO, STOP) if _text(row, kind)), PAGE)
    text = "" if kind == PAGE else _text(row, kind)
    return Reply(
        _text(row, "says"), kind, text, _text(row, PAGE), _text(row, "why"), _list(row, "cautions"), row.line
    )


def _text(row: Node, key: str) -> str:
    node = row.value.get(key)
    return node.written if node is not None and node.value is not None else ""


def _list(row: Node, key: str) -> tuple[str, ...]:
    node = row.value.get(key)
    return tuple(item.written for item in node.value) if node is not None and node.value else ()

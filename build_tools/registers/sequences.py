"""The visit's jobs and their order, as sequences.yml has them: what is worked, and where each answer leads.

jobs           pages as they are worked: which steps, and what happens at some of them
sequences      jobs in order, chosen by what was asked for
fault_paths    what stands around a fault path that has no sequence of its own
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.reading.shapes import check_shape
from build_tools.registers.reader import RegisterReader
from build_tools.registers.sequence_shapes import (
    AROUND_SHAPE,
    AT_SHAPE,
    FILE_SHAPE,
    JOB_SHAPE,
    LISTED_SHAPE,
    SEQUENCE_SHAPE,
)

SEQUENCES = "sequences.yml"
END, STOP, GO, BACK, FROM, WORK = "end", "stop", "go", "again", "from", "work"
"""Where an answer can lead beside a step: the job is done; stop and call; on to a job; back as a
step says. A job that is worked (WORK) before the fault path is asked again is an end of a path alone."""
RANGE = ".."


@dataclass(frozen=True, slots=True)
class Target:
    """Where something leads. `kind` is "step", END, STOP, GO, BACK or WORK; `name` is a step or a job.

    `start` is the step with which a job begins, "" for its first.
    """

    kind: str
    name: str
    line: int = 0
    start: str = ""

    def plain(self) -> str | dict[str, str]:
        """Return the target as the plan has it."""
        if self.kind not in (GO, BACK, WORK):
            return self.name
        return {self.kind: self.name, FROM: self.start} if self.start else {self.kind: self.name}


@dataclass(frozen=True, slots=True)
class AtStep:
    """What happens at one step of a job; what is empty does not happen."""

    work: str = ""
    enough: str = ""
    since: str = ""
    if_done: tuple[str, ...] = ()
    stands_until: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    again: Mapping[str, str] = field(default_factory=dict)
    """The step to go back to by way; "" names the one for every other way."""
    until: str = ""
    ask: str = ""
    led_by: str = ""
    answers: Mapping[str, Target] = field(default_factory=dict)
    line: int = 0


@dataclass(frozen=True, slots=True)
class Job:
    """Steps of one page, in the page's order. `steps` and `once` are as written: ids and ranges."""

    id: str
    page: str
    spring: str
    steps: tuple[str, ...]
    once: tuple[str, ...]
    ways: Mapping[str, tuple[str, ...]]
    stands_until: tuple[str, ...]
    check: str
    at: Mapping[str, AtStep]
    path: str
    ends: Mapping[str, Target]
    left_out: Mapping[str, str]
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A job in a sequence's list, and when it is worked."""

    job: str
    if_sent: bool = False
    if_done: tuple[str, ...] = ()

    def plain(self) -> object:
        """Return it as the plan has it: the job's id, or the id with its conditions."""
        if not (self.if_sent or self.if_done):
            return self.job
        return {self.job: {"if_sent": True} if self.if_sent else {"if_done": list(self.if_done)}}


@dataclass(frozen=True, slots=True)
class Sequence:
    """Jobs in order, by what was asked for."""

    id: str
    label: str
    said_as: tuple[str, ...]
    page: str
    """The page that offers it, "" for none."""
    jobs: tuple[Listed, ...]
    stop: str
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class AroundPaths:
    """What stands around a fault path that has no sequence of its own."""

    before: tuple[Listed, ...]
    after: tuple[Listed, ...]
    stop: str
    works: Mapping[str, str]
    """Jobs by page: a step that links to the page is worked by the job."""
    leads_on: tuple[str, ...]
    """Pages: a step that links to one is left out, since the sequence leads there."""
    first: Mapping[str, str]
    """Jobs by job: an end that leads to a job leads to this one, which leads on."""
    asked_again: tuple[str, ...]
    """Jobs after which the path is asked again, once a visit."""
    reading: tuple[str, ...]
    """Pages that an end leads to and that are read only."""
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Sequences:
    """Everything in sequences.yml; empty where a book has none."""

    jobs: Mapping[str, Job] = field(default_factory=dict)
    sequences: Mapping[str, Sequence] = field(default_factory=dict)
    around_paths: AroundPaths | None = None
    stand_alone: tuple[str, ...] = ()
    """Words of a step that is shown alone on its screen, in the book's language."""


def read_sequences(reader: RegisterReader) -> Sequences:
    """Read sequences.yml; a book without it has none, and no visit."""
    root = reader.read(SEQUENCES)
    if root is None or root.value is None:
        return Sequences()
    file = reader.file(SEQUENCES)
    found = check_shape(root, FILE_SHAPE, file=file, subject=SEQUENCES)
    reader.problems += found
    if found:
        return Sequences()
    jobs = reader.rows_of(root.value["jobs"], file, "job", JOB_SHAPE, _job, _check_job)
    sequences = reader.rows_of(
        root.value["sequences"], file, "sequence", SEQUENCE_SHAPE, _sequence, _check_sequence
    )
    around = _around(root.value.get("fault_paths"), reader, file)
    return Sequences(jobs, sequences, around, _texts(root, "stand_alone"))


def _around(row: Node | None, reader: RegisterReader, file: str) -> AroundPaths | None:
    if row is None or row.value is None:
        return None
    subject = f"{SEQUENCES}, fault_paths"
    found = check_shape(row, AROUND_SHAPE, file=file, subject=subject)
    if not found:
        found = [
            *_check_list(row.value["before"], file, subject),
            *_check_list(row.value["after"], file, subject),
        ]
    reader.problems += found
    if found:
        return None
    return AroundPaths(
        _listed(row.value["before"]),
        _listed(row.value["after"]),
        row.value["stop"].written,
        {page: node.written for page, node in _mapping(row, "works").items()},
        _texts(row, "leads_on"),
        {job: node.written for job, node in _mapping(row, "first").items()},
        _texts(row, "asked_again"),
        _texts(row, "reading"),
        file,
        row.line,
    )


def _job(row: Node, file: str) -> Job:
    at = row.value.get("at")
    ways, ends, left_out = (_mapping(row, key) for key in ("ways", "ends", "left_out"))
    return Job(
        row.value["id"].written,
        row.value["page"].written,
        _text(row, "spring"),
        _texts(row, "steps"),
        _texts(row, "once"),
        {way: _written(node) for way, node in ways.items()},
        _texts(row, "stands_until"),
        _text(row, "check"),
        {step: _at(node) for step, node in (at.value.items() if at is not None else ())},
        _text(row, "path"),
        {end: _target(node) for end, node in ends.items()},
        {step: node.written for step, node in left_out.items()},
        file,
        row.line,
    )


def _at(row: Node) -> AtStep:
    again = row.value.get("again")
    ways = again.value if again is not None and isinstance(again.value, dict) else {}
    back = {way: node.written for way, node in ways.items()} or ({"": again.written} if again else {})
    return AtStep(
        _text(row, "work"),
        _text(row, "enough"),
        _text(row, "since"),
        _texts(row, "if_done"),
        _texts(row, "stands_until"),
        _texts(row, "hazards"),
        {"" if way == "other" else way: step for way, step in back.items()},
        _text(row, "until"),
        _text(row, "ask"),
        _text(row, "led_by"),
        {outcome: _target(node) for outcome, node in _mapping(row, "answers").items()},
        row.line,
    )


def _sequence(row: Node, file: str) -> Sequence:
    return Sequence(
        row.value["id"].written,
        row.value["label"].written,
        _texts(row, "said_as"),
        _text(row, "page"),
        _listed(row.value["jobs"]),
        row.value["stop"].written,
        file,
        row.line,
    )


def _listed(rows: Node) -> tuple[Listed, ...]:
    found = []
    for row in rows.value:
        if not isinstance(row.value, dict):
            found.append(Listed(row.written))
            continue
        job, when = next(iter(row.value.items()))
        sent = when.value.get("if_sent")
        found.append(Listed(job, bool(sent is not None and sent.value), _texts(when, "if_done")))
    return tuple(found)


def _target(node: Node) -> Target:
    if isinstance(node.value, dict):
        kind = next(iter(node.value))
        return Target(kind, node.value[kind].written, node.line, _text(node, FROM))
    return Target(node.written if node.written in (END, STOP) else "step", node.written, node.line)


def _check_job(row: Node, file: str, subject: str) -> list[Problem]:
    found = []
    for step, node in _mapping(row, "at").items():
        name = f"{subject}, at '{step}'"
        problems = check_shape(node, AT_SHAPE, file=file, subject=name)
        found += problems or _check_targets(_mapping(node, "answers"), file, name)
    return found + _check_targets(_mapping(row, "ends"), file, subject)


def _check_targets(targets: Mapping[str, Node], file: str, subject: str) -> list[Problem]:
    return [
        _no_target(node, file, f"{subject}, '{name}'") for name, node in targets.items() if not _leads(node)
    ]


def _leads(node: Node) -> bool:
    if isinstance(node.value, dict):
        return [*node.value] in ([GO], [GO, FROM], [BACK], [WORK])
    return isinstance(node.value, str) and bool(node.value)


def _no_target(node: Node, file: str, subject: str) -> Problem:
    what, why = f"{subject} leads nowhere", "the visit would not know what comes next"
    fix = f"write a step, `{END}`, `{STOP}`, `{{{GO}: job}}`, `{{{WORK}: job}}` or `{{{BACK}: step}}`"
    return Problem(file, node.line, what, why, fix)


def _check_sequence(row: Node, file: str, subject: str) -> list[Problem]:
    return _check_list(row.value["jobs"], file, subject)


def _check_list(rows: Node, file: str, subject: str) -> list[Problem]:
    found = []
    for row in rows.value:
        if isinstance(row.value, str):
            continue
        if not isinstance(row.value, dict) or len(row.value) != 1:
            what, why = f"{subject}: an entry of its list is no job", "the visit could not tell what to work"
            fix = "write a job's id, or `job-id: {if_sent: true}`"
            found.append(Problem(file, row.line, what, why, fix))
            continue
        job, when = next(iter(row.value.items()))
        found += check_shape(when, LISTED_SHAPE, file=file, subject=f"{subject}, job '{job}'")
    return found


def _mapping(row: Node, key: str) -> Mapping[str, Node]:
    node = row.value.get(key)
    return node.value if node is not None and node.value else {}


def _text(row: Node, key: str) -> str:
    node = row.value.get(key)
    return node.written if node is not None and node.value is not None else ""


def _texts(row: Node, key: str) -> tuple[str, ...]:
    node = row.value.get(key)
    return _written(node) if node is not None and node.value else ()


def _written(node: Node) -> tuple[str, ...]:
    """Return one text, or each of a list, as typed."""
    return tuple(item.written for item in node.value) if isinstance(node.value, list) else (node.written,)

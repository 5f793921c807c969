"""The jobs of a book, with those that no author wrote: of fault paths, and of pages that their ends lead to.

A path's own job has the steps above the path, and a second one, "...-then", those below it; another page's
job has all its steps. A step that sends to a page of `works` is worked by that job; one that sends
to a page of `leads_on` is left out, since the sequence leads there by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Sequence as Sequence_
from dataclasses import dataclass

from markdown.extensions.toc import slugify

from build_tools.book.book import Book
from build_tools.book.fault_words import page_of_path
from build_tools.reading.pages import Page
from build_tools.registers.fault_paths import GO as NEXT_QUESTION
from build_tools.registers.fault_paths import STOP as STOPS
from build_tools.registers.fault_paths import FaultPath, Reply
from build_tools.registers.sequences import (
    END,
    GO,
    STOP,
    WORK,
    AroundPaths,
    AtStep,
    Job,
    Listed,
    Sequence,
    Target,
)
from build_tools.visits.page_steps import PageStep, around_path, expanded, first_step_at, page_steps

THEN = "-then"


@dataclass(frozen=True, slots=True)
class Worked:
    """A job with its steps in order, and what of it the page does not have."""

    job: Job
    steps: tuple[str, ...]
    left_out: tuple[str, ...]
    once: tuple[str, ...]
    ways: Mapping[str, tuple[str, ...]]
    unknown: tuple[str, ...]
    made: bool
    """True where no author wrote it."""


@dataclass(frozen=True, slots=True)
class Visits:
    """All jobs and sequences, and the steps of their pages."""

    jobs: Mapping[str, Worked]
    sequences: Mapping[str, Sequence]
    steps: Mapping[str, list[PageStep]]
    """By page; of a page that does not exist, none."""
    ends: Mapping[str, Mapping[str, Target | None]]
    """By path job: "question/answer", answers counted from 1, to where it leads; None where no job fits."""
    before: Mapping[str, Mapping[str, str]]
    """By path job: the job that is worked before a question is asked, by question."""

    def offered(self, src: str) -> str:
        """Return the sequence that a page offers to work as a visit, "" for none."""
        return next((sequence.id for sequence in self.sequences.values() if sequence.page == src), "")


def visits_of(book: Book) -> Visits | None:
    """Return the visits of a book; None for a book whose author wrote no sequence."""
    written = book.registers.visit
    if not written.sequences:
        return None
    maker = _Maker(book)
    jobs = {id_: maker.worked(job) for id_, job in written.jobs.items()}
    sequences = dict(written.sequences)
    if written.around_paths is not None:
        jobs |= {job.job.id: job for job in maker.of_paths(written.around_paths)}
        paths = [path for path in book.registers.faults.values() if path.id in maker.homes]
        made = {path.id: _around(path, maker.homes[path.id], written.around_paths) for path in paths}
        sequences = made | sequences
        jobs |= {job.job.id: job for job in maker.of_pages(jobs, written.around_paths)}
    ends = {
        id_: maker.ends(worked.job, jobs, written.around_paths)
        for id_, worked in jobs.items()
        if worked.job.path in book.registers.faults
    }
    before = {id_: maker.before(jobs[id_].job, written.around_paths) for id_ in ends}
    visits = Visits(jobs, sequences, maker.steps, ends, before)
    needed = {name for sequence in sequences.values() for name in reached(sequence, visits)}
    kept = {id_: worked for id_, worked in jobs.items() if id_ in needed or not worked.made}
    return Visits(kept, sequences, maker.steps, {id_: ends[id_] for id_ in ends if id_ in kept}, before)


def reached(sequence: Sequence, visits: Visits) -> list[str]:
    """Return the jobs that a sequence can come to, in the order of first need."""
    found: list[str] = []
    open_ = [*(listed.job for listed in sequence.jobs), sequence.stop]
    while open_:
        name = open_.pop(0)
        worked = visits.jobs.get(name)
        if worked is not None and name not in found:
            found.append(name)
            open_ += [target.name for target in _targets(worked, visits) if target.kind in (GO, WORK)]
            open_ += [rule.work for rule in worked.job.at.values() if rule.work]
            open_ += visits.before.get(name, {}).values()
    return found


def _targets(worked: Worked, visits: Visits) -> Iterator[Target]:
    for rule in worked.job.at.values():
        yield from rule.answers.values()
    yield from (target for target in visits.ends.get(worked.job.id, {}).values() if target is not None)


class _Maker:
    """Makes jobs of pages; reads each page once."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.steps = {src: page_steps(page) for src, page in book.pages.items()}
        self.homes = page_of_path(book.pages.values())

    def worked(self, job: Job) -> Worked:
        """Expand the ranges of an author's job."""
        ids = [step.id for step in self.steps.get(job.page, [])]
        steps, unknown = expanded(job.steps, ids) if job.steps else (ids, [])
        left, unknown_left = expanded(job.left_out, ids)
        once, unknown_once = expanded(job.once, ids)
        ways = {way: expanded(written, ids) for way, written in job.ways.items()}
        named = [*job.at, *([job.check] if job.check else [])]
        unknown += [*unknown_left, *unknown_once, *(name for _, lost in ways.values() for name in lost)]
        unknown += [name for name in named if name not in ids]
        return Worked(
            job,
            tuple(id_ for id_ in steps if id_ not in left),
            tuple(left),
            tuple(once),
            {way: tuple(found) for way, (found, _) in ways.items()},
            tuple(dict.fromkeys(unknown)),
            made=False,
        )

    def of_paths(self, around: AroundPaths) -> Iterator[Worked]:
        """Yield the jobs of each fault path that no author wrote: the steps above it, and those below."""
        written = self.book.registers.visit.jobs
        asked = {job.path for job in written.values()}
        for path in self.book.registers.faults.values():
            if path.id not in self.homes:
                continue
            src = self.homes[path.id]
            above, below = around_path(self.book.pages[src], self.steps[src])
            if path.id not in asked:
                yield self._made(path.id, src, around, above, path.id)
            if below and f"{path.id}{THEN}" not in written:
                yield self._made(f"{path.id}{THEN}", src, around, below)

    def of_pages(self, jobs: Mapping[str, Worked], around: AroundPaths) -> Iterator[Worked]:
        """Yield a job for each page with steps that an end of a path leads to and that no job has."""
        had = {worked.job.page for worked in jobs.values()}
        for path in self.book.registers.faults.values():
            for reply in (reply for question in path.questions for reply in question.replies):
                src = reply.page.partition("#")[0]
                if src not in had and self.steps.get(src) and src not in around.reading:
                    had.add(src)
                    yield self._made(_stem(src), src, around, tuple(step.id for step in self.steps[src]))

    def _made(self, id_: str, src: str, around: AroundPaths, steps: Sequence_[str], path: str = "") -> Worked:
        at: dict[str, AtStep] = {}
        left_out: dict[str, str] = {}
        for step in (step for step in self.steps[src] if step.id in steps):
            pages = [target.partition("#")[0] for target in step.leads_to]
            work = next((around.works[page] for page in pages if page in around.works), "")
            if any(page in around.leads_on for page in pages):
                left_out[step.id] = "the sequence leads there"
            elif work:
                at[step.id] = AtStep(work=work, line=around.line)
        job = Job(id_, src, "", (*steps,), (), {}, (), "", at, path, {}, left_out, around.file, around.line)
        kept = tuple(id_ for id_ in steps if id_ not in left_out)
        return Worked(job, kept, tuple(left_out), (), {}, (), made=True)

    def ends(
        self, job: Job, jobs: Mapping[str, Worked], around: AroundPaths | None
    ) -> dict[str, Target | None]:
        """Return where each end of a job's path leads."""
        found: dict[str, Target | None] = {}
        for question in self.book.registers.faults[job.path].questions:
            for number, reply in enumerate(question.replies, start=1):
                if reply.kind != NEXT_QUESTION:
                    end = f"{question.id}/{number}"
                    found[end] = job.ends.get(end) or self._end(reply, jobs, around)
        return found

    def before(self, job: Job, around: AroundPaths | None) -> dict[str, str]:
        """Return the job of each question whose page says how to come to see what is asked."""
        works = around.works if around is not None else {}
        questions = self.book.registers.faults[job.path].questions
        return {question.id: works[question.page] for question in questions if question.page in works}

    def _end(self, reply: Reply, jobs: Mapping[str, Worked], around: AroundPaths | None) -> Target | None:
        if reply.kind == STOPS:
            return Target(STOP, STOP, reply.line)
        src, _, anchor = reply.page.partition("#")
        page = self.book.pages.get(src)
        if page is None or not self.steps[src] or (around is not None and src in around.reading):
            return Target(END, END, reply.line)
        first = first_step_at(page, anchor, _slugs(page)) if anchor else ""
        if anchor and not first:
            return Target(END, END, reply.line)
        fits = [worked for worked in jobs.values() if worked.job.page == src]
        fits = [worked for worked in fits if first in worked.steps] if anchor else _whole(fits)
        fit = fits[0] if fits else None
        if fit is None:
            return None
        name = fit.job.id if around is None else around.first.get(fit.job.id, fit.job.id)
        if around is not None and name in around.asked_again:
            return Target(WORK, name, reply.line)
        start = first if anchor and fit.steps[0] != first and name == fit.job.id else ""
        return Target(GO, name, reply.line, start)


def _around(path: FaultPath, home: str, around: AroundPaths) -> Sequence:
    jobs = (*around.before, Listed(path.id), *around.after)
    return Sequence(path.id, path.symptom, path.said_as, home, jobs, around.stop, path.file, path.line)


def _whole(fits: list[Worked]) -> list[Worked]:
    """Return the jobs of a page, the one that asks its fault path first."""
    return sorted(fits, key=lambda worked: not worked.job.path)


def _stem(src: str) -> str:
    return src.removesuffix(".md").rpartition("/")[2]


def _slugs(page: Page) -> dict[str, int]:
    return {slugify(heading.text, "-"): heading.line for heading in reversed(page.scan.headings)}

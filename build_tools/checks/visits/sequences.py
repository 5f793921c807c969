"""The jobs and sequences of the visit: every name is known, every answer leads on, no step is forgotten."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator

from build_tools.book.book import Book
from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.sequences import BACK, GO, WORK, AtStep, Job, Sequence, Target
from build_tools.visits.jobs import Visits, Worked, reached, visits_of
from build_tools.visits.plan import visit_plan
from build_tools.visits.walk import walk
from calculators.visit.derived.outcomes import OUTCOMES
from calculators.visit.log.plan import Plan

OTHER = "other"
"""Stands for every outcome that is not named."""
MANY = 20
"""Names that nobody wants to read as a list."""
_WHY_UNKNOWN = {
    "figure": "content/registers/figures.yml has no such id",
    "fault path": "content/registers/faults.yml has no such id",
    "way": "content/registers/ways.yml has no such id",
    "calculator": "a visit asks only those whose outcomes it knows",
    "outcome": "the calculator never answers so",
}


def check_sequences(book: Book) -> list[Problem]:
    """Return every problem of the visit's register that can be seen without a walk through it."""
    visits = visits_of(book)
    if visits is None:
        return []
    found: list[Problem] = []
    for worked in visits.jobs.values():
        found += _job(worked, visits, book)
    for sequence in visits.sequences.values():
        found += _names(sequence, visits, book)
    # What else is wrong moves the steps about, so the rest is only said of jobs whose names are all known.
    if book.registers.left_out:
        return found
    found = found or [problem for each in visits.sequences.values() for problem in _forgotten(each, visits)]
    return found or list(_walked(visits, Plan(visit_plan(book, visits, {}))))


def _walked(visits: Visits, plan: Plan) -> Iterator[Problem]:
    """Walk every sequence every way; yield a loop without an end, a trap, and what nothing comes to."""
    steps: set[tuple[str, str]] = set()
    for sequence in visits.sequences.values():
        walked = walk(plan, sequence.id)
        steps |= walked.steps
        if walked.too_many:
            what, why = f"sequence '{sequence.id}' never comes to an end of its ways", "jobs work each other"
            fix = "look for a job that works itself, or one that works the job it is worked by"
            yield Problem(sequence.file, sequence.line, what, why, fix)
            continue
        loop, trap = walked.unbounded_loop(), walked.trapped()
        if loop is not None:
            what = f"sequence '{sequence.id}' can go round and round at {_named(loop)}"
            why = "no calculator's stop, no figure and no count of springs would ever end it"
            fix = "ask a calculator on the way round, or lead one of the answers to `stop`"
            yield Problem(sequence.file, sequence.line, what, why, fix)
        elif trap is not None:
            what, why = (
                f"sequence '{sequence.id}' never leaves {_named(trap)}",
                "the visit could not be closed",
            )
            yield Problem(sequence.file, sequence.line, what, why, "lead one of its answers on")
    yield from _unreached(visits, steps)


def _named(place: str) -> str:
    """Return where a place is: its innermost job and step, or question."""
    frame = json.loads(place)[-1]
    return f"'{frame.get('step') or frame.get('question')}' of job '{frame.get('job')}'"


def _unreached(visits: Visits, steps: set[tuple[str, str]]) -> Iterator[Problem]:
    for worked in visits.jobs.values():
        job = worked.job
        missing = next((step for step in worked.steps if (job.id, step) not in steps), None)
        if missing is not None and not worked.made:
            what = f"job '{job.id}': nothing leads to the step '{missing}'"
            why, fix = "nobody would ever work it", "name the job in a sequence or a target, or take it out"
            yield Problem(job.file, job.line, what, why, fix)


def _job(worked: Worked, visits: Visits, book: Book) -> Iterator[Problem]:
    job = worked.job
    if job.page not in book.pages:
        what, why = f"job '{job.id}' names the page '{job.page}', which does not exist", "it has no steps"
        yield Problem(job.file, job.line, what, why, suggestion(job.page, book.pages, otherwise="correct it"))
        return
    page = [step.id for step in visits.steps[job.page]]
    for name in worked.unknown:
        what = f"job '{job.id}' names the step '{name}', which '{job.page}' does not have"
        why, fix = "it would be passed over unseen", suggestion(name, page, otherwise="correct it")
        yield Problem(job.file, job.line, what, why, fix)
    for name in job.stands_until:
        if name not in visits.jobs:
            yield _unknown(job, job.line, "job", name, visits.jobs)
    if job.path and job.path not in book.registers.faults:
        yield _unknown(job, job.line, "fault path", job.path, book.registers.faults)
    for way in job.ways:
        if way not in book.registers.ways:
            yield _unknown(job, job.line, "way", way, book.registers.ways)
    for step, rule in job.at.items():
        yield from _rule(job, step, rule, worked, visits, book)
    yield from _ends(job, visits)


def _ends(job: Job, visits: Visits) -> Iterator[Problem]:
    ends = visits.ends.get(job.id, {})
    for end, target in job.ends.items():
        if end not in ends:
            yield _unknown(job, target.line, "end", end, ends)
        elif target.kind in (GO, WORK) and target.name not in visits.jobs:
            yield _unknown(job, target.line, "job", target.name, visits.jobs)
    for end, led in ends.items():
        if led is None:
            what = f"the end '{end}' of path '{job.path}' leads to a page that no job works"
            why, fix = "the visit would stop there without a word", f"write `ends: {{{end}: ...}}` in a job"
            yield Problem(job.file, job.line, what, why, fix)


def _rule(job: Job, step: str, rule: AtStep, worked: Worked, visits: Visits, book: Book) -> Iterator[Problem]:
    figures = book.registers.figures
    jobs = [("job", name) for name in (rule.work, *rule.if_done, *rule.stands_until) if name]
    for noun, name in jobs:
        if name not in visits.jobs:
            yield _unknown(job, rule.line, noun, name, visits.jobs)
    for figure in (rule.enough, rule.until):
        if figure and figure not in figures:
            yield _unknown(job, rule.line, "figure", figure, figures)
    for hazard in rule.hazards:
        shown = {id_ for each in visits.steps[job.page] for id_ in each.hazards}
        if hazard not in shown:
            what = f"job '{job.id}', at '{step}': the page does not show the hazard '{hazard}'"
            why, fix = (
                "the phone takes its words from there",
                suggestion(hazard, shown, otherwise="correct it"),
            )
            yield Problem(job.file, rule.line, what, why, fix)
    for way, back in rule.again.items():
        if way and way not in book.registers.ways:
            yield _unknown(job, rule.line, "way", way, book.registers.ways)
        if back not in worked.steps:
            yield _unknown(job, rule.line, "step", back, worked.steps)
    if rule.since and rule.since not in worked.steps:
        yield _unknown(job, rule.line, "step", rule.since, worked.steps)
    if rule.until and not rule.again:
        what = f"job '{job.id}', at '{step}': `until` without `again`"
        why = "the visit would not know where to go back to"
        yield Problem(job.file, rule.line, what, why, "write `again:` with the step of the next run")
    yield from _answers(job, step, rule, worked, visits)


def _answers(job: Job, step: str, rule: AtStep, worked: Worked, visits: Visits) -> Iterator[Problem]:
    calculator = rule.ask or rule.led_by
    at = f"job '{job.id}', at '{step}'"
    if not calculator:
        if rule.answers:
            what, why = f"{at}: answers and no question", "nothing would ever give one"
            yield Problem(job.file, rule.line, what, why, "write `ask:` with the calculator's name")
        return
    if calculator not in OUTCOMES:
        yield _unknown(job, rule.line, "calculator", calculator, OUTCOMES)
        return
    for outcome, target in rule.answers.items():
        if outcome != OTHER and outcome not in OUTCOMES[calculator]:
            yield _unknown(job, target.line, "outcome", outcome, (*OUTCOMES[calculator], OTHER))
        yield from _target(job, target, worked, visits)
    missing = [outcome for outcome in OUTCOMES[calculator] if outcome not in rule.answers]
    if missing and OTHER not in rule.answers:
        what = f"{at}: '{missing[0]}' of {calculator} leads nowhere"
        why = "the visit would not know what comes next"
        yield Problem(
            job.file, rule.line, what, why, f"write `{missing[0]}:` and where it leads, or `{OTHER}: stop`"
        )


def _target(job: Job, target: Target, worked: Worked, visits: Visits) -> Iterator[Problem]:
    if target.kind == GO:
        led = visits.jobs.get(target.name)
        if led is None:
            yield _unknown(job, target.line, "job", target.name, visits.jobs)
        elif target.start and target.start not in led.steps:
            yield _unknown(job, target.line, "step", target.start, led.steps)
    elif target.kind == BACK:
        backs = [step for step, rule in job.at.items() if rule.again]
        if target.name not in backs:
            yield _unknown(job, target.line, "step with `again`", target.name, backs)
    elif target.kind == "step" and target.name not in worked.steps:
        yield _unknown(job, target.line, "step", target.name, worked.steps)


def _names(sequence: Sequence, visits: Visits, book: Book) -> Iterator[Problem]:
    if sequence.page and sequence.page not in book.pages:
        what = f"sequence '{sequence.id}' names the page '{sequence.page}', which does not exist"
        why, fix = "no page would offer it", suggestion(sequence.page, book.pages, otherwise="correct it")
        yield Problem(sequence.file, sequence.line, what, why, fix)
    named = [name for listed in sequence.jobs for name in (listed.job, *listed.if_done)]
    known = {*visits.jobs, *book.registers.left_out}
    for name in dict.fromkeys([*named, sequence.stop]):
        if name not in known:
            what = f"sequence '{sequence.id}' names an unknown job '{name}'"
            why, fix = "there is nothing to work", suggestion(name, visits.jobs, otherwise="write the job")
            yield Problem(sequence.file, sequence.line, what, why, fix)


def _forgotten(sequence: Sequence, visits: Visits) -> Iterator[Problem]:
    """Yield each step that a job of the sequence leaves out, and that is worked nowhere in it."""
    jobs = [visits.jobs[name] for name in reached(sequence, visits)]
    done: dict[str, set[str]] = {}
    for worked in jobs:
        done.setdefault(worked.job.page, set()).update(worked.steps, worked.left_out)
    told: set[str] = set()
    for worked in jobs:
        page = worked.job.page
        missing = [step.id for step in visits.steps[page] if step.id not in done[page]]
        if missing and not worked.made and page not in told:
            told.add(page)
            what = f"sequence '{sequence.id}': the step '{missing[0]}' of '{page}' is worked nowhere"
            why = "what a page says and a visit leaves out, nobody does"
            fix = f"work it in a job, or write `left_out: {{{missing[0]}: why}}` in job '{worked.job.id}'"
            yield Problem(worked.job.file, worked.job.line, what, why, fix)


def _unknown(job: Job, line: int, noun: str, name: str, known: Collection[str]) -> Problem:
    what = f"job '{job.id}' names an unknown {noun} '{name}'"
    few = f"use one of: {', '.join(known)}" if len(known) < MANY else "correct it"
    why = _WHY_UNKNOWN.get(noun, "the visit could not go there")
    return Problem(job.file, line, what, why, suggestion(name, known, otherwise=few))

"""The plan of every visit, half-turn/visit_plan.json: what the author wrote, with pages and registers.

Texts of steps, hazards and drawings are not in it: the browser takes them from the kept page by their ids.
What is false or empty is left out, so that the plan stays small.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from build_tools.blocks.rendering import Rendered
from build_tools.book.book import Book
from build_tools.reading.lines import Scan
from build_tools.reading.pages import Page, address_of
from build_tools.registers.customers import Customer
from build_tools.registers.fault_paths import GO as NEXT_QUESTION
from build_tools.registers.fault_paths import STOP, FaultPath, Question, Reply
from build_tools.registers.rows import Equipment
from build_tools.registers.sequences import AtStep, Sequence
from build_tools.sheets.given import given
from build_tools.visits.jobs import Visits, Worked
from build_tools.visits.page_steps import PageStep
from calculators import answering

VERSION = 1
PLAN = "half-turn/visit_plan.json"
COMMON = {"window_low_s": ("lip-fold-time", "low"), "window_high_s": ("lip-fold-time", "high")}
"""What common practice offers by a labelled tap where the leveler's own manual gives nothing."""
FIGURES = (
    "hand-timing-uncertainty",
    "timing-confidence",
    "least-response",
    "threads-kept",
    "half-turns-per-thread",
    "agreeing-cycles",
    "timing-runs",
    "warm-up-cycles",
    "rod-length-by-rule",
    "rod-length-by-caliper",
)
INTERVALS = (
    "weekly-check-interval",
    "quarterly-service-interval",
    "yearly-inspection-interval",
    "recheck-after",
)
_STEP = re.compile(
    r"<li\b[^>]*\bdata-step=\"([^\"]+)\"[^>]*>(.*?)</li>(?=\s*(?:<li\b[^>]*\bdata-step|</ol>))", re.S
)
_TICK = re.compile(r"<label class=\"ht-tick\".*?</label>", re.S)
_TAG = re.compile(r"<[^>]+>")


def visit_plan(book: Book, visits: Visits, rendered: Mapping[str, Rendered]) -> dict[str, Any]:
    """Return the plan as plain data; `rendered` has every page by its path in the docs folder.

    For a walk that reads no text, `rendered` may be empty: the hashes are those of no words then.
    """
    pages = {worked.job.page for worked in visits.jobs.values()}
    figures = book.registers.figures
    return {
        "v": VERSION,
        "sequences": [_sequence(sequence) for sequence in visits.sequences.values()],
        "jobs": {id_: _job(worked, visits, book) for id_, worked in visits.jobs.items()},
        "pages": {
            address_of(src): _page(book.pages[src], visits.steps[src], rendered.get(src), book)
            for src in sorted(pages)
        },
        "hazards": {hazard.id: hazard.signal for hazard in book.registers.hazards.values()},
        "paths": dict(_paths(book, visits)),
        "given": _given(book),
        "common": {name: figures[id_].part(part) for name, (id_, part) in COMMON.items() if id_ in figures},
        "common_for": next((figures[id_].holds_for for id_, _ in COMMON.values() if id_ in figures), ""),
        "ways": {way.id: way.of for way in book.registers.ways.values()},
        "levelers": {row.id: _leveler(row) for row in book.registers.equipment.values()},
        "figures": {id_: figures[id_].part("value") for id_ in FIGURES if id_ in figures},
        "intervals": {
            id_: {"value": figures[id_].part("value"), "unit": figures[id_].unit}
            for id_ in INTERVALS
            if id_ in figures
        },
        "customers": [_customer(customer) for customer in book.registers.customers.values()],
    }


def plan_bytes(plan: Mapping[str, Any]) -> bytes:
    """Return the plan as it is served; the same plan gives the same bytes."""
    return json.dumps(plan, ensure_ascii=False, separators=(",", ":")).encode()


def _sequence(sequence: Sequence) -> dict[str, Any]:
    jobs = [listed.plain() for listed in sequence.jobs]
    told = {"id": sequence.id, "label": sequence.label, "said_as": list(sequence.said_as)}
    return _filled({**told, "jobs": jobs, "stop": sequence.stop})


def _job(worked: Worked, visits: Visits, book: Book) -> dict[str, Any]:
    job = worked.job
    ends = {end: target.plain() for end, target in visits.ends.get(job.id, {}).items() if target is not None}
    always = {
        "page": address_of(job.page),
        "title": book.pages[job.page].text("title"),
        "steps": list(worked.steps),
    }
    return always | _filled(
        {
            "spring": job.spring,
            "once": list(worked.once),
            "ways": {way: list(steps) for way, steps in worked.ways.items()},
            "stands_until": list(job.stands_until),
            "check": job.check,
            "at": {step: _at(rule, book) for step, rule in _rules(worked, visits).items()},
            "path": job.path,
            "ends": ends,
        }
    )


def _rules(worked: Worked, visits: Visits) -> dict[str, AtStep]:
    """Return a job's rules, with the hazards of each step left out on the way at the next that is kept."""
    rules = dict(worked.job.at)
    carried: list[str] = []
    begun = False
    for step in visits.steps[worked.job.page]:
        begun = begun or step.id in worked.steps
        if step.id in worked.left_out:
            carried += step.hazards if begun else ()
        elif step.id in worked.steps and carried:
            rule = rules.get(step.id, AtStep())
            more = [id_ for id_ in dict.fromkeys(carried) if id_ not in step.hazards]
            rules[step.id] = replace(rule, hazards=(*rule.hazards, *more))
            carried = []
    return {step: rule for step, rule in rules.items() if step in worked.steps}


def _at(rule: AtStep, book: Book) -> dict[str, Any]:
    figures = book.registers.figures
    return _filled(
        {
            "work": rule.work,
            "enough": figures[rule.enough].part("value") if rule.enough else None,
            "since": rule.since,
            "if_done": list(rule.if_done),
            "stands_until": list(rule.stands_until),
            "hazards": list(rule.hazards),
            "until": figures[rule.until].part("value") if rule.until else None,
            "again": dict(rule.again),
            "ask": rule.ask,
            "led_by": rule.led_by,
            "answers": {outcome: target.plain() for outcome, target in rule.answers.items()},
        }
    )


def _page(page: Page, steps: list[PageStep], rendered: Rendered | None, book: Book) -> dict[str, Any]:
    texts = step_texts(rendered.html) if rendered is not None else {}
    rows = [
        _filled(
            {
                "id": step.id,
                "with": step.step.mark.with_before,
                "asks": list(step.step.mark.asks),
                "hazards": list(step.hazards),
                "hash": step_hash(texts.get(step.id, ""), step.hazards),
                "drawing": step.drawing,
            }
        )
        for step in steps
    ]
    stops = _stop_items(page.scan, book.registers.words.get("book.section.stop", ""))
    return {"title": page.text("title"), "steps": rows, "stops": stops}


def step_texts(html: str) -> dict[str, str]:
    """Return the text of each step of a rendered page by its id, spaces as one."""
    return {id_: " ".join(_TAG.sub(" ", _TICK.sub("", inner)).split()) for id_, inner in _STEP.findall(html)}


def step_hash(text: str, hazards: tuple[str, ...]) -> str:
    """Return 8 hex digits that change with a step's words or the hazards before it."""
    return hashlib.sha256("\n".join([text, *hazards]).encode()).hexdigest()[:8]


def _stop_items(scan: Scan, title: str) -> int:
    headings = [heading for heading in scan.headings if heading.level <= 2]
    start = next((heading.line for heading in headings if heading.text == title), None)
    if start is None:
        return 0
    end = min((heading.line for heading in headings if heading.line > start), default=None)
    lines = scan.masked.split("\n")[start : end - 1 if end else None]
    return sum(line.startswith(("- ", "* ", "+ ")) for line in lines)


def _paths(book: Book, visits: Visits) -> Iterator[tuple[str, dict[str, Any]]]:
    for worked in visits.jobs.values():
        path = book.registers.faults.get(worked.job.path)
        if path is not None:
            questions = [
                _question(path, question, visits.before[worked.job.id]) for question in path.questions
            ]
            yield path.id, {"page": address_of(worked.job.page), "questions": questions}


def _question(path: FaultPath, question: Question, before: Mapping[str, str]) -> dict[str, Any]:
    replies = [_reply(reply, number) for number, reply in enumerate(question.replies, start=1)]
    work = before.get(question.id, "")
    hazards = list(path.cautions_at(question))
    return _filled({"id": question.id, "work": work, "hazards": hazards, "answers": replies})


def _reply(reply: Reply, number: int) -> dict[str, Any]:
    if reply.kind == NEXT_QUESTION:
        return {"go": reply.text}
    src, hash_, anchor = reply.page.partition("#")
    page = f"{address_of(src)}{hash_}{anchor}" if src else ""
    return _filled({"end": number, "page": page, "stop": reply.kind == STOP, "hazards": list(reply.cautions)})


def _given(book: Book) -> dict[str, Any]:
    return {name: given(answering.module(name).INPUTS, book.registers.figures) for name in answering.NAMES}


def _leveler(row: Equipment) -> dict[str, Any]:
    return {
        "name": row.name,
        "spring_count": row.spring_count,
        "figures": {name: figure["value"] for name, figure in row.figures.items()},
        "ways": list(row.ways),
        "nut": row.adjusting_nut,
    }


def _customer(customer: Customer) -> dict[str, Any]:
    doors = [_filled({"id": door.id, "door": door.door, "leveler": door.leveler}) for door in customer.doors]
    site = _filled({"address": customer.address, "gate": customer.gate, "phone": customer.phone})
    return _filled(
        {"id": customer.id, "name": customer.name, "demo": customer.demo, "site": site, "doors": doors}
    )


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    """Return what of a row is neither false nor empty; a number stays, 0 too."""
    return {key: value for key, value in row.items() if value or (value == 0 and value is not False)}

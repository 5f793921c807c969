"""What the build adds around an author's words: the facts of the job, the caution to defer, the dates."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from build_tools.book.book import VISIT_PAGE
from build_tools.book.fault_words import FAULT_PATH, paths_on
from build_tools.reading.pages import Page, address_of
from build_tools.registers.rows import SIGNALS, Hazard
from build_tools.shown.fault_table import head_html
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.marks import Marks, plain_text

WAY = "data-way="
"""Stands in the HTML of a page some of whose sentences hold for one way of doing a thing."""


@dataclass(frozen=True, slots=True)
class Office:
    """Whom a technician calls, as mkdocs.yml names them."""

    name: str
    phone: str


def framed(
    content: str, page: Page, marks: Marks, *, office: Office | None = None, sequence: str = ""
) -> str:
    """Return the content in its frame: facts and caution under a procedure's title, caution last elsewhere.

    Where a page says when to stop and call, the office's number stands ready to be touched. A page of a
    `sequence` offers to work it as a visit.
    """
    content = _with_call(content, marks.say("section.stop"), office)
    caution = tag(
        "aside",
        tag("p", marks.say("defer")),
        class_="ht-defer",
        role="note",
        data_caution="defer",
        data_search_exclude="",
    )
    foot = _dates(page, marks)
    if page.kind != "procedure":
        return f"{content}\n{caution}\n{foot}"
    path_heads = joined(*_path_heads(page, marks))
    ways = tag("p", marks.say("ways"), class_="ht-ways", data_ways=True) if WAY in content else ""
    heading, end, rest = content.partition("</h1>")
    if not end:
        title = escape(plain_text(page.text("title"), marks.registers.figures))
        heading, end, rest = f"<h1>{title}", "</h1>", content
    return f"{heading}{end}\n{path_heads}\n{_facts(page, marks, sequence)}\n{caution}\n{ways}{rest}\n{foot}"


def _path_heads(page: Page, marks: Marks) -> Iterator[Markup]:
    for block in page.scan.blocks:
        path = marks.registers.faults.get(block.argument) if block.name == FAULT_PATH else None
        if path is not None:
            steps_first = any(step.line < block.line for step in page.scan.steps)
            yield head_html(path, marks, steps_first=steps_first)


def _with_call(content: str, heading: str, office: Office | None) -> str:
    if office is None:
        return content
    link = tag("a", office.phone, href=f"tel:{office.phone}")
    call = tag("p", f"{office.name}: ", link, class_="ht-call")
    shape = re.compile(rf"<h2\b[^>]*>{re.escape(escape(heading))}</h2>")
    return shape.sub(lambda found: f"{found[0]}\n{call}", content, count=1)


def _facts(page: Page, marks: Marks, sequence: str) -> Markup:
    takes = marks.registers.figures.get(page.text("takes"))
    offer = _offer(page, marks, sequence)
    rows = [
        (marks.say("who"), marks.with_figures(page.text("who")), "who"),
        (marks.say("takes"), joined(marks.figure(takes), offer) if takes else None, "takes"),
        (marks.say("tools"), _tools(page, marks), "tools"),
        (marks.say("hazards"), _hazards(page, marks), "hazards"),
    ]
    return tag(
        "dl",
        *(
            tag("div", tag("dt", name), tag("dd", value), data_fact=fact)
            for name, value, fact in rows
            if value
        ),
        class_="ht-facts",
        data_search_exclude="",
    )


def _offer(page: Page, marks: Marks, sequence: str) -> Markup | None:
    """Return a link that opens a visit, beside the time, without a line of its own and not on paper."""
    if not sequence:
        return None
    href = f"{page.root}/{address_of(VISIT_PAGE)}?sequence={sequence}"
    return tag("span", " · ", tag("a", marks.say("visit.offer"), href=href), data_sequence=sequence)


def _tools(page: Page, marks: Marks) -> Markup | None:
    items = [tag("li", marks.with_figures(tool)) for tool in page.tools]
    return tag("ul", *items, class_="ht-tools") if items else None


def _hazards(page: Page, marks: Marks) -> Markup | None:
    """Name the page's hazards in one line, the gravest first; each stands in full at its step."""
    hazards = marks.registers.hazards
    asked = [id_ for path in paths_on(page, marks.registers) for id_ in path.all_cautions()]
    rows = [hazards[id_] for id_ in dict.fromkeys([*page.hazards, *asked]) if id_ in hazards]
    groups = [
        _of_one_signal([row for row in rows if row.signal == signal], page, marks) for signal in SIGNALS
    ]
    return tag("p", *(group for group in groups if group), class_="ht-hazard-names") if rows else None


def _of_one_signal(rows: Sequence[Hazard], page: Page, marks: Marks) -> Markup | None:
    """Return the signal word once, and behind it the names of its hazards, each a link to its message."""
    if not rows:
        return None
    word = tag("strong", marks.signal(rows[0]), class_="ht-signal", data_signal=rows[0].signal)
    links = [tag("a", row.title, href=_message(row.id, page, marks)) for row in rows]
    return tag("span", word, " ", Markup(", ").join(links), class_="ht-hazard-group")


def _message(hazard: str, page: Page, marks: Marks) -> str:
    """Return the address of a hazard's message: on this page where it has one, else in the register."""
    return f"{'' if hazard in page.hazards else marks.figures_page}#hazard-{hazard}"


def _dates(page: Page, marks: Marks) -> Markup:
    revised, review = page.text("revised"), page.text("review_by")
    if not revised:
        return Markup("")
    parts = [marks.say("revised", date=revised), " ", marks.say("review-by", date=review) if review else None]
    return tag("p", joined(*parts), class_="ht-dates", data_revised=revised, data_review_by=review or None)

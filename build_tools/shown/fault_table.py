"""A fault path as a table, for paper and without JavaScript; a script shows it one question a screen."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field

from markupsafe import Markup

from build_tools.registers.fault_paths import DO, GO, PAGE, STOP, FaultPath, Question, Reply
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.marks import Marks


@dataclass(frozen=True, slots=True)
class Places:
    """Where things are, seen from one page. Pages are named by their paths in the docs folder."""

    src: str = ""
    """The page itself."""
    titles: Mapping[str, str] = field(default_factory=dict)
    """The title of each page."""
    page_of_path: Mapping[str, str] = field(default_factory=dict)
    """The page that shows each fault path, by the path's id."""

    def address(self, target: str) -> str:
        """Return the relative address of a page, anchor included; MkDocs turns .md into .html."""
        src, hash_, anchor = target.partition("#")
        here = posixpath.dirname(self.src)
        return (posixpath.relpath(src, here or ".") if src != self.src or not anchor else "") + hash_ + anchor

    def link(self, target: str, marks: Marks, **attributes: object) -> Markup:
        """Return a link to a page with its title as text; this page itself is "the steps on this page"."""
        src = target.partition("#")[0]
        text = marks.say("path.here") if src == self.src else self.titles.get(src, src)
        return tag("a", text, href=self.address(target), **attributes)


def path_html(path: FaultPath, marks: Marks, places: Places, shown: Set[str]) -> Markup:
    """Return the whole path. `shown` are the ids of hazards whose anchor is elsewhere on the page."""
    numbers = {question.id: number for number, question in enumerate(path.questions, start=1)}
    heads = tag("tr", *(tag("th", marks.say(f"path.{name}"), scope="col") for name in ("if", "then")))
    return tag(
        "section",
        _cautions(path, marks, shown),
        tag("p", marks.say("path.start"), class_="ht-path-start"),
        tag(
            "table",
            tag("thead", heads),
            *(_question(path, question, numbers, marks, places) for question in path.questions),
            class_="ht-path-table",
        ),
        tag(
            "p",
            tag("strong", marks.say("path.stop")),
            " ",
            tag("span", marks.say("path.stop-text"), data_part="stop-text"),
            class_="ht-path-stop",
        ),
        tag("p", marks.say("path.usual"), class_="ht-path-usual"),
        id=f"path-{path.id}",
        class_="ht-path",
        data_fault_path=path.id,
    )


def head_html(path: FaultPath, marks: Marks, *, steps_first: bool) -> Markup:
    """Return what goes above the path: what people say of the symptom, and a link to question 1.

    The link is there with `steps_first` only: where the page has steps before the path.
    """
    words = Markup(", ").join(tag("q", words) for words in path.said_as)
    said = tag("p", marks.say("path.said"), " ", words, ".", class_="ht-said", data_said=path.id)
    go = tag("a", marks.say("path.go", number=1), href=f"#path-{path.id}")
    to_question = tag("p", marks.say("path.closed"), " ", go, class_="ht-path-short-way")
    return joined(said if words else None, to_question if steps_first else None)


def symptoms_html(paths: Iterable[FaultPath], places: Places) -> Markup:
    """Return every symptom, in the technician's words, as a link to the page that shows its path."""
    items = [
        tag(
            "li",
            tag("a", path.symptom, href=places.address(places.page_of_path[path.id])),
            *((" ", tag("em", path.note)) if path.note else ()),
            data_symptom=path.id,
        )
        for path in paths
        if path.id in places.page_of_path
    ]
    # In a div, since Markdown would add a list that an author writes below to this one.
    return tag("div", tag("ul", *items), class_="ht-symptoms")


def _cautions(path: FaultPath, marks: Marks, shown: Set[str]) -> Markup | None:
    hazards = marks.registers.hazards
    rows = [hazards[id_] for id_ in path.all_cautions() if id_ in hazards]
    messages = (marks.hazard(row, None if row.id in shown else f"hazard-{row.id}") for row in rows)
    return tag("div", *messages, class_="ht-path-cautions") if rows else None


def _question(
    path: FaultPath, question: Question, numbers: Mapping[str, int], marks: Marks, places: Places
) -> Markup:
    cautions = path.cautions_at(question)
    how = joined(marks.say("path.how"), " ", places.link(question.page, marks)) if question.page else None
    head = tag(
        "th",
        tag("span", numbers[question.id], class_="ht-path-number", data_part="number"),
        _signals(cautions, marks),
        tag("p", marks.with_figures(question.look), data_part="look"),
        tag("p", marks.with_figures(question.note), data_part="note") if question.note else None,
        tag("p", how, data_part="how") if how else None,
        tag("p", marks.with_figures(question.ask), data_part="ask"),
        colspan=2,
        scope="rowgroup",
    )
    return tag(
        "tbody",
        tag("tr", head),
        *(_reply(reply, numbers, marks, places) for reply in question.replies),
        id=question.id,
        data_question=question.id,
        data_cautions=" ".join(cautions) or None,
    )


def _reply(reply: Reply, numbers: Mapping[str, int], marks: Marks, places: Places) -> Markup:
    goes_on = reply.kind == GO
    return tag(
        "tr",
        tag("td", marks.with_figures(reply.says), data_part="says"),
        tag("td", _goes(reply, numbers, marks) if goes_on else _end(reply, marks, places)),
        data_answer=reply.slug,
        data_go=reply.text if goes_on else None,
        data_end=None if goes_on else reply.kind,
        data_cautions=" ".join(reply.cautions) or None,
    )


def _goes(reply: Reply, numbers: Mapping[str, int], marks: Marks) -> Markup:
    number = numbers.get(reply.text)
    why = tag("p", marks.with_figures(reply.why), data_part="why") if reply.why else None
    return joined(tag("a", marks.say("path.go", number=number), href=f"#{reply.text}"), why)


def _end(reply: Reply, marks: Marks, places: Places) -> Markup:
    first = marks.with_figures(reply.text) if reply.kind == DO else marks.say(f"path.{reply.kind}")
    reason = reply.text if reply.kind == STOP else ""
    return joined(
        tag("p", tag("strong", first, data_part="act"), *_page(reply, marks, places)),
        *(
            tag("p", marks.with_figures(text), data_part=part)
            for part, text in (("reason", reason), ("why", reply.why))
            if text
        ),
        _signals(reply.cautions, marks),
    )


def _page(reply: Reply, marks: Marks, places: Places) -> Iterator[object]:
    """Yield the link to an end's page, worded so that it continues the text before it."""
    if not reply.page:
        return
    if reply.kind != PAGE:
        yield f" {marks.say('path.how')}"
    link = places.link(reply.page, marks, data_part="page")
    yield from (" ", link, "" if link.striptags().endswith("?") else ".")


def _signals(cautions: Iterable[str], marks: Marks) -> Markup | None:
    """Return the names of cautions, each a link to its message above the table; None for no caution."""
    hazards = marks.registers.hazards
    rows = [hazards[id_] for id_ in cautions if id_ in hazards]
    links = (marks.hazard_link(row, f"#hazard-{row.id}") for row in rows)
    return tag("p", Markup(" ").join(links), class_="ht-path-signals") if rows else None

"""Fault paths and the pages: each path stands on one page, and whatever it leads to exists."""

from __future__ import annotations

from collections.abc import Mapping

from build_tools.blocks.rendering import Rendered
from build_tools.book.book import Book
from build_tools.book.fault_words import FAULT_PATH, page_of_path
from build_tools.reading.pages import Page
from build_tools.reading.problems import Problem, closest
from build_tools.registers.fault_paths import DO, FaultPath, Question, Reply
from calculators.shared import hazards

MOVING = (*hazards.BEFORE_TURNING, *hazards.BEFORE_CYCLING)
"""A page that declares one of these hazards has something turned or moved."""


def check_fault_targets(book: Book, rendered: Mapping[str, Rendered]) -> list[Problem]:
    """Return every problem of the pages that fault paths lead to or stand on."""
    stand = page_of_path(book.pages.values())
    found = _homes(book)
    for path in book.registers.faults.values():
        for target, line in path.targets():
            found += _target(path, target, line, book, rendered)
        for question in path.questions:
            for reply in question.replies:
                found += _moving(path, reply, book)
            page = book.pages.get(stand.get(path.id, ""))
            found += _step_ids(path, question, page) if page else []
    return found


def check_fault_ends(book: Book) -> list[Problem]:
    """Return every end of a path that its page does not accept, and every case accepted in vain.

    A path or a front matter that could not be read is told by itself first.
    """
    if book.registers.left_out or not all(page.fields for page in book.pages.values()):
        return []
    stand = page_of_path(book.pages.values())
    return _unaccepted(book, stand) + _accepted_in_vain(book, stand)


def _homes(book: Book) -> list[Problem]:
    seen: dict[str, str] = {}
    found = []
    for page in book.pages.values():
        first = ""
        for block in page.scan.blocks:
            if block.name != FAULT_PATH or block.argument not in book.registers.faults:
                continue
            if block.argument in seen or first:
                stands = (
                    f"stands on '{seen[block.argument]}' already"
                    if block.argument in seen
                    else (f"is a second path on this page, after '{first}'")
                )
                what, why = f"the path '{block.argument}' {stands}", "a link into a path names the page alone"
                fix = "show one path a page, and link to that page from the others"
                found.append(Problem(page.file, block.line, what, why, fix))
            seen.setdefault(block.argument, page.src)
            first = first or block.argument
    return found + [
        Problem(
            path.file,
            path.line,
            f"no page shows the path '{path.id}'",
            "nobody could walk it",
            f"write `/// {FAULT_PATH} | {path.id}` and `///` on its page",
        )
        for path in book.registers.faults.values()
        if path.id not in seen
    ]


def _target(
    path: FaultPath, target: str, line: int, book: Book, rendered: Mapping[str, Rendered]
) -> list[Problem]:
    src, _, anchor = target.partition("#")
    known = {*book.pages, *book.made_pages()}
    if src not in known:
        what = f"path '{path.id}' leads to '{src}', which does not exist"
        why = "the technician would tap on nothing"
        near, fix = closest(src, known), "correct it; it is counted from the content folder"
        fix = f"write '{near}' (closest), or {fix}" if near else fix
    elif anchor and src in rendered and anchor not in rendered[src].anchors:
        what = f"path '{path.id}' leads to '#{anchor}', which '{src}' does not have"
        why = "the technician would land at the top of the page instead"
        near, fix = closest(anchor, rendered[src].anchors), "name a heading or a step of that page"
        fix = f"write '#{near}' (closest), or {fix}" if near else fix
    else:
        return []
    return [Problem(path.file, line, what, why, fix)]


def _ends(book: Book, stand: Mapping[str, str]) -> dict[tuple[str, str], tuple[FaultPath, Reply]]:
    """Return the ends that leave their path's own page: by page and "path/question", the first such reply."""
    ends: dict[tuple[str, str], tuple[FaultPath, Reply]] = {}
    for path in book.registers.faults.values():
        for question in path.questions:
            for reply in question.replies:
                src = reply.page.partition("#")[0]
                if src and src != stand.get(path.id):
                    ends.setdefault((src, f"{path.id}/{question.id}"), (path, reply))
    return ends


def _unaccepted(book: Book, stand: Mapping[str, str]) -> list[Problem]:
    """Return each end whose page does not name it: nobody has held that case against the page."""
    found = []
    for (src, end), (path, reply) in _ends(book, stand).items():
        if src in book.pages and end not in book.pages[src].accepts:
            what = f"path '{path.id}' ends at '{src}', and that page does not accept '{end}'"
            why = "what the page is not for, or what it wants first, may send this case back in a circle"
            fix = f"read the page for this case; if it fits, add '{end}' under `accepts:` in its front matter"
            found.append(Problem(path.file, reply.line, what, why, fix))
    own = [
        (path, reply, f"{path.id}/{question.id}")
        for path in book.registers.faults.values()
        for question in path.questions
        for reply in question.replies
        if reply.page and reply.page == stand.get(path.id)
    ]
    for path, reply, end in own:
        what, why = (
            f"'{end}' leads to the page that it stands on",
            "the technician would start again, no wiser",
        )
        fix = "name the part of the page that is meant: page.md#its-heading"
        found.append(Problem(path.file, reply.line, what, why, fix))
    return found


def _accepted_in_vain(book: Book, stand: Mapping[str, str]) -> list[Problem]:
    """Return each end that a page accepts and that does not lead to it."""
    ends = _ends(book, stand)
    found = []
    for page in book.pages.values():
        for end, line in page.accepts.items():
            if (page.src, end) not in ends:
                what = f"the page accepts '{end}', and no answer of that question leads here"
                why = "the list would name a case that nobody brings, and hide one that somebody does"
                near = closest(end, [known for src, known in ends if src == page.src])
                fix = f"write '{near}' (closest), or take the line out" if near else "take the line out"
                found.append(Problem(page.file, line, what, why, fix))
    return found


def _moving(path: FaultPath, reply: Reply, book: Book) -> list[Problem]:
    """An action whose page has something turned or moved shows at least one of that page's cautions."""
    page = book.pages.get(reply.page.partition("#")[0])
    if reply.kind != DO or page is None:
        return []
    declared = [id_ for id_ in page.hazards if id_ in MOVING]
    if not declared or {*reply.cautions} & {*page.hazards, *MOVING}:
        return []
    what = f"path '{path.id}': '{reply.text}' comes without a caution"
    why = f"'{page.src}' has something turned or moved, and its hazards would be met only there"
    fix = f"add `cautions:` with at least one of: {', '.join(declared)}"
    return [Problem(path.file, reply.line, what, why, fix)]


def _step_ids(path: FaultPath, question: Question, page: Page) -> list[Problem]:
    step = next((step for step in page.scan.steps if step.id == question.id), None)
    if step is None:
        return []
    what = f"path '{path.id}': the question id '{question.id}' is also a step of '{page.src}'"
    what += f" (line {step.line})"
    why, fix = "a link to it could mean either", "give the question another id"
    return [Problem(path.file, question.line, what, why, fix)]

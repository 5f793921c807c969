"""The marks of steps: what a step asks for is known, and what must stand alone on a phone's screen does."""

from __future__ import annotations

from collections.abc import Iterable

from build_tools.book.book import Book
from build_tools.reading.lines import Step
from build_tools.reading.pages import Page
from build_tools.reading.phrases import Phrases
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.step_marks import ASKS as ASKED
from build_tools.reading.step_marks import WITH
from build_tools.visits.page_steps import PageStep, page_steps
from calculators.visit.derived.asks import ASKS

MOST_ON_A_SCREEN = 5
"""Steps that one screen shows: nobody remembers more of them with the phone out of sight."""
ALONE = ("half-turn", "threads-to-tighten", "threads-to-loosen", "lock-on", "lock-off")
"""Asks of what must not be done from memory."""
RESERVED = ("end", "stop")
"""What answers of a job may lead to beside steps."""


def check_step_marks(book: Book, pages: Iterable[Page]) -> list[Problem]:
    """Return every problem of the marks on pages."""
    alone = Phrases(book.registers.visit.stand_alone, plural=True)
    found = []
    for page in pages:
        steps = page_steps(page)
        for step in steps:
            found += _words(page, step.step)
        found += _screens(page, steps, alone)
    return found


def _words(page: Page, step: Step) -> list[Problem]:
    found = []
    if step.id in RESERVED:
        what, why = f"the step id '{step.id}' has a meaning of its own", "a job's answers lead to it"
        found.append(Problem(page.file, step.line, what, why, "give the step another id"))
    for word in step.mark.unknown:
        what = f"the step '{step.id}' has an unknown mark '{word}'"
        why, fix = "nothing reads it, so what it says would be lost", f"write `{WITH}` or `{ASKED}name`"
        found.append(Problem(page.file, step.line, what, why, fix))
    for ask in step.mark.asks:
        name = ask.partition(":")[0]
        if name not in ASKS:
            what = f"the step '{step.id}' asks for '{ask}', which is nothing that a visit knows"
            why, fix = "the phone could not ask for it", suggestion(name, ASKS, otherwise=_listed())
            found.append(Problem(page.file, step.line, what, why, fix))
    return found


def _listed() -> str:
    return f"use one of: {', '.join(ASKS)}"


def _screens(page: Page, steps: list[PageStep], alone: Phrases) -> list[Problem]:
    """Return what is wrong with the steps that are shown together."""
    found = []
    together = 1
    for number, step in enumerate(steps):
        if not step.step.mark.with_before:
            together = 1
            continue
        together += 1
        before = steps[number - 1] if number else None
        if before is None:
            what, why = f"the step '{step.id}' has `{WITH}`, and no step stands before it", "it is the first"
            found.append(Problem(page.file, step.step.line, what, why, f"take `{WITH}` out"))
            continue
        for held in (before, step) if together == 2 else (step,):
            why = _why_alone(held, alone)
            if why:
                what = f"the step '{held.id}' stands alone, and `{WITH}` joins it with another"
                fix = f"take `{WITH}` out at '{step.id}'"
                found.append(Problem(page.file, step.step.line, what, why, fix))
        if together == MOST_ON_A_SCREEN + 1:
            what = f"more than {MOST_ON_A_SCREEN} steps on one screen, from '{step.id}' on"
            why, fix = "nobody remembers so many", f"take `{WITH}` out at '{step.id}'"
            found.append(Problem(page.file, step.step.line, what, why, fix))
    return found


def _why_alone(step: PageStep, alone: Phrases) -> str:
    """Return why a step stands alone; "" where it need not."""
    if step.hazards:
        return f"the hazard '{step.hazards[0]}' stands before it, and is read before just this step"
    asked = next((ask for ask in step.step.mark.asks if ask.partition(":")[0] in ALONE), "")
    if asked:
        return f"it asks for '{asked}', which is not done from memory"
    said = next((words for _, words in alone.found(step.step.text)), "")
    return f"it says '{said}', and such a step is not done from memory" if said else ""

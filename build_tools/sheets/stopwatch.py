"""The large stopwatch of a work sheet: its button, and with it what is timed and what to do first."""

from __future__ import annotations

from markupsafe import Markup

from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords

FILLS = {"fold-time": "runs_s", "turn-plan": "readings.fold_time_s"}
"""The list that a calculator's stopwatch fills, after a dot its column."""
CAUTION = "lip-path"


def opener(words: SheetWords) -> Markup | None:
    """Return the button that opens the stopwatch, hidden until the page's script can run it."""
    if words.name not in FILLS:
        return None
    return tag(
        "p",
        tag(
            "button",
            words.say("page.stopwatch.open"),
            type="button",
            class_="ht-main-action",
            data_act="open-stopwatch",
            hidden=True,
        ),
        class_="ht-stopwatch-opener",
    )


def stopwatch(words: SheetWords) -> Markup | None:
    """Return the stopwatch as a dialog, or None for a calculator that times nothing."""
    fills = FILLS.get(words.name)
    if fills is None:
        return None
    title = f"{words.name}-stopwatch"
    return tag(
        "dialog",
        _face(title, words),
        tag(
            "button",
            words.say("page.stopwatch.start"),
            type="button",
            class_="ht-stopwatch-press",
            data_press=True,
        ),
        class_="ht-stopwatch",
        data_stopwatch=True,
        data_search_exclude=True,
        data_fills=fills,
        data_state="ready",
        aria_labelledby=title,
    )


def _face(title: str, words: SheetWords) -> Markup:
    """Return the upper half: digits, last event, runs, caution, and the definition of the fold time."""
    return tag(
        "div",
        tag(
            "p",
            tag("span", words.say("page.stopwatch.title"), id=title, class_="ht-stopwatch-title"),
            tag("button", words.say("page.stopwatch.close"), type="button", data_act="close-stopwatch"),
            class_="ht-stopwatch-head",
        ),
        tag(
            "p",
            words.say("page.stopwatch.zero"),
            class_="ht-stopwatch-digits",
            data_digits=True,
            role="timer",
            aria_live="off",
        ),
        tag("p", class_="ht-stopwatch-state", data_stopwatch_state=True, role="status"),
        tag("ol", class_="ht-stopwatch-runs", data_stopwatch_runs=True),
        _caution(words),
        *_definition(words),
        class_="ht-stopwatch-face",
    )


def _caution(words: SheetWords) -> Markup | None:
    hazard = words.registers.hazards.get(CAUTION)
    return words.marks.hazard(hazard) if hazard else None


def _definition(words: SheetWords) -> list[Markup]:
    term = words.registers.terms.get("fold-time")
    warm_up = words.registers.figures.get("warm-up-cycles")
    found = (
        [tag("p", words.marks.with_figures(term.meaning), class_="ht-definition", data_term=term.id)]
        if term
        else []
    )
    if warm_up:
        before, _, after = words.say("page.stopwatch.warm-up", cycles="\0").partition("\0")
        found.insert(0, tag("p", before, words.marks.figure(warm_up), after, class_="ht-warm-up"))
    return found

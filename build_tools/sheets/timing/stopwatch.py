"""The large stopwatch of a work sheet: its button, how runs are started, and with it what is timed."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from build_tools.sheets.given import ways_registered
from build_tools.sheets.timing.own_timing import has_own_timing, own_timing
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.timing import STARTS, STOPS, TYPED

FILLS = {"fold-time": "runs_s", "turn-plan": "readings.fold_time_s"}
"""The list that a calculator's stopwatch fills, after a dot its column."""
SAYS_HOW = {*FILLS, "fold-trend"}
"""The calculators whose sheets say how runs were started and stopped."""
CAUTION = "lip-path"
LEADS_S = (10, 20, 30)
"""How long a countdown may be; the first is offered first."""
LIP = "lip"
"""What the ways of keeping the lip out are ways of."""


def opener(words: SheetWords) -> Markup | None:
    """Return the button that opens the stopwatch, hidden until the page's script can run it."""
    if words.name not in FILLS:
        return None
    button = _button(words, "page.stopwatch.open", "open-stopwatch", class_="ht-main-action", hidden=True)
    return tag("p", button, class_="ht-stopwatch-opener")


def how_timed(words: SheetWords) -> Markup | None:
    """Return what holds for the whole sheet: how written runs were started, how all were stopped."""
    if words.name not in SAYS_HOW:
        return None
    registered = ways_registered(words.registers.figures)
    starts = sorted(_offered(STARTS, registered), key=lambda way: way != TYPED)
    return tag(
        "details",
        tag("summary", words.say("page.timed.title")),
        _choice(words, "page.timed.typed", starts, data_timed="typed"),
        _choice(words, "page.timed.stopped", _offered(STOPS, registered), data_timed="stopped"),
        class_="ht-how-timed",
        data_how_timed=True,
        hidden=True,
    )


def stopwatch(words: SheetWords) -> Markup | None:
    """Return the stopwatch and your own timing, each a dialog; None for a calculator that times nothing."""
    fills = FILLS.get(words.name)
    if fills is None:
        return None
    title = f"{words.name}-stopwatch"
    dialog = tag(
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
    return joined(dialog, own_timing(words))


def _face(title: str, words: SheetWords) -> Markup:
    """Return the upper half: digits, last event, choices, runs, what is timed, caution."""
    return tag(
        "div",
        tag(
            "p",
            tag("span", words.say("page.stopwatch.title"), id=title, class_="ht-stopwatch-title"),
            _button(words, "page.stopwatch.close", "close-stopwatch"),
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
        _button(words, "page.stopwatch.not-let-go", "not-let-go", class_="ht-not-let-go", hidden=True),
        tag("ol", class_="ht-stopwatch-runs", data_stopwatch_runs=True),
        tag("p", class_="ht-dropped", data_dropped_line=True, hidden=True),
        _choices(words),
        *_definition(words),
        _caution(words),
        class_="ht-stopwatch-face",
        tabindex="-1",
    )


def _choices(words: SheetWords) -> Markup:
    """Return how runs are started, how long the countdown is, and the way to hear how loud it is."""
    starts = _offered(STARTS, ways_registered(words.registers.figures))
    own = has_own_timing(words.registers.figures)
    return tag(
        "div",
        _choice(words, "page.stopwatch.way", starts, data_choice="way"),
        _choice(words, "page.stopwatch.lead", LEADS_S, data_choice="lead"),
        _button(words, "page.stopwatch.try-again", "try-sound", hidden=True),
        _button(words, "page.own.open", "open-own-timing") if own else None,
        class_="ht-stopwatch-choices",
    )


def _choice(words: SheetWords, code: str, values: Iterable[object], **attributes: object) -> Markup:
    """Return a choice; its sentences are its own code with each value. A calculator may label it anew."""
    options = [tag("option", words.say(f"{code}.{value}"), value=value) for value in values]
    made = tag("select", *options, **attributes)
    label = words.known(f"{code}.{words.name}") or words.say(code)
    return tag("label", tag("span", label), " ", made, class_="ht-stopwatch-choice")


def _offered(ways: Iterable[str], registered: frozenset[str]) -> list[str]:
    """Return the ways that have figures; a company that registers none is offered all."""
    return [way for way in ways if not registered or way in registered]


def _button(words: SheetWords, code: str, act: str, **attributes: object) -> Markup:
    return tag("button", words.say(code), type="button", data_act=act, **attributes)


def _caution(words: SheetWords) -> Markup | None:
    hazard = words.registers.hazards.get(CAUTION)
    return words.marks.hazard(hazard) if hazard else None


def _definition(words: SheetWords) -> list[Markup]:
    """Return what is timed: the term, what to do in each way of keeping the lip out, and what comes first."""
    term = words.registers.terms.get("fold-time")
    warm_up = words.registers.figures.get("warm-up-cycles")
    found = [_way(way.id, way.label, words) for way in words.registers.ways.values() if way.of == LIP]
    if term:
        meaning = words.marks.with_figures(term.meaning)
        found.append(tag("p", meaning, class_="ht-definition", data_term=term.id))
    if warm_up:
        before, _, after = words.say("page.stopwatch.warm-up", cycles="\0").partition("\0")
        found.insert(0, tag("p", before, words.marks.figure(warm_up), after, class_="ht-warm-up"))
    return [line for line in found if line is not None]


def _way(way: str, label: str, words: SheetWords) -> Markup | None:
    """Return what is done in one way, marked as pages mark it, so that the leveler in hand shows its own."""
    done = words.known(f"page.stopwatch.done.{way}")
    if done is None:
        return None
    said = tag("span", tag("strong", f"{label}:"), f" {done}", class_="ht-way", data_way=way, data_way_of=LIP)
    return tag("p", said, class_="ht-definition")

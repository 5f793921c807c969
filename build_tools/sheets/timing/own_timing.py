"""Your own timing: a drawn lip whose fold time is known, to learn how late somebody presses."""

from __future__ import annotations

import json
from collections.abc import Mapping

from markupsafe import Markup

from build_tools.registers.figures import Figure
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords

FIGURES = {
    "folds": "own-timing-folds",
    "stop_floor_s": "own-stop-floor",
    "start_floor_s": "own-start-floor",
    "screen_delay_s": "screen-delay",
    "screen_delay_uncertainty_s": "screen-delay-uncertainty",
}
"""What the page's script takes from the registers; a book without one of them offers no such timing."""
HINGE = (90, 36)
LIP = 110
"""The hinge and the length of the drawn lip, in units of the drawing."""


def has_own_timing(figures: Mapping[str, Figure]) -> bool:
    """Return whether the book has what it takes."""
    return all(id_ in figures for id_ in FIGURES.values())


def own_timing(words: SheetWords) -> Markup | None:
    """Return the dialog, or None where the book lacks a figure for it."""
    if not has_own_timing(words.registers.figures):
        return None
    title = f"{words.name}-own-timing"
    return tag(
        "dialog",
        tag(
            "div",
            tag(
                "p",
                tag("span", words.say("page.own.title"), id=title, class_="ht-stopwatch-title"),
                _button(words, "close", "close-own-timing"),
                class_="ht-stopwatch-head",
            ),
            _drawn_lip(words),
            tag("p", class_="ht-stopwatch-state", data_own_state=True, role="status"),
            _way(words),
            tag("div", class_="ht-own-habit", data_own_habit=True),
            tag(
                "p",
                _button(words, "use", "use-own", hidden=True),
                _button(words, "use-registered", "use-registered", hidden=True),
                _button(words, "forget", "forget-own", hidden=True),
                class_="ht-row-actions",
            ),
            *(tag("p", words.say(f"page.own.{line}"), class_="ht-definition") for line in ("what", "limits")),
            class_="ht-stopwatch-face",
            tabindex="-1",
        ),
        tag(
            "button",
            words.say("page.own.press.idle"),
            type="button",
            class_="ht-stopwatch-press",
            data_own_press=True,
        ),
        class_="ht-stopwatch",
        data_search_exclude=True,
        data_own_timing=json.dumps(_figures(words.registers.figures)),
        data_phase="idle",
        aria_labelledby=title,
    )


def _figures(figures: Mapping[str, Figure]) -> dict[str, float]:
    return {name: float(figures[id_].part("value")) for name, id_ in FIGURES.items()}


def _way(words: SheetWords) -> Markup:
    options = [tag("option", words.say(f"page.own.way.{way}"), value=way) for way in ("stop", "by-hand")]
    select = tag("select", *options, data_own_way=True)
    return tag("label", tag("span", words.say("page.own.way")), " ", select, class_="ht-stopwatch-choice")


def _drawn_lip(words: SheetWords) -> Markup:
    """Return platform, lip and stop mark; the page's script turns the lip about its hinge."""
    x, y = HINGE
    return tag(
        "svg",
        tag("path", d=f"M0 {y}H{x}", class_="ht-own-platform"),
        tag("path", d=f"M{x} {y + LIP + 4}v36", class_="ht-own-mark"),
        tag("path", d=f"M{x} {y}h{LIP}", class_="ht-own-edge", data_lip=f"{x} {y}"),
        viewBox=f"0 0 {2 * x + LIP} {y + LIP + 44}",
        class_="ht-own-lip",
        role="img",
        aria_label=words.say("page.own.drawing"),
        data_own_lip=True,
    )


def _button(words: SheetWords, code: str, act: str, **attributes: object) -> Markup:
    return tag("button", words.say(f"page.own.{code}"), type="button", data_act=act, **attributes)

"""The page "What this book was checked against", made from the same outside checks that the tests assert.

Our values are worked out while the book is built. Where one differs from the printed value, the page says so
and the tests fail: the page never hides a difference.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from build_tools.made_pages.outside_values import PROVENANCES, OutsideCheck, Value, our_value, read_checks
from build_tools.registers.registers import Registers
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.marks import Marks
from calculators.shared.decimal_text import fixed, marked, plain
from calculators.shared.words import DECIMAL_MARK

UNITS = {"1": "", "N/mm2": "N/mm²", "N.m": "N·m", "lbf.in": "lbf·in", "deg": "°"}
"""Units that a reader writes otherwise; all others are shown as the check has them."""

_ALL_DIGITS = 17
"""Significant digits that a float can have: published values are held against ours in all of them."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """An outside check and the value that our code returns."""

    check: OutsideCheck
    ours: Value

    @property
    def agrees(self) -> bool:
        """Whether our value is the printed one, as far as the printed digits go."""
        return self.check.agrees(self.ours)


def outcomes(registers: Registers, checks: Iterable[OutsideCheck] | None = None) -> tuple[Outcome, ...]:
    """Return our value for each outside check; a check of a thread needs that thread in the book's register.

    Raises:
        CheckRefused: our code returns no value for a check.
    """
    pitches = {id_: thread.pitch_m for id_, thread in registers.threads.items()}
    return tuple(
        Outcome(check, our_value(check, words=registers.words, pitches_m=pitches))
        for check in (read_checks() if checks is None else checks)
        if check.how.get("thread") in (None, *pitches)
    )


def checked_page(registers: Registers, all_outcomes: Sequence[Outcome], *, revised: str) -> str:
    """Return the page as Markdown: headings for the table of contents, the checks as HTML.

    `revised` is the page's date, YYYY-MM-DD.
    """
    marks = Marks(registers, "")
    sources = by_source(all_outcomes)
    differing = sum(not outcome.agrees for outcome in all_outcomes)
    state = "all" if not differing else "one" if differing == 1 else "many"
    parts: list[object] = [
        f"---\ntitle: {json.dumps(marks.say('checked.title'))}\nkind: reference\n"
        f"summary: {json.dumps(marks.say('checked.summary'))}\nrevised: {revised}\n---\n",
        f"# {marks.say('checked.title')}\n",
        f"{marks.say('checked.intro')}\n",
        tag(
            "p",
            marks.say("checked.counts", checks=len(all_outcomes), sources=len(sources)),
            " ",
            tag("strong", marks.say(f"checked.outcome.{state}", count=differing)),
            data_checks=len(all_outcomes),
            data_sources=len(sources),
            data_differing=differing,
        ),
        f"{marks.say('checked.reading')}\n",
    ]
    for source, rows in sources.items():
        parts += [f"## {source}\n", *_by_clause(rows, marks)]
    return "\n".join(str(part) + "\n" for part in parts)


def by_source(all_outcomes: Iterable[Outcome]) -> dict[str, list[Outcome]]:
    """Return the outcomes by source: sources that were read come first, then in the order of the files."""
    groups: dict[str, list[Outcome]] = {}
    for outcome in all_outcomes:
        groups.setdefault(outcome.check.source, []).append(outcome)

    def rank(group: tuple[str, list[Outcome]]) -> int:
        return min(PROVENANCES.index(outcome.check.provenance) for outcome in group[1])

    return dict(sorted(groups.items(), key=rank))


def _by_clause(rows: Iterable[Outcome], marks: Marks) -> Iterator[Markup]:
    """Yield the checks of one source, each group that shares a clause and a provenance under one heading."""
    for (clause, provenance), group in groupby(
        rows, key=lambda row: (row.check.clause, row.check.provenance)
    ):
        yield tag(
            "p", f"{clause[0].upper()}{clause[1:]}. ", marks.say(f"mark.{provenance}"), class_="ht-source"
        )
        yield tag("ul", *(_row(row, marks) for row in group), class_="ht-checks")


def _row(outcome: Outcome, marks: Marks) -> Markup:
    check = outcome.check
    unit = UNITS.get(check.unit, check.unit)
    ours = _shown_ours(outcome)
    values = {
        "printed": _listed(_shown_printed(check.expected), unit, marks),
        "ours": _listed(ours, unit, marks),
    }
    exact: Mapping[str, object] = {
        "data_check": check.id,
        "data_mark": check.provenance,
        "data_expected": json.dumps(check.expected),
        "data_ours": json.dumps(
            [_number(text) for text in ours] if isinstance(outcome.ours, tuple) else _number(ours[0])
        ),
        "data_tolerance": json.dumps(check.tolerance),
        "data_difference": _difference(outcome),
        "data_differs": not outcome.agrees,
    }
    return tag(
        "li",
        tag("strong", check.what, "."),
        " ",
        marks.say("checked.values", **values),
        " ",
        _verdict(outcome, unit, marks),
        id=f"check-{check.id}",
        **exact,
    )


def _verdict(outcome: Outcome, unit: str, marks: Marks) -> Markup:
    check = outcome.check
    if check.unit == "date":
        code = "checked.days.same" if outcome.agrees else "checked.days.differ"
        besides = marks.say("checked.days.besides", days=", ".join(check.besides)) if check.besides else ""
        verdict = f"{marks.say(code)} {besides}".rstrip()
    else:
        values = {
            "difference": _with_unit(_signed(_difference(outcome)), unit, marks),
            "tolerance": _with_unit(plain(check.tolerance, _ALL_DIGITS), unit, marks),
        }
        verdict = marks.say(f"checked.{'agrees' if outcome.agrees else 'differs'}", **values)
    return joined(verdict) if outcome.agrees else tag("strong", verdict)


def _shown_printed(value: Value) -> list[str]:
    values = value if isinstance(value, tuple) else (value,)
    return [each if isinstance(each, str) else plain(each, _ALL_DIGITS) for each in values]


def _shown_ours(outcome: Outcome) -> list[str]:
    """Return our values with one decimal more than the printed digits decide."""
    ours = outcome.ours if isinstance(outcome.ours, tuple) else (outcome.ours,)
    places = _places(outcome.check.tolerance)
    return [each if isinstance(each, str) else fixed(each, places, _ALL_DIGITS) for each in ours]


def _places(tolerance: float) -> int:
    """Return the number of decimals that show a tenth of the tolerance."""
    return max(0, 1 - math.floor(math.log10(tolerance))) if tolerance else 0


def _difference(outcome: Outcome) -> str:
    """Return the difference in the digits in which ours is shown."""
    return fixed(outcome.check.difference(outcome.ours), _places(outcome.check.tolerance), _ALL_DIGITS)


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _signed(text: str) -> str:
    """Return a difference with its sign; no difference is "0"."""
    if float(text) == 0:
        return "0"
    return text if text.startswith("-") else f"+{text}"


def _listed(texts: Sequence[str], unit: str, marks: Marks) -> str:
    return ", ".join(texts) if unit == "date" else _with_unit(", ".join(texts), unit, marks)


def _with_unit(text: str, unit: str, marks: Marks) -> str:
    """Join a number and its unit so that no line breaks between them."""
    if not unit and not _is_number(text):
        return text
    return f"{marked(text, marks.registers.words[DECIMAL_MARK])}\u00a0{unit}".rstrip("\u00a0")


def _is_number(text: str) -> bool:
    return all(isinstance(_number(part), float) for part in text.split(", "))

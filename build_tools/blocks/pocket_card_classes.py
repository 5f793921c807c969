"""What the pocket card says about each leveler class: window, limits, springs, which direction tightens."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from build_tools.registers.figures import with_unit
from build_tools.registers.rows import Equipment
from build_tools.shown.html_parts import joined, tag
from build_tools.shown.marks import Marks
from calculators import answering
from calculators.shared.decimal_text import marked
from calculators.shared.fields import Field
from calculators.shared.words import DECIMAL_MARK, say

LOW, HIGH = "window_low_s", "window_high_s"
FALLBACK = "lip-fold-time"
"""The figure with the window's label, and its value where no owner's manual has one."""
LIMITS = (("mainspring-plan", "walk_down_limit_n"), ("fold-trend", "longest_interval_months"))
"""What else differs between classes: a calculator, and its input that the figure of the class fills."""
COUNTED = ("months",)
"""Units that are words: they follow the label, since "1 months" would be wrong after a number."""


def class_table(marks: Marks) -> Markup:
    """Return a table with a column for each class that has a window, then a line for any other leveler."""
    classes = [row for row in marks.registers.equipment.values() if {LOW, HIGH} <= {*row.figures}]
    other = marks.registers.figures.get(FALLBACK)
    rest = tag("p", _say(marks, "card.other"), " ", marks.figure(other), ".") if other else Markup("")
    if not classes:
        return rest
    name = other.label if other else input_label("fold-time", LOW, marks)
    springs = input_label("mainspring-plan", "spring_count", marks)
    rows = [
        _row(name, [_window(row, marks) for row in classes], "window"),
        _row(springs, [tag("td", str(row.spring_count)) for row in classes], "spring_count"),
        *(_limit(calculator, field, classes, marks) for calculator, field in LIMITS),
    ]
    head = tag("tr", tag("td"), *(tag("th", row.name, scope="col") for row in classes))
    table = tag("table", tag("thead", head), tag("tbody", *rows), class_="ht-card-table ht-card-classes")
    return joined(table, rest)


def nut_lines(marks: Marks) -> Markup:
    """Return a line for each class: which direction tightens, seen from which end, and what then happens."""
    return joined(*(_nut(row, marks) for row in marks.registers.equipment.values() if row.adjusting_nut))


def input_label(calculator: str, path: str, marks: Marks) -> str:
    """Return the label of a calculator's input; `path` is its name, or "cycles.rise" for a column of rows."""
    known = marks.registers.words.get(f"{calculator}.{path}.label")
    return known or _input(calculator, path).label


def _input(calculator: str, path: str) -> Field:
    fields: Sequence[Field] = answering.module(calculator).INPUTS
    name, _, column = path.partition(".")
    declared = next(field for field in fields if field.name == name)
    return next(field for field in declared.fields if field.name == column) if column else declared


def _say(marks: Marks, code: str) -> str:
    return say(marks.registers.words, code, {})


def _row(name: str, cells: Sequence[Markup], about: str) -> Markup:
    return tag("tr", tag("th", name, scope="row"), *cells, data_about=about)


def _window(row: Equipment, marks: Marks) -> Markup:
    range_ = marks.say("range", low=_number(row, LOW, marks), high=_number(row, HIGH, marks))
    return _cell(with_unit(range_, "s"), row, LOW, marks)


def _limit(calculator: str, name: str, classes: Sequence[Equipment], marks: Marks) -> Markup | None:
    """Return one row, or None where no class has the figure; a class without it is sent to its manual."""
    if not any(name in row.figures for row in classes):
        return None
    unit = _input(calculator, name).unit
    label, beside = input_label(calculator, name, marks), unit
    if unit in COUNTED:
        label, beside = f"{label} ({unit})", "1"
    cells = [
        _cell(with_unit(_number(row, name, marks), beside), row, name, marks)
        if name in row.figures
        else tag("td", _say(marks, "card.ask-manual"))
        for row in classes
    ]
    return _row(label, cells, name)


def _cell(text: str, row: Equipment, name: str, marks: Marks) -> Markup:
    basis = str(row.figures[name]["basis"])
    return tag("td", tag("strong", text), marks.basis_symbol(basis), data_leveler_class=row.id)


def _number(row: Equipment, name: str, marks: Marks) -> str:
    return marked(str(row.figures[name]["value"]), marks.registers.words[DECIMAL_MARK])


def _nut(row: Equipment, marks: Marks) -> Markup:
    nut = row.adjusting_nut or {}
    nut_text = marks.say("figures.nut", **{**nut, "hand": marks.say(f"hand.{nut['thread_hand']}")})
    return tag(
        "p", tag("strong", f"{row.name}."), " ", nut_text, class_="ht-card-nut", data_leveler_class=row.id
    )

"""Checks of one figure: its source, the check by a person, and whether it was changed after that."""

from __future__ import annotations

from collections.abc import Collection

from build_tools.reading.problems import Problem, suggestion
from build_tools.registers.figures import CHECK_KEYS, Figure


def check_figure(figure: Figure, source_ids: Collection[str]) -> list[Problem]:
    """Return the problems of a figure whose keys are right: its source, its limits, its recorded check."""
    found = _check_source(figure, source_ids)
    if not figure.safety:
        return found
    missing = [key for key in CHECK_KEYS if key not in figure.written]
    if not missing:
        return found + (_check_plausible(figure) or _check_unchanged(figure))
    what = f"bears on safety but lacks {', '.join(missing)}"
    why = "nobody has put a name to this figure yet"
    return [
        *found,
        _at(figure, "safety", what, why, f"write plausible_low and plausible_high; {_record(figure)}"),
    ]


def _check_source(figure: Figure, source_ids: Collection[str]) -> list[Problem]:
    if figure.source is None and figure.basis == "published":
        key, what, why = "basis", "is published but names no source", "a reader cannot look it up"
        fix = "add `source:` with an id of sources.yml, or change the basis"
    elif figure.source is not None and figure.basis == "common practice":
        key, what = "source", "is common practice but names a source"
        why = "common practice means that no source is known"
        fix = "remove `source`, or make the basis `published`"
    elif figure.source is not None and figure.source not in source_ids:
        key, what = "source", f"names an unknown source '{figure.source}'"
        why = "content/registers/sources.yml has no such id"
        fix = suggestion(figure.source, source_ids, otherwise="add it to sources.yml")
    else:
        return []
    return [_at(figure, key, what, why, fix)]


def _check_plausible(figure: Figure) -> list[Problem]:
    found = []
    for part in figure.parts():
        if not figure.is_plausible(part):
            limits = f"{figure.written['plausible_low']} to {figure.written['plausible_high']} {figure.unit}"
            what = f"has {part} {figure.part_text(part)}, outside plausible ({limits})"
            why = f"a slip here reaches every phone; it was checked as {figure.checked_value}"
            fix = f"correct the number; if it is right, widen the plausible limits and {_record(figure)}"
            found.append(_at(figure, part, what, why, fix))
    return found


def _check_unchanged(figure: Figure) -> list[Problem]:
    if figure.checked_value != figure.text():
        what = f"changed without a new check: was {figure.checked_value}, now {figure.text()}"
        why = f"the check by {figure.checked_by} on {figure.checked_on} was of {figure.checked_value}"
        return [_at(figure, figure.parts()[0], what, why, _record(figure))]
    if figure.checked_hash != figure.hash():
        what = f"has checked_hash {figure.checked_hash}, but the row gives {figure.hash()}"
        why = "its value, its plausible limits or its check changed after the check was recorded"
        return [_at(figure, "checked_hash", what, why, _record(figure))]
    return []


def _record(figure: Figure) -> str:
    command = f'python3 -m build_tools check --record {figure.id} --by "NAME"'
    named = "its source" if figure.source else "the manual" if figure.basis == "owner's manual" else ""
    by = f"compare {figure.text()} with {named}" if named else f"who can tell judge {figure.text()}"
    return f"have a person {by}, then run `{command}`"


def _at(figure: Figure, key: str, what: str, why: str, fix: str) -> Problem:
    return Problem(figure.file, figure.key_line(key), f"figure '{figure.id}' {what}", why, fix)

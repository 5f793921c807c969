"""Whether a figure may stand: its source, its person's check, and whether it was changed since."""

from __future__ import annotations

from collections.abc import Collection

from build_tools.figures import CHECK_KEYS, Figure
from build_tools.problems import Problem, suggestion


def check_figure(figure: Figure, source_ids: Collection[str]) -> list[Problem]:
    """Give every problem of one figure that its shape does not show."""
    found = _check_source(figure, source_ids)
    missing = [key for key in CHECK_KEYS if key not in figure.written]
    if figure.safety and missing:
        found.append(
            _at(
                figure,
                "safety",
                f"bears on safety but lacks {', '.join(missing)}",
                "nobody has put a name to this figure yet",
                "have it compared with its source; write down who, when, as what, and the plausible limits",
            )
        )
    elif figure.safety:
        found += _check_plausible(figure) or _check_unchanged(figure)
    return found


def _check_source(figure: Figure, source_ids: Collection[str]) -> list[Problem]:
    if figure.source is None:
        if figure.basis != "published":
            return []
        return [
            _at(
                figure,
                "basis",
                "is published but names no source",
                "a reader cannot look it up",
                "add `source:` with an id of sources.yml, or change the basis",
            )
        ]
    if figure.basis == "common practice":
        return [
            _at(
                figure,
                "source",
                "is common practice but names a source",
                "common practice means that no source is known",
                "remove `source`, or make the basis `published`",
            )
        ]
    if figure.source not in source_ids:
        fix = suggestion(figure.source, source_ids, otherwise="add it to sources.yml")
        return [
            _at(
                figure,
                "source",
                f"names an unknown source '{figure.source}'",
                "content/registers/sources.yml has no such id",
                fix,
            )
        ]
    return []


def _check_plausible(figure: Figure) -> list[Problem]:
    outside = [part for part in figure.parts() if not figure.is_plausible(part)]
    if not outside:
        return []
    limits = f"{figure.written['plausible_low']} to {figure.written['plausible_high']} {figure.unit}"
    return [
        _at(
            figure,
            part,
            f"has {part} {figure.part_text(part)}, outside plausible ({limits})",
            f"a slip of the keyboard here reaches every phone; it was checked as {figure.checked_value}",
            "correct the number; if it is right, have the plausible limits and the figure checked anew",
        )
        for part in outside
    ]


def _check_unchanged(figure: Figure) -> list[Problem]:
    if figure.checked_value != figure.text():
        return [
            _at(
                figure,
                figure.parts()[0],
                f"changed without a new check: was {figure.checked_value}, now {figure.text()}",
                f"the check by {figure.checked_by} on {figure.checked_on} was of {figure.checked_value}",
                f"have it checked against its source, then write `checked_value: {figure.text()}` with who "
                "and when; the next run shows the `checked_hash` to write",
            )
        ]
    if figure.checked_hash != figure.hash():
        return [
            _at(
                figure,
                "checked_hash",
                f"has checked_hash {figure.checked_hash}, which is not that of this row",
                "the figure, its plausible limits or its check changed after the hash was written",
                f"if {figure.checked_by} did check {figure.text()} on {figure.checked_on}, "
                f"write `checked_hash: {figure.hash()}`",
            )
        ]
    return []


def _at(figure: Figure, key: str, what: str, why: str, fix: str) -> Problem:
    return Problem(figure.file, figure.key_line(key), f"figure '{figure.id}' {what}", why, fix)

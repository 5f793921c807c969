"""Pieces of HTML with every word escaped, so that a sentence from a register can never become markup."""

from __future__ import annotations

from functools import cache

from markupsafe import Markup, escape

_VOID = frozenset({"input"})


def tag(name: str, /, *children: object, **attributes: object) -> Markup:
    """Return one element with its children.

    `data_row=True` becomes `data-row`, `class_="x"` becomes `class="x"`; None and False leave an attribute
    out. Children that are not Markup are escaped; None is left out.
    """
    written = "".join(
        [
            f" {_spelled(key)}" if value is True else f' {_spelled(key)}="{_escaped(value)}"'
            for key, value in attributes.items()
            if value is not None and value is not False
        ]
    )
    if name in _VOID:
        return Markup(f"<{name}{written}>")
    return Markup(f"<{name}{written}>{joined(*children)}</{name}>")


def joined(*children: object) -> Markup:
    """Return the children one after the other, escaped where they are plain text."""
    return Markup("".join([_escaped(child) for child in children if child is not None]))


def _escaped(value: object) -> str:
    """Return a value's text, escaped for HTML.

    It is a plain string: a book has 100,000 such pieces, and Markup's own formatting takes ten times as long.
    """
    return str(value) if isinstance(value, Markup) else str(escape(value))


@cache
def _spelled(key: str) -> str:
    return key.rstrip("_").replace("_", "-")

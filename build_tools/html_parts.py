"""Pieces of HTML with every word escaped, so that a sentence from a register can never become markup."""

from __future__ import annotations

from markupsafe import Markup, escape

_VOID = frozenset({"input"})


def tag(name: str, /, *children: object, **attributes: object) -> Markup:
    """Give one element.

    `data_row=True` is written `data-row`, `class_="x"` is `class="x"`; None and False leave an attribute out.
    Children that are not Markup are escaped; None is left out.
    """
    written = Markup("").join(
        Markup(" {}").format(_spelled(key))
        if value is True
        else Markup(' {}="{}"').format(_spelled(key), value)
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _VOID:
        return Markup("<{}{}>").format(name, written)
    return Markup("<{}{}>{}</{}>").format(name, written, joined(*children), name)


def joined(*children: object) -> Markup:
    """Give the children one after the other, escaped where they are plain text."""
    return Markup("").join(escape(child) for child in children if child is not None)


def _spelled(key: str) -> str:
    return key.rstrip("_").replace("_", "-")

"""One field of a work sheet: its label, its entry, its help, and places for a note and an error."""

from __future__ import annotations

from markupsafe import Markup

from build_tools.sheets.entry import entry, field_id, is_ticks, message_ids
from build_tools.shown.field_range import range_texts, units_for_the_page
from build_tools.shown.html_parts import tag
from build_tools.shown.sheet_words import SheetWords
from calculators.shared.fields import Field


def field_block(
    field: Field,
    path: str,
    words: SheetWords,
    *,
    label: str,
    value: str = "",
    beside: Markup | None = None,
    shared_help: str | None = None,
) -> Markup:
    """Return a field with everything that belongs to it.

    Args:
        field: its declaration.
        path: its name on the wire: "readings[0].fold_time_s".
        words: of its calculator.
        label: what the sheet calls it.
        value: the text that it starts with.
        beside: what goes under the entry, such as the book's figure.
        shared_help: the HTML id of one help for all rows; with None the field has a help of its own.
    """
    id_ = field_id(words.name, path)
    note_id, error_id, help_id = message_ids(id_)
    own_help = (
        tag("p", help_text(field, path, words), class_="ht-help", id=help_id) if not shared_help else None
    )
    return tag(
        "div",
        _label(field, id_, label),
        entry(field, path, words, value, help_id=shared_help or help_id),
        beside,
        own_help,
        tag("p", class_="ht-note", id=note_id, data_note=True, hidden=True),
        tag("p", class_="ht-error", id=error_id, data_error=path, hidden=True),
        class_="ht-field",
        **units_for_the_page(field, words),
        data_input=path,
        data_kind="ticks" if is_ticks(field) else field.kind,
        data_optional=field.optional,
    )


def _label(field: Field, id_: str, label: str) -> Markup:
    """Return the field's name: a label element for a single entry, a text for a group of choices."""
    if field.kind in ("choice", "flag") or is_ticks(field):
        return tag("span", label, class_="ht-label", id=f"{id_}-label")
    return tag("label", label, class_="ht-label", for_=id_, data_label=True)


def help_text(field: Field, path: str, words: SheetWords) -> Markup:
    """Return a field's help, its allowed range and whether it may be left blank."""
    parts: list[Markup | str] = [words.help(field, path)]
    if field.kind in ("number", "whole", "numbers"):
        parts.append(_range(field, words))
    if field.optional:
        parts.append(words.say("page.optional"))
    return Markup(" ").join(part for part in parts if part)


def _range(field: Field, words: SheetWords) -> Markup:
    """Return the allowed range in the first unit system; the page's script changes it with the units."""
    texts = range_texts(field, words)
    by_units = words.by_units(texts) if len(texts) > 1 else None
    return tag("span", texts[0], class_="ht-range", data_by_units=by_units)

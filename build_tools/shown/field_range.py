"""The allowed range of a field, in each of the units that a reader may choose."""

from __future__ import annotations

from build_tools.shown.sheet_words import SheetWords
from build_tools.shown.units import SYSTEMS, range_in, shown_units
from calculators.shared.fields import Field, Output


def range_texts(field: Field, words: SheetWords) -> list[str]:
    """Return the allowed range as one sentence for each unit system, "" where there is no limit."""
    return [_range_text(field, *ends, unit, words) for unit, ends in _ranges(field, words)]


def counts_down(field: Field | Output) -> bool:
    """Return whether a count goes down on the wire and is said without its minus: "8 to loosen" for -8."""
    return isinstance(field, Field) and field.kind == "whole" and field.high == 0


def units_for_the_page(field: Field, words: SheetWords) -> dict[str, object]:
    """Return the HTML attributes by which the page's script reads, converts and refuses a number.

    They are the limits on the wire and, where units can be chosen, each system's unit and allowed range.
    A field that holds no number has none.
    """
    if field.kind not in ("number", "whole"):
        return {}
    limits: dict[str, object] = {"data_low": field.low, "data_high": field.high}
    limits["data_low_open"] = field.low_open
    limits["data_counts_down"] = counts_down(field)
    if counts_down(field):
        ((_, (low, high)),) = _ranges(field, words)
        allowed = words.say("error.range", low=low, high=high, unit="")
        limits["data_allowed"] = words.by_units([allowed] * len(SYSTEMS))
    units = shown_units(field.unit, field.name)
    if not units:
        return limits
    code = "error.range-open" if field.low_open else "error.range"
    allowed_texts = [
        words.say(code, low=low, high=high, unit=f" {unit}") for unit, (low, high) in _ranges(field, words)
    ]
    return limits | {
        "data_wire_unit": field.unit,
        "data_units": words.by_units(units),
        "data_allowed": words.by_units(allowed_texts),
    }


def _ranges(field: Field, words: SheetWords) -> list[tuple[str, tuple[float | None, float | None]]]:
    """Return (unit, (low, high)) for each unit system, or once where all show the field alike."""
    units = shown_units(field.unit, field.name)
    if counts_down(field) and field.low is not None:
        return [(words.unit(field.unit), (0, -field.low))]
    if not units:
        return [(words.unit(field.unit), (field.low, field.high))]
    return [(unit, range_in(field.low, field.high, unit)) for unit in units]


def _range_text(
    field: Field, low_end: float | None, high_end: float | None, unit: str, words: SheetWords
) -> str:
    low = "" if low_end is None else words.number(low_end)
    high = "" if high_end is None else f"{words.number(high_end)} {unit}".strip()
    if low and high:
        return words.say(
            "page.range.above-to" if field.low_open else "page.range.from-to", low=low, high=high
        )
    if low:
        code = "page.range.above" if field.low_open else "page.range.from"
        return words.say(code, low=f"{low} {unit}".strip())
    return words.say("page.range.to", high=high) if high else ""

"""The trade's tables on the page of figures: how far a thread travels in a half turn, wires by modulus."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from markupsafe import Markup

from build_tools.registers.trade_tables import Modulus, Thread, Wire
from build_tools.shown.html_parts import tag
from build_tools.shown.marks import Marks


def thread_tables(threads: Iterable[Thread], marks: Marks) -> list[Markup]:
    """Return a table for each source of threads, in the register's order."""
    groups = groupby(threads, key=lambda row: (row.source, row.provenance))
    return [_thread_table(list(rows), marks) for _, rows in groups]


def _thread_table(rows: list[Thread], marks: Marks) -> Markup:
    heads = [tag("th", marks.say(f"figures.threads.{name}"), scope="col") for name in _COLUMNS]
    cited = tag("p", _source(rows[0], marks), " ", marks.say(f"mark.{rows[0].provenance}"))
    body = [_thread(row, marks) for row in rows]
    return tag("div", cited, tag("table", tag("thead", tag("tr", *heads)), tag("tbody", *body)))


_COLUMNS = ("thread", "pitch", "half-turn")


def _thread(row: Thread, marks: Marks) -> Markup:
    travel = 1000 * row.pitch_m / 2
    return tag(
        "tr",
        tag("td", row.label),
        tag("td", marks.say(f"figures.threads.{row.unit.replace('_', '-')}", number=row.printed)),
        tag("td", marks.say("figures.threads.travel", travel_mm=travel), data_travel_mm=f"{travel:.6g}"),
        id=f"thread-{row.id}",
        data_thread=row.id,
    )


def wire_row(wire: Wire, marks: Marks) -> Markup:
    """Return one wire with the shear modulus by each source, and how much the sources differ."""
    low, high = (limit(value.gpa for value in wire.moduli) for limit in (min, max))
    apart = marks.say("figures.wires.apart", low=low, high=high) if low < high else None
    return tag(
        "section",
        tag("h3", wire.label, id=f"wire-{wire.id}"),
        tag("p", apart) if apart else None,
        tag("ul", *(_modulus(value, marks) for value in wire.moduli)),
        class_="ht-row",
    )


def _modulus(value: Modulus, marks: Marks) -> Markup:
    sizes = {"above": value.above_in, "up-to": value.up_to_in}
    given = "-".join(name for name, size in sizes.items() if size is not None)
    size = marks.say(f"figures.wires.{given}", above=value.above_in, up_to=value.up_to_in) if given else ""
    printed = "" if value.unit == "GPa" else marks.say("figures.wires.printed", number=value.printed)
    return tag(
        "li",
        tag("strong", marks.say("figures.wires.modulus", gpa=value.gpa)),
        f"{printed}{size}. ",
        _source(value, marks),
        " ",
        marks.say(f"mark.{value.provenance}"),
        data_gpa=f"{value.gpa:.6g}",
    )


def _source(row: Thread | Modulus, marks: Marks) -> Markup:
    """Return the source as a link to its row, or its id alone where the register left the row out."""
    source = marks.registers.sources.get(row.source)
    if source is None:
        return Markup("{}").format(row.source)
    return tag("a", f"{source.title}, {source.where}", href=f"#source-{source.id}") + Markup(".")

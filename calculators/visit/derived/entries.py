"""What a screen asks for, entry by entry, and how what was given is read."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calculators.shared.fields import BadInput, Field, InputProblem, read_inputs
from calculators.shared.half_turns import sentence
from calculators.shared.words import say
from calculators.visit.derived.asks import ASKS, Ask, Entry
from calculators.visit.derived.inputs import window
from calculators.visit.derived.ledger import last_turn, rods, spring_count
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State

Words = Mapping[str, str]
COMMON = "common"


@dataclass(frozen=True, slots=True)
class Wanted:
    """One entry of a screen: its key, what it is of, and what is known of it already."""

    key: str
    ask: str
    entry: Entry
    step: str | None = None
    spring: str | None = None
    which: int | None = None
    value: Any = None
    known: str = ""
    """Why the value is given: the code of the sentence."""
    person: str = ""
    place: str = ""

    @property
    def label(self) -> Row:
        """The sentence that names it."""
        if self.person:
            return sentence(f"visit.entry.{self.ask}", person=self.person, place=self.place)
        if self.which is not None and self.spring and self.entry.name == self.ask:
            code = f"visit.entry.{self.entry.name}.{self.spring}"
            return sentence(code, which=self.which)
        return sentence(f"visit.entry.{self.entry.name}")

    def field(self, words: Words) -> Field:
        """Return its declaration, under its key, labeled in the book's language."""
        label = say(words, self.label["code"], told_places(self.label, words)["values"])
        optional = self.entry.optional or self.value is not None
        return dataclasses.replace(self.entry.field, name=self.key, label=label, optional=optional)


def told_places(label: Row, words: Words) -> Row:
    """Return a sentence with the name of a lock's place in the book's language."""
    place = label["values"].get("place")
    if place is None:
        return label
    return {**label, "values": {**label["values"], "place": words.get(f"visit.place.{place}", place)}}


def wanted(plan: Plan, state: State, job: str, steps: Sequence[str]) -> list[Wanted]:
    """Return the entries that the steps of a screen ask for."""
    found: list[Wanted] = []
    for step in steps:
        for ask in plan.asks(job, step):
            found += _of_ask(plan, state, job, step, ask)
    return found


def wanted_first(plan: Plan, state: State, job: str, asks: Sequence[str]) -> list[Wanted]:
    """Return the entries for what has to be known before a calculator is asked, or before a step can ask."""
    return [each for ask in asks for each in _of_ask(plan, state, job, None, ask)]


def _of_ask(plan: Plan, state: State, job: str, step: str | None, ask: str) -> Iterator[Wanted]:
    name, _, place = ask.partition(":")
    if name in ("lock-on", "lock-off"):
        yield from _locks(state, step, name, place)
    elif name == "window":
        yield from _window(plan, state, step)
    elif name in ASKS and ASKS[name].each_spring:
        yield from _each_spring(plan, state, job, step, name, ASKS[name])
    elif name in ASKS:
        for entry in ASKS[name].entries:
            if entry.name != "walk-down-effort" or _has_limit(plan, state):
                yield _with_value(state, Wanted(entry.name, name, entry, step))


def _has_limit(plan: Plan, state: State) -> bool:
    return "walk_down_limit_n" in plan.leveler(state.opened.get("leveler_class")).get("figures", {})


def _with_value(state: State, want: Wanted) -> Wanted:
    """Fill in what was said before in this visit and does not change: the dock lead, the temperature."""
    if want.ask not in ("lead", "temperature"):
        return want
    value = state.last(want.ask, want.entry.field.name)
    return want if value is None else dataclasses.replace(want, value=value, known="visit.from.before")


def _each_spring(
    plan: Plan, state: State, job: str, step: str | None, name: str, ask: Ask
) -> Iterator[Wanted]:
    own = plan.jobs_spring(job)
    for spring in (own,) if own else ("mainspring", "lip-assist"):
        count = spring_count(plan, state, spring) or 1
        for which in range(1, count + 1):
            if own or name == "rod-found" or rods(state, spring, which):
                yield _of_spring(state, step, name, ask, spring, which, own is not None, count)
    if len(ask.entries) > 1 and not _tool(state) and (own or name == "rod-found" or _measured(state)):
        yield Wanted("tool", name, ask.entries[1], step)


def _measured(state: State) -> bool:
    return any(row["ask"] == "rod-found" for row in state.entered)


def _tool(state: State) -> str | None:
    tool: str | None = next((row["tool"] for row in reversed(state.entered) if "tool" in row), None)
    return tool


def _of_spring(
    state: State, step: str | None, name: str, ask: Ask, spring: str, which: int, is_own: bool, count: int
) -> Wanted:
    key = name if is_own and count == 1 else f"{name}/{which}" if is_own else f"{name}/{spring}/{which}"
    want = Wanted(key, name, ask.entries[0], step, spring, which)
    if not is_own or name == "rod-found":  # a rod measured at this visit, and not turned since, is known
        lengths = rods(state, spring, which)
        if lengths and lengths[-1]["seq"] > last_turn(state, spring):
            return dataclasses.replace(want, value=lengths[-1]["length_m"], known="visit.from.since-turned")
    return want


def _window(plan: Plan, state: State, step: str | None) -> Iterator[Wanted]:
    """Ask for the window where the leveler's row has none; the common one is offered, never filled in."""
    if window(plan, state) is not None:
        return
    common = plan.raw.get("common", {})
    ask = ASKS["window"]
    holds_for = [way for way in [plan.raw.get("common_for")] if way]
    offered = not holds_for or plan.may_have(state.opened.get("leveler_class"), holds_for)
    if offered and "window_low_s" in common and "window_high_s" in common:
        field = Field(name="from", kind="choice", choices=(COMMON,), label="", help="")
        yield Wanted("window", "window", Entry("window", field, optional=True), step)
    for entry in ask.entries:
        yield Wanted(entry.name, "window", entry, step)


def _locks(state: State, step: str | None, name: str, place: str) -> Iterator[Wanted]:
    field = Field(name="on", kind="flag", label="", help="")
    entry = Entry(name, field, optional=True)
    if name == "lock-on":
        people = [state.opened.get("technician") or "technician", *state.helpers]
        spots = [(person, place or step or "") for person in dict.fromkeys(people)]
    else:
        spots = [spot for spot, row in state.locks.items() if row["on"] and place in ("", spot[1])]
    for person, spot in spots:
        yield Wanted(f"{name}/{person}/{spot}", name, entry, step, value=True, person=person, place=spot)


def told_all(plan: Plan, wants: Sequence[Wanted], words: Words) -> list[Row]:
    """Return entries as a screen has them."""
    return [told(plan, want, words) for want in wants]


def told(plan: Plan, want: Wanted, words: Words) -> Row:
    """Return an entry as a screen has it."""
    field = want.entry.field
    choices = _choices(plan, want)
    kind = "length" if field.unit == "m" else "choice" if choices else field.kind
    return {
        "ask": want.key,
        "of": want.ask,
        "step": want.step,
        "spring": want.spring,
        "which": want.which,
        "label": told_places(want.label, words),
        "kind": kind,
        "unit": field.unit,
        "low": field.low,
        "high": field.high,
        "optional": want.entry.optional,
        "choices": choices,
        "value": want.value,
        "from": sentence(want.known) if want.known else None,
    }


def _choices(plan: Plan, want: Wanted) -> list[Row]:
    name, field = want.entry.name, want.entry.field
    if name == "lip":
        return [{"value": value, **sentence(f"visit.choice.lip.{word}")} for value, word in LIP.items()]
    if name == "window":
        return [{"value": COMMON, **sentence("visit.choice.window.common", **plan.raw["common"])}]
    return [{"value": choice, **sentence(f"visit.choice.{name}.{choice}")} for choice in field.choices]


LIP = {True: "out", False: "part"}


def read(
    plan: Plan, state: State, job: str, wants: Sequence[Wanted], raw: object, words: Words
) -> list[tuple[str, Row]]:
    """Return the events that entries come to, as (kind, values).

    Raises:
        BadInput: an entry is missing, unknown, or outside what is allowed; all that are wrong.
    """
    given = dict(raw) if isinstance(raw, Mapping) else raw
    common = isinstance(given, dict) and given.get("window") == COMMON
    wants = [want for want in wants if not (common and want.key in ("window-low", "window-high"))]
    values = read_inputs(fields(wants, words), {} if given is None else given)
    _check_window(values.get("window-low"), values.get("window-high"))
    events: dict[tuple[str, str | None, int | None], Row] = {}
    locks: list[tuple[str, Row]] = []
    for want in wants:
        value = values[want.key] if values[want.key] is not None else want.value
        if value is None:
            continue
        if want.person:
            locks += [("lock", {"person": want.person, "place": want.place, "on": want.ask == "lock-on"})][
                : int(value)
            ]
            continue
        row = events.setdefault(
            (want.ask, want.spring if want.key != "tool" else None, want.which), _row(job, want)
        )
        row[want.entry.field.name] = value
    return [*(("entered", row) for row in _finished(plan, state, list(events.values()))), *locks]


def _check_window(low_s: float | None, high_s: float | None) -> None:
    if low_s is not None and high_s is not None and low_s >= high_s:
        raise BadInput(InputProblem("window-high", high_s, "window-upside-down", {"low": low_s}))


def fields(wants: Sequence[Wanted], words: Words) -> list[Field]:
    """Return the declarations of a screen's entries, for reading them and for naming what is wrong."""
    return [want.field(words) for want in wants]


def _row(job: str, want: Wanted) -> Row:
    row: Row = {"job": job, "step": want.step, "ask": want.ask}
    if want.spring:
        row |= {"spring": want.spring, "which": want.which}
    return row


def _finished(plan: Plan, state: State, rows: list[Row]) -> list[Row]:
    """Put the tool to each rod, and the seconds to a window that was tapped."""
    chosen = next((row.pop("tool") for row in rows if "tool" in row and "length_m" not in row), None)
    tool = chosen or _tool(state)
    finished = []
    for row in rows:
        if "length_m" in row and tool:
            row["tool"] = tool
        if row.get("from") == COMMON:
            row |= {name: plan.raw["common"][name] for name in ("window_low_s", "window_high_s")}
        if len(row) > 3:
            finished.append(row)
    return finished

"""A work sheet's form: it asks for what the calculator takes, in the way each kind is given."""

from __future__ import annotations

import re

import pytest
from bs4 import Tag

from build_tools.registers.registers import Registers
from calculators import answering
from calculators.answering import NAMES
from calculators.service_plan.fields import WEEKDAYS
from tests.book.sheets.work_sheet import sheet


def input_names(section: Tag) -> set[str]:
    """The names of all entries, their row numbers taken out."""
    return {re.sub(r"\[\d+\]", "", str(entry["name"])) for entry in section.select("input[name]")}


def declared_names(name: str) -> set[str]:
    """What a person is asked for: each input, or each column of a list of rows; not what the page gives."""
    found = set()
    for field in answering.schema(name)["inputs"]:
        columns = [column for column in field["fields"] if field["kind"] == "rows" and not column["given"]]
        if field["given"]:
            continue
        found |= {f"{field['name']}.{column['name']}" for column in columns} if columns else {field["name"]}
    return found


@pytest.mark.parametrize("name", NAMES)
def test_inputs_are_named_as_in_the_schema(name: str, registers: Registers) -> None:
    """The form asks for exactly what the command line takes and the registers do not give."""
    assert input_names(sheet(name, registers)) == declared_names(name)


@pytest.mark.parametrize("name", NAMES)
def test_every_entry_has_label_help_and_room_for_an_error(name: str, registers: Registers) -> None:
    """Whatever an entry points to by id is on the page, and every id is there once."""
    section = sheet(name, registers)
    ids = [str(element["id"]) for element in section.select("[id]")]
    described = [str(element["aria-describedby"]).split() for element in section.select("[aria-describedby]")]
    labeled = [str(label["for"]) for label in section.select("label[for]")]
    assert len(ids) == len(set(ids))
    assert {target for targets in described for target in targets} | set(labeled) <= set(ids)
    assert all(len(targets) == 3 for targets in described)


@pytest.mark.parametrize("name", NAMES)
def test_number_entries_bring_up_a_number_keypad(name: str, registers: Registers) -> None:
    """No entry of a number leaves the choice of keypad to the phone; a text has the whole keyboard."""
    fields = sheet(name, registers).select("[data-input]")
    entries = [(field["data-kind"], entry) for field in fields for entry in field.select("input[type=text]")]
    modes = {(str(kind), str(entry.get("inputmode"))) for kind, entry in entries}
    assert modes <= {("number", "decimal"), ("whole", "numeric"), ("text", "None")}
    assert modes != set()


@pytest.mark.parametrize("name", NAMES)
def test_fields_stand_in_their_groups_in_the_order_of_measuring(name: str, registers: Registers) -> None:
    """Each declared group is one fieldset under its heading, with its inputs in the declared order."""
    inputs = answering.schema(name)["inputs"]
    declared: dict[str, list[str]] = {}
    for field in inputs:
        declared.setdefault(field["group"], []).append(field["name"])
    declared.pop("", None)
    groups = sheet(name, registers).select("fieldset[data-group]")
    stand = {
        str(group["data-group"]): [
            str(part.get("data-input") or part.get("data-rows"))
            for part in group.select("[data-input], [data-rows]")
            if part.find_parent(attrs={"data-rows": True}) is None
        ]
        for group in groups
    }
    legends = [legend.get_text() for group in groups for legend in group.find_all("legend", recursive=False)]
    assert stand == declared
    assert list(stand) == list(declared)
    assert legends == [registers.words[f"{name}.group.{group}"] for group in declared]


def test_the_counterbalance_stands_in_five_groups(registers: Registers) -> None:
    """Its many inputs are never one long column."""
    groups = sheet("counterbalance", registers).select("fieldset[data-group]")
    assert [len(group.select("[data-input]")) for group in groups] == [8, 4, 4, 2, 5]


def test_days_are_asked_for_by_the_phones_own_calendar(registers: Registers) -> None:
    """A day is a date entry within the years that a plan may have; whoever does not know it can say so."""
    section = sheet("service-plan", registers)
    for name in ("start", "until", "tasks[0].last_done", "closed_days[0]"):
        entry = section.select_one(f'input[name="{name}"]')
        assert entry is not None
        assert (entry["type"], entry["min"], entry["max"]) == ("date", "2000-01-01", "2099-12-31")
    unknown = section.select_one('input[data-null-for="tasks[0].last_done"]')
    assert unknown is not None
    assert unknown.parent is not None
    assert unknown.parent.get_text().strip() == registers.words["page.not-known"]


def test_a_list_of_choices_is_ticked(registers: Registers) -> None:
    """Closed weekdays are seven boxes, not rows to be written."""
    field = sheet("service-plan", registers).select_one('[data-input="closed_weekdays"]')
    assert field is not None
    boxes = field.select('input[type="checkbox"]')
    assert [str(box["value"]) for box in boxes] == list(WEEKDAYS)
    assert {str(box["name"]) for box in boxes} == {"closed_weekdays[0].weekday"}


@pytest.mark.parametrize("name", NAMES)
def test_without_javascript_the_sheet_says_so_and_takes_nothing(name: str, registers: Registers) -> None:
    """A sentence in plain sight says what the calculator needs, and the form is disabled."""
    section = sheet(name, registers)
    sentence = section.select_one("[data-needs=serving]")
    fields = section.select_one("fieldset[data-sheet]")
    assert sentence is not None
    assert fields is not None
    assert sentence.get_text() == registers.words["page.needs-serving"]
    assert not sentence.has_attr("hidden")
    assert fields.has_attr("disabled")


def test_the_stopwatch_shows_what_is_timed(registers: Registers) -> None:
    """Beside the stopwatch are the definition of the fold time and the cycles that come before it."""
    watch = sheet("fold-time", registers).select_one("dialog[data-stopwatch]")
    assert watch is not None
    definition = watch.select_one("[data-term=fold-time]")
    assert definition is not None
    assert definition.get_text() == registers.terms["fold-time"].meaning
    assert watch.select_one('[data-figure="warm-up-cycles"]') is not None
    assert sheet("mainspring-plan", registers).select("dialog[data-stopwatch]") == []

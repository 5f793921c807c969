"""A calculator's work sheet as HTML: made from the declaration, nothing filled in unasked."""

from __future__ import annotations

import dataclasses
import json
import re

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.calculator_example import INSTRUCTIONS, ExampleRefused
from build_tools.calculator_results import NUMBERS, SHORT_ROWS, short_part
from build_tools.calculator_section import render
from build_tools.marked_yaml import read_marked
from build_tools.registers import Registers
from calculators import _run
from calculators._hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators._service_fields import WEEKDAYS

NAMES = _run.NAMES


def sheet(name: str, registers: Registers, root: str = "..") -> Tag:
    """Render one calculator and give its section."""
    section = BeautifulSoup(render(name, registers, root=root), "html.parser").section
    assert section is not None
    return section


def input_names(section: Tag) -> set[str]:
    """The names of all entries, their row numbers taken out."""
    return {re.sub(r"\[\d+\]", "", str(entry["name"])) for entry in section.select("input[name]")}


def declared_names(name: str) -> set[str]:
    """What the schema asks for: each input, or each column of a list of rows."""
    found = set()
    for field in _run.schema(name)["inputs"]:
        columns = field["fields"]
        found |= {f"{field['name']}.{column['name']}" for column in columns} if columns else {field["name"]}
    return found


def answer_to(inputs: str, name: str, registers: Registers) -> dict[str, object]:
    """What the calculator says to a JSON text of inputs."""
    found: dict[str, object] = json.loads(_run.run(name, inputs, registers.words))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_inputs_are_named_as_in_the_schema(name: str, registers: Registers) -> None:
    """The form asks for exactly what the command line takes."""
    assert input_names(sheet(name, registers)) == declared_names(name)


@pytest.mark.parametrize("name", NAMES)
def test_every_result_has_its_place(name: str, registers: Registers) -> None:
    """Each output of the schema stands in the answer area once, as an output of that name."""
    section = sheet(name, registers)
    places = [str(place["data-field"]) for place in section.select("[data-answer] output[data-field]")]
    assert sorted(places) == sorted(output["name"] for output in _run.schema(name)["outputs"])


@pytest.mark.parametrize("name", NAMES)
def test_every_entry_has_label_help_and_room_for_an_error(name: str, registers: Registers) -> None:
    """Whatever an entry points to by id stands on the page, and every id stands once."""
    section = sheet(name, registers)
    ids = [str(element["id"]) for element in section.select("[id]")]
    described = [str(element["aria-describedby"]).split() for element in section.select("[aria-describedby]")]
    labelled = [str(label["for"]) for label in section.select("label[for]")]
    assert len(ids) == len(set(ids))
    assert {target for targets in described for target in targets} | set(labelled) <= set(ids)
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
def test_the_worked_answer_is_the_calculators(name: str, registers: Registers) -> None:
    """Every value of the example is what the calculator gives for the inputs shown beside it."""
    example = sheet(name, registers).select_one("[data-example]")
    assert example is not None
    inputs = str(example["data-inputs"])
    answer = answer_to(inputs, name, registers)
    given = {
        str(place["data-given"]): json.loads(str(place["data-value"]))
        for place in example.select("[data-given]")
    }
    found = {
        str(place["data-found"]): json.loads(str(place["data-value"]))
        for place in example.select("[data-found]")
    }
    assert given == json.loads(inputs) == registers.examples[name]["inputs"]
    assert found == {key: answer[key] for key in found}
    assert len(found) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_the_worked_answer_gives_no_instruction(name: str, registers: Registers) -> None:
    """The example is headed as nobody's leveler, stands after the live answer, and gives no order."""
    section = sheet(name, registers)
    example = section.select_one("[data-answer] ~ [data-example]")
    assert example is not None
    heading = example.find("h4")
    assert heading is not None
    assert heading.get_text() == "EXAMPLE, NOT YOUR LEVELER"
    shown = {str(place["data-found"]) for place in example.select("[data-found]")}
    assert shown.isdisjoint(INSTRUCTIONS | {"headline", "reasons"})


@pytest.mark.parametrize("name", NAMES)
def test_the_table_is_the_calculators(name: str, registers: Registers) -> None:
    """Every row of the look-up table is what the calculator gives for that row's inputs."""
    table = registers.examples[name]["table"]
    rows = sheet(name, registers).select("[data-look-up] tbody tr[data-inputs]")
    assert len(rows) == len(table["rows"])
    for row in rows:
        inputs = str(row["data-inputs"])
        values = {**json.loads(inputs), **answer_to(inputs, name, registers)}
        cells = {
            str(cell["data-shown"]): json.loads(str(cell["data-value"]))
            for cell in row.select("[data-shown]")
        }
        assert cells == {key: values[key] for key in table["show"]}


def test_numbers_are_shown_as_their_kind_is_read(registers: Registers) -> None:
    """Inputs stand as they were given, times with hundredths, a chance never as certain, choices in words."""
    example = sheet("fold-time", registers).select_one("[data-example]")
    assert example is not None
    text = {
        str(place.get("data-given") or place.get("data-found")): place.get_text()
        for place in example.select("dd")
    }
    answer = answer_to(str(example["data-inputs"]), "fold-time", registers)
    assert text["runs_s"] == "16.4, 16.7, 16.5\u00a0s"
    assert text["mean_s"] == f"{answer['mean_s']:.2f}\u00a0s"
    assert text["probability_in_window"] == "under 1 %"
    assert text["verdict"] == registers.words[f"fold-time.verdict.{answer['verdict']}"]


def test_common_practice_is_offered_and_never_filled_in(registers: Registers) -> None:
    """The window starts empty; one button, which says how far to trust it, holds the register's values."""
    for name in ("fold-time", "turn-plan"):
        section = sheet(name, registers)
        figure = registers.figures["lip-fold-time"]
        assert figure.basis == "common practice"
        for field in ("window_low_s", "window_high_s"):
            entry = section.select_one(f'input[name="{field}"]')
            assert entry is not None
            assert entry.get("value") is None
        offers = section.select("button[data-offer]")
        assert [offer["data-offer"] for offer in offers] == ["lip-fold-time"]
        assert json.loads(str(offers[0]["data-fill"])) == {
            "window_low_s": figure.written["low"],
            "window_high_s": figure.written["high"],
        }
        assert offers[0].get_text() == (
            f"Use {figure.text()}: common practice, no source, only if the owner's manual gives none"
        )


@pytest.mark.parametrize("name", NAMES)
def test_limits_of_this_leveler_start_empty(name: str, registers: Registers) -> None:
    """What only this leveler or its manual can say holds nothing, not even "not measured"."""
    section = sheet(name, registers)
    own = (
        "half_turns_min",
        "half_turns_max",
        "walk_down_limit_n",
        "spring_count",
        "window_low_s",
        "window_high_s",
    )
    entries = [entry for field in own for entry in section.select(f'input[name="{field}"]')]
    assert [entry.get("value") for entry in entries] == [None] * len(entries)
    assert section.select("input[checked]") == []


def test_a_sourced_figure_is_filled_in_with_basis_and_source(registers: Registers) -> None:
    """A published or company figure stands in its field as written, with what it rests on."""
    section = sheet("fold-time", registers)
    for field, id_ in (
        ("timing_uncertainty_s", "hand-timing-uncertainty"),
        ("confidence", "timing-confidence"),
    ):
        entry = section.select_one(f'input[name="{field}"]')
        mark = section.select_one(f'[data-input="{field}"] span[data-figure="{id_}"]')
        assert entry is not None
        assert mark is not None
        assert entry["value"] == registers.figures[id_].written["value"]
        assert mark["data-basis"] == registers.figures[id_].basis
        assert mark.select(f'a[href="../figures.html#figure-{id_}"]') != []


def test_a_figure_that_loses_its_source_is_no_longer_filled_in(registers: Registers) -> None:
    """The basis in the register alone decides: as common practice the same figure becomes an offer."""
    figure = dataclasses.replace(registers.figures["timing-confidence"], basis="common practice")
    changed = dataclasses.replace(registers, figures={**registers.figures, "timing-confidence": figure})
    section = sheet("fold-time", changed)
    entry = section.select_one('input[name="confidence"]')
    assert entry is not None
    assert entry.get("value") is None
    assert [offer["data-offer"] for offer in section.select("button[data-offer]")] == [
        "lip-fold-time",
        "timing-confidence",
    ]


@pytest.mark.parametrize("name", NAMES)
def test_cautions_stand_in_full_above_the_action(name: str, registers: Registers) -> None:
    """Without JavaScript too, the cautions of all it may order stand in three parts before its place."""
    outputs = {output["name"] for output in _run.schema(name)["outputs"]}
    wanted = [
        *(BEFORE_TURNING if "before_turning" in outputs else ()),
        *(BEFORE_CYCLING if "before_cycling" in outputs else ()),
    ]
    section = sheet(name, registers)
    area = section.select_one("[data-answer]")
    assert area is not None
    cautions = area.select("[data-before] aside[data-hazard]")
    assert [caution["data-hazard"] for caution in cautions] == wanted
    for caution in cautions:
        hazard = registers.hazards[str(caution["data-hazard"])]
        assert caution["data-signal"] == hazard.signal
        assert [hazard.what, hazard.avoid] == [part.get_text() for part in caution.find_all("p")[1:]]
    action = area.select_one("[data-part=do]") or area.select_one("output[data-field=headline]")
    assert action is not None
    assert cautions[-1:] == action.find_all_previous("aside")[:1]
    assert [
        part for part in section.select("[data-before], [data-before] *") if part.has_attr("hidden")
    ] == []


@pytest.mark.parametrize("name", NAMES)
def test_fields_stand_in_their_groups_in_the_order_of_measuring(name: str, registers: Registers) -> None:
    """Each declared group is one fieldset under its heading, with its inputs in the declared order."""
    inputs = _run.schema(name)["inputs"]
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


def test_a_long_list_starts_short_and_is_whole_below(registers: Registers) -> None:
    """The example's curve shows at most 12 rows, from end to end; the whole curve is folded under them."""
    example = sheet("counterbalance", registers).select_one('[data-found="curve"]')
    assert example is not None
    short, whole = (
        [row.get_text("|") for row in table.select("tbody tr")] for table in example.select("table")
    )
    assert 2 < len(short) <= SHORT_ROWS < len(whole)
    assert (short[0], short[-1]) == (whole[0], whole[-1])
    assert [row for row in short if row not in whole] == []
    assert example.select_one("details > table") is not None


@pytest.mark.parametrize(
    ("name", "count", "places"),
    [
        ("curve", 12, list(range(12))),
        ("curve", 41, [*range(0, 40, 4), 40]),
        ("curve", 13, [0, 2, 4, 6, 8, 10, 12]),
        ("due", 14, list(range(12))),
        ("series", 14, list(range(2, 14))),
    ],
)
def test_which_rows_stand_open(name: str, count: int, places: list[int]) -> None:
    """A curve is thinned evenly with both ends, a history shows its end, a plan its beginning."""
    assert short_part(name, count) == places


def test_the_example_holds_the_whole_calendar(registers: Registers) -> None:
    """Without JavaScript the calendar can be read, line by line as the calculator wrote it."""
    text = sheet("service-plan", registers).select_one('[data-example] details > pre[data-found="calendar"]')
    assert text is not None
    written = json.loads(str(text["data-value"]))
    assert written.startswith("BEGIN:VCALENDAR\r\n")
    assert text.get_text().splitlines() == written.splitlines()


@pytest.mark.parametrize("name", NAMES)
def test_the_form_is_no_noise_in_the_search(name: str, registers: Registers) -> None:
    """Labels, help and empty answers are left out of the search; the question itself is found."""
    section = sheet(name, registers)
    left_out = section.select("[data-search-exclude]")
    assert {"form", "div"} <= {part.name for part in left_out}
    assert section.select("[data-search-exclude] h3") == []


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
    """Beside the stopwatch stand the definition of the fold time and the cycles that come before it."""
    watch = sheet("fold-time", registers).select_one("dialog[data-stopwatch]")
    assert watch is not None
    definition = watch.select_one("[data-term=fold-time]")
    assert definition is not None
    assert definition.get_text() == registers.terms["fold-time"].meaning
    assert watch.select_one('[data-figure="warm-up-cycles"]') is not None
    assert sheet("mainspring-plan", registers).select("dialog[data-stopwatch]") == []


def test_words_of_a_register_never_become_markup(registers: Registers) -> None:
    """A sentence with angle brackets is shown with them."""
    changed = dataclasses.replace(
        registers, words={**registers.words, "fold-time.title": "Is <b>it</b> & right?"}
    )
    heading = sheet("fold-time", changed).find("h3")
    assert heading is not None
    assert heading.get_text() == "Is <b>it</b> & right?"


@pytest.mark.parametrize(
    ("root", "href"), [(".", "figures.html"), ("..", "../figures.html"), ("../..", "../../figures.html")]
)
def test_links_lead_to_the_register_page_from_any_depth(root: str, href: str, registers: Registers) -> None:
    """Every link of a sheet is relative to the page it stands on."""
    links = sheet("fold-time", registers, root).select("a[href]")
    assert {str(link["href"]).partition("#")[0] for link in links} == {href}


def test_an_example_that_the_calculator_refuses_stops_the_page(registers: Registers) -> None:
    """Inputs out of range are never computed past; the message is the calculator's own."""
    with pytest.raises(ExampleRefused, match=r"^fold-time: .*0\.01 is outside what is allowed"):
        render("fold-time", with_broken_example(registers), root="..")


def with_broken_example(registers: Registers) -> Registers:
    """The registers with a run of 0.01 s in the worked example of fold-time."""
    text = """
inputs:
  runs_s: [0.01]
  window_low_s: 18
  window_high_s: 20
  timing_uncertainty_s: 0.1
  confidence: 0.95
table: {vary: nothing, rows: [], show: []}
"""
    nodes = {**registers.example_nodes, "fold-time": read_marked(text)}
    return dataclasses.replace(registers, example_nodes=nodes)


@pytest.mark.parametrize("name", NAMES)
def test_what_if_gives_no_order(name: str, registers: Registers) -> None:
    """Moved values are headed as not measured; no result that orders is there, nor a headline that may."""
    section = sheet(name, registers)
    part = section.select_one("details[data-part=what-if]")
    assert part is not None
    outputs = {output["name"]: output["kind"] for output in _run.schema(name)["outputs"]}
    shown = {str(place["data-what-if"]) for place in part.select("output[data-what-if]")}
    may_order = {"before_turning", "before_cycling"} & set(outputs)
    assert shown.isdisjoint(INSTRUCTIONS | {"reasons", "before_turning", "before_cycling"})
    assert ("headline" in shown) == (not may_order)
    assert {kind for result, kind in outputs.items() if result in shown} <= {*NUMBERS, "rows", "sentence"}
    assert part.select("output[data-field]") == []
    mark = part.select_one("[data-part=what-if-answer] > p")
    assert mark is not None
    assert mark.get_text() == "WHAT IF, NOT MEASURED"
    assert part.has_attr("hidden")

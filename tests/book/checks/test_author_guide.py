"""The author guide: what it tells authors to type works as written, and what it lists is all there is."""

from __future__ import annotations

import datetime
import re
import shlex
import shutil
from pathlib import Path

import pytest

from build_tools.blocks.blocks import BLOCK_NAMES
from build_tools.book.book import read_book
from build_tools.book.configuration import read_configuration
from build_tools.checks.all_checks import check_book
from build_tools.checks.prose import left_hints
from build_tools.commands import new
from build_tools.commands.verbs import VERBS
from build_tools.drawing.catalogue import NAMES as DRAWINGS
from build_tools.drawing.cycle import STATES
from build_tools.reading.pages import SHAPES
from build_tools.reading.problems import render
from build_tools.registers.sequence_shapes import (
    AROUND_SHAPE,
    AT_SHAPE,
    JOB_SHAPE,
    LISTED_SHAPE,
    SEQUENCE_SHAPE,
)
from build_tools.visits.jobs import visits_of
from calculators.answering import NAMES as CALCULATORS
from calculators.visit.derived.asks import ASKS

GUIDE = "content/author/author-guide.md"
COMMAND = re.compile(r"python3 -m build_tools ([^`\n]+)")
FENCED = re.compile(r"^```yaml\n(.*?)^```$", re.M | re.S)

WRITTEN = {
    "summary": "Wipe a wet lip before you time it.",
    "not-for": "This page is not for ice. See [when it is cold](../procedures/when-it-is-cold.md).",
    "second-step": "Wipe the lip from hinge to edge with a dry cloth.",
    "reason": "Water left there runs into the hinge.",
}
"""What an author writes over the hints of a new page."""


@pytest.fixture(scope="module")
def guide(project: Path) -> str:
    """The guide as it is written."""
    return (project / GUIDE).read_text(encoding="utf-8")


def section(guide: str, heading: str) -> str:
    """What stands under a heading, up to the next one of its rank or higher."""
    rank = heading.partition(" ")[0]
    found = re.search(rf"^{re.escape(heading)}\n(.*?)(?=^#{{1,{len(rank)}}} |\Z)", guide, re.M | re.S)
    assert found is not None, heading
    return found[1]


def first_column(table: str) -> set[str]:
    """The code in the first cell of each row."""
    return set(re.findall(r"^\| `([^`]+)` \|", table, re.M))


def test_every_command_is_a_verb_with_such_options(guide: str, project: Path) -> None:
    """A verb that the guide names is there, and each option of it stands in the verb's own file."""
    commands = [shlex.split(line) for line in COMMAND.findall(guide)]
    assert {words[0] for words in commands} == {"serve", "check", "new", "publish", "build", "carry"}

    for verb, *rest in commands:
        assert verb in VERBS
        told = (project / f"build_tools/commands/{verb}.py").read_text(encoding="utf-8")
        assert [word for word in rest if word.startswith("--") and f'"{word}"' not in told] == []


def test_its_lists_are_whole(guide: str) -> None:
    """Blocks, calculators, drawings, states and front matter keys: the guide has each."""
    assert [name for name in BLOCK_NAMES if f"/// {name}" not in guide] == []
    assert first_column(section(guide, "## Calculators")) == set(CALCULATORS)
    drawings = section(guide, "## Drawings and terms")
    assert first_column(drawings) == set(DRAWINGS)
    states = next(line for line in drawings.splitlines() if line.startswith("The states are"))
    assert set(re.findall(r"`([^`]+)`", states)) == set(STATES)
    top = section(guide, "## The top of a page")
    assert [key for key in SHAPES["procedure"] if not re.search(rf"\b{key}:", top)] == []


def test_it_knows_every_place(guide: str, project: Path) -> None:
    """The table of places names each folder and each register of the content, and all it names is there."""
    named = set(re.findall(r"`(content/[^`]+)`", section(guide, "## Where things are")))
    content = project / "content"
    folders = {f"content/{path.name}/" for path in content.iterdir() if path.is_dir()} - {
        "content/registers/",
        "content/author/",
    }
    registers = {f"content/registers/{path.name}" for path in (content / "registers").glob("*.yml")}
    made_later = "content/registers/withdrawn.yml"

    assert folders | registers <= named
    assert [path for path in named - {made_later} if not (project / path).exists()] == []


def test_it_has_every_setting(guide: str, project: Path) -> None:
    """Each key of mkdocs.yml stands in the one table, and the table has no other."""
    keys, _ = read_configuration(project)
    written = {
        name
        for key, node in keys.items()
        for name in ([f"{key}: {part}" for part in node.value] if isinstance(node.value, dict) else [key])
    }

    assert first_column(section(guide, "## The settings in mkdocs.yml")) == written


def test_what_it_says_of_visits_is_whole(guide: str) -> None:
    """Everything that a step can ask for, a job can have and a step can be told stands in the guide."""
    visits = section(guide, "## Visits")
    asked = section(guide, "### A mark of a step")
    assert [name for name in ASKS if f"`{name}`" not in asked] == []
    jobs, steps = section(guide, "### A job").split("| At a step | which says |")
    assert first_column(jobs) == {*JOB_SHAPE} - {"id"}
    assert first_column(steps) == {*AT_SHAPE}
    assert [key for key in (*SEQUENCE_SHAPE, *LISTED_SHAPE) if key not in visits] == []
    assert [
        key for key in AROUND_SHAPE if f"`{key}`" not in visits and key not in ("before", "after", "stop")
    ] == []


def test_the_sequence_of_the_guide_can_be_walked(guide: str, good_book: Path) -> None:
    """The jobs and the sequence that the guide writes out are a register without a mistake."""
    written = FENCED.findall(section(guide, "## Visits"))[0]
    (good_book / "content/registers/sequences.yml").write_text(written, encoding="utf-8")
    assert render(check_book(good_book)) == ""
    assert set(visits_of(read_book(good_book)[0]).sequences) == {"time-the-lip"}  # type: ignore[union-attr]


def test_a_hazard_inside_steps_as_the_guide_has_it(guide: str, good_book: Path) -> None:
    """The steps of the guide with a hazard between them are steps of a page without mistake or warning."""
    written = re.findall(r"^```\n(/// steps\n.*?)^```$", section(guide, "## Hazards"), re.M | re.S)[0]
    page = good_book / "content/procedures/time-the-lip.md"
    text = page.read_text(encoding="utf-8")
    ours = re.search(r"^/// steps\n.*?^///\n", text, re.M | re.S)
    assert ours is not None and ours[0] != written
    page.write_text(text.replace(ours[0], written), encoding="utf-8")

    assert render(check_book(good_book)) == ""
    steps = read_book(good_book)[0].pages["procedures/time-the-lip.md"].scan.steps
    assert [step.id for step in steps] == ["clear-the-lip", "let-the-lip-go", "do-it-again"]


def test_the_guide_says_how_a_check_is_recorded(guide: str) -> None:
    """The command and both limits that a safety figure needs stand under Figures."""
    told = section(guide, "## Figures")
    wanted = ("check --record lip-fold-time --by", "`plausible_low`", "`plausible_high`", "where it has none")
    assert [words for words in wanted if words not in told] == []


def test_a_new_page_as_the_guide_has_it(guide: str, project: Path, tmp_path: Path) -> None:
    """Whoever follows "A new page in ten minutes" to the letter has a book without mistake or warning."""
    book = tmp_path / "project"
    shutil.copytree(project / "content", book / "content")
    told = section(guide, "## A new page in ten minutes")
    _, title, _, folder = shlex.split(COMMAND.findall(section(guide, "### 1. Begin it"))[0])
    menu_line, figure, term = FENCED.findall(told)
    menu = (project / "mkdocs.yml").read_text(encoding="utf-8")
    last = "      - adjust/look-after-the-toe-guards.md\n"
    assert menu.count(last) == 1
    (book / "mkdocs.yml").write_text(menu.replace(last, last + menu_line), encoding="utf-8")

    page = new.begin(read_book(book)[0], title, folder=folder, today=datetime.date(2026, 11, 25))
    assert f"`{page.relative_to(book).as_posix()}`" in told
    text = re.sub(r"^takes: .*$", "takes: takes-wiping", page.read_text(encoding="utf-8"), flags=re.M)
    page.write_text(text, encoding="utf-8")
    begun = read_book(book)[0]
    assert len(left_hints(begun, begun.pages["adjust/wipe-the-lip-dry.md"])) == len(WRITTEN)
    for code, words in WRITTEN.items():
        text = text.replace(begun.registers.words[f"book.new.{code}"], words)
    page.write_text(text, encoding="utf-8")
    for register, row in (("figures", figure), ("terms", term)):
        with (book / f"content/registers/{register}.yml").open("a", encoding="utf-8") as file:
            file.write(row)

    assert render(check_book(book)) == ""

"""The method of a calculator: everything its docstrings and its declaration say, and nothing typed again."""

from __future__ import annotations

import inspect
import re
from types import ModuleType

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.registers.registers import Registers
from build_tools.sheets.given import asked
from build_tools.sheets.method import FormulaLine, MethodMissing, method_of
from build_tools.sheets.method_section import method_section
from build_tools.sheets.section import render
from build_tools.shown.sheet_words import SheetWords
from calculators import answering
from calculators.shared.fields import Field

GREEK = {"ν": "nu", "π": "pi", "χ": "chi", "Σ": "sum", "√": "sqrt", "−": "-", "∓": "-/+"}
NO_SPACE = re.compile(r"[\s^]+")


@pytest.fixture(params=answering.NAMES, scope="module")
def name(request: pytest.FixtureRequest) -> str:
    """Each calculator's name."""
    return str(request.param)


@pytest.fixture(scope="module")
def section(name: str, registers: Registers) -> Tag:
    """The method of one calculator as HTML."""
    html = str(method_section(SheetWords(name, registers, "..")))
    return BeautifulSoup(html, "html.parser").find("details")  # type: ignore[return-value]


def bare(text: str) -> str:
    """A text without spaces and the characters of powers, its letters as a docstring has them."""
    for sign, plain in GREEK.items():
        text = text.replace(sign, plain)
    return NO_SPACE.sub("", text)


def test_every_sentence_of_the_docstring_is_there(name: str, section: Tag) -> None:
    """Question, text, formulas, limits and source are in the method word for word, in their order."""
    docstring = inspect.getdoc(answering.module(name)) or ""
    told = re.sub(r"^(Limits|Source): +(\w)", lambda found: found[2].upper(), docstring, flags=re.MULTILINE)
    shown = "".join(part.get_text() for part in section.select("p"))
    assert bare(shown).startswith(bare(told))


def test_limits_source_and_example_have_places_of_their_own(name: str, section: Tag) -> None:
    """Each is found by its attribute and begins as its docstring; the example holds no Python."""
    module = answering.module(name)
    for mark, docstring in (("limits", module.__doc__), ("source", module.__doc__)):
        first = str(docstring).partition(f"{mark.title()}: ")[2].split()[0]
        assert section.select_one(f"[data-method={mark}]").get_text().lower().startswith(first.lower())
    example = section.select_one("[data-method=example]").get_text()
    assert len(example) > 20
    assert ">>>" not in example


def test_every_input_and_result_is_listed(name: str, section: Tag, registers: Registers) -> None:
    """One row for each input and result, columns of lists included, with wire name, help and range."""
    module = answering.module(name)
    rows = {str(row["data-method-row"]): row.get_text(" ") for row in section.select("tr[data-method-row]")}
    assert list(rows) == paths(asked(module.INPUTS)) + paths(module.OUTPUTS)
    for field in asked(module.INPUTS):
        assert SheetWords(name, registers, "..").help(field, field.name) in rows[field.name]
        if field.kind in ("number", "whole") and field.low is not None:
            assert plain(field.low) in rows[field.name] and plain(field.high) in rows[field.name]
    codes = ["".join(code.get_text().split()) for code in section.select("tr th code")]
    assert codes == [path.rpartition(".")[2] for path in rows]


def paths(fields: tuple[Field, ...], at: str = "") -> list[str]:
    """The paths of fields and their columns."""
    return [
        path for field in fields for path in (at + field.name, *paths(field.fields, f"{at}{field.name}."))
    ]


def plain(limit: float | None) -> str:
    """A limit as it is written, without an exponent."""
    return f"{limit:.6f}".rstrip("0").rstrip(".").replace("-", "−")


def test_the_method_is_folded_and_last_on_the_sheet(name: str, registers: Registers) -> None:
    """On the work sheet it is folded below everything else, and the search leaves it out."""
    sheet = BeautifulSoup(render(name, registers, root=".."), "html.parser").find("section")
    method = sheet.select_one("details[data-part=method]")
    assert method.find_next_sibling() is None
    assert not method.has_attr("open")
    assert method.has_attr("data-search-exclude")


def written(docstring: str, example: str = "By hand: 1.\n\n    >>> 1\n    1") -> ModuleType:
    """A module of a docstring, whose calculate() has an example."""
    module = ModuleType("calculators.made_up")
    module.__doc__ = docstring

    def calculate() -> None:
        """Nothing."""

    calculate.__doc__ = f"Work it out.\n\nExample:\n    {example}\n"
    module.calculate = calculate  # type: ignore[attr-defined]
    return module


WHOLE = """Is it so?

So it is found:

    u^2 = a/b + c     which is kept, for b = 1 too     v = 2
    too low     rises short

Then this.

Limits: nothing
else.

Nor that.

Source: by hand.
"""


NEEDS_BOTH = "needs 'Limits:' and then 'Source:', once each"
NEEDS_EXAMPLE = "calculate.. needs an Example with prose and a worked answer"


def test_a_docstring_is_taken_apart() -> None:
    """Paragraphs flow, formulas keep their lines, pieces further right are apart."""
    method = method_of(written(WHOLE))
    assert method.question == "Is it so?"
    assert [part.text for part in method.parts] == ["So it is found:", "", "Then this."]
    assert method.parts[1].formula == (
        FormulaLine("u^2 = a/b + c", ("which is kept, for b = 1 too", "v = 2")),
        FormulaLine("too low", ("rises short",)),
    )
    assert (method.limits, method.source) == ("Nothing else. Nor that.", "By hand.")
    assert method.example == "By hand: 1."


@pytest.mark.parametrize(
    ("module", "told"),
    [
        (written(""), "calculators.made_up: there is no docstring"),
        (written(WHOLE.replace("Limits:", "Bounds:")), NEEDS_BOTH),
        (written(WHOLE.replace("Source:", "From:")), NEEDS_BOTH),
        (written(WHOLE + "\n\nLimits: again."), NEEDS_BOTH),
        (written(WHOLE, example=">>> 1"), NEEDS_EXAMPLE),
        (written(WHOLE, example="By hand: 1."), NEEDS_EXAMPLE),
    ],
)
def test_a_missing_part_is_named(module: ModuleType, told: str) -> None:
    """A docstring without question, limits, source or a checked example stops with what is missing where."""
    with pytest.raises(MethodMissing, match=told):
        method_of(module)


def test_a_docstring_never_becomes_markup(registers: Registers, monkeypatch: pytest.MonkeyPatch) -> None:
    """Angle brackets of a formula are text; powers alone are set above the line."""
    module = answering.module("fold-time")
    monkeypatch.setattr(module, "__doc__", WHOLE.replace("a/b", "<b>a^10</b>"))
    html = str(method_section(SheetWords("fold-time", registers, "..")))
    assert "u<sup>2</sup> = &lt;b&gt;a<sup>10</sup>&lt;/b&gt; + c" in html
    assert "<b>" not in html

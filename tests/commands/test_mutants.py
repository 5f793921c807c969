"""The run of mutants: what it mutates, how it names a change, and what it says without mutmut."""

from __future__ import annotations

import importlib.util

import pytest

from build_tools.commands.faults import Fault
from build_tools.commands.mutant_source import Mutant, mutated_file, shortened, with_plain_methods
from build_tools.commands.mutants import NOT_MUTATED, chosen_sources, explained, is_chosen, report, sources


def test_every_module_of_the_calculators_is_mutated(project: object) -> None:
    """All but the command and the empty package, by the names that an import has."""
    found = sources()
    assert set(NOT_MUTATED).isdisjoint(found)
    assert {"calculators.fold_time", "calculators._svg", "calculators._working_lines"} <= set(found)
    assert [name for name, path in found.items() if path.stem != name.partition(".")[2]] == []


def test_modules_and_single_mutants_are_chosen_by_name() -> None:
    """A module stands for all its mutants, a mutant for itself, and no word for everything."""
    one, other = (Mutant("calculators._coil", f"x_f__mutmut_{i}") for i in (1, 2))
    assert list(chosen_sources(["fold_time", "_coil.x_f__mutmut_1"])) == [
        "calculators._coil", "calculators.fold_time"]
    assert chosen_sources([]) == sources()
    assert [is_chosen(each, ["_coil.x_f__mutmut_1"]) for each in (one, other)] == [True, False]
    assert is_chosen(one, ["_coil"]) and is_chosen(one, []) and not is_chosen(one, ["fold_time"])
    with pytest.raises(Fault, match=r"^calculators/ has no module foldtime\."):
        chosen_sources(["foldtime"])


@pytest.mark.skipif(importlib.util.find_spec("mutmut") is not None, reason="mutmut is in .venv")
def test_without_mutmut_one_line_says_how_to_get_it() -> None:
    """It is not among the locked requirements, so its absence is no surprise."""
    with pytest.raises(Fault, match=r"^mutmut is not in \.venv") as caught:
        mutated_file(sources()["calculators._coil"])
    assert "pip install --no-deps --target FOLDER mutmut libcst" in caught.value.fix


def test_properties_are_mutated_as_methods() -> None:
    """What mutmut would pass over becomes a property after its class, on the same lines."""
    lines = ["class Coil:", "    @property", "    def rate(self):", "        return 1"]
    text = "\n".join([*lines, "", "    def force(self):", "        return 2", ""])
    changed = with_plain_methods(text)
    assert changed.splitlines()[:7] == text.replace("    @property", "").splitlines()
    names: dict[str, type] = {}
    exec(changed, names)
    assert (names["Coil"]().rate, names["Coil"]().force()) == (1, 2)


def test_a_change_is_shown_with_a_little_about_it() -> None:
    """Long lines are cut to what differs; nothing is said twice of what was left out."""
    before = "return some_long_name(first, second) + another_name(third, fourth)"
    shown = "ong_name(first, second) + another_name(third, fou"
    assert shortened(before, before.replace(" + ", " - ")) == (shown, shown.replace(" + ", " - "))
    assert shortened("a + b", "a - b") == ("a + b", "a - b")


def test_the_table_counts_what_was_tried() -> None:
    """A time limit counts as found; what runs only while a module is read is counted apart."""
    verdicts = ["killed", "timeout", "survived", "no test", "at import"]
    tried = {Mutant("calculators._coil", f"x_f__mutmut_{i}"): verdict for i, verdict in enumerate(verdicts)}
    table = report(tried, "mutmut 0")
    assert "| _coil | 4 | 2 | 50.0 |\n| all | 4 | 2 | 50.0 |" in table
    assert "\n1 more stand in functions" in table


def test_reasons_are_read_by_name() -> None:
    """A name in backticks explains its mutant, methods included; other words do not."""
    text = "- `fold_time.x_calculate__mutmut_3`: `a` becomes `b`\n- `_coil.xǁCoilǁshear_stress__mutmut_1`\n"
    assert explained(text) == {"fold_time.x_calculate__mutmut_3", "_coil.xǁCoilǁshear_stress__mutmut_1"}

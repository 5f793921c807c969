"""What is too long to be said whole is cut, and a fault without a trace still has a report code."""

from __future__ import annotations

from calculators.answering import fault_report
from tests.calculators.asking import ask


def test_a_report_code_has_the_name_the_kind_of_fault_and_its_place() -> None:
    """A name longer than 40 characters is cut; a fault that was never raised has no place."""
    assert fault_report(ValueError("told to nobody"), "x" * 50) == "x" * 40 + "-ValueError-unknown"
    try:
        raise KeyError("told to nobody")
    except KeyError as fault:
        code, _, line = fault_report(fault, "fold-time").rpartition("-")
    assert code.startswith("fold-time-KeyError-")
    assert line.isdigit()


def test_names_that_nobody_knows_are_said_to_80_signs() -> None:
    """Of a calculator or an input with an endless name, the first 80 characters are enough to know it by."""
    for answer in (ask("z" * 100, {}), ask("fold-time", {"z" * 100: 1})):
        said = " ".join(error["message"] for error in answer["errors"])
        assert f" {'z' * 80}." in said

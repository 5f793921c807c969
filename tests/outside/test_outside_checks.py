"""Every value that the page "What this book was checked against" shows, asserted from the same data."""

from __future__ import annotations

import dataclasses
import math

import pytest

from build_tools.made_pages.outside_values import (
    PROVENANCES,
    CheckRefused,
    OutsideCheck,
    Value,
    our_value,
    read_checks,
)
from build_tools.places import PROJECT
from build_tools.registers.registers import load_registers

REGISTERS = load_registers(PROJECT / "content/registers")[0]
PITCHES = {id_: thread.pitch_m for id_, thread in REGISTERS.threads.items()}
CHECKS = read_checks()


def ours(check: OutsideCheck) -> Value:
    """What our code gives where a check says how to ask it."""
    return our_value(check, words=REGISTERS.words, pitches_m=PITCHES)


@pytest.mark.parametrize("check", CHECKS, ids=[check.id for check in CHECKS])
def test_printed_value(check: OutsideCheck) -> None:
    """Our code gives what the source prints, to the digits that it prints."""
    found = ours(check)
    if check.unit == "date":
        assert found == check.wanted
    else:
        assert found == pytest.approx(check.wanted, abs=check.tolerance, rel=0)
    assert check.agrees(found)


def test_every_check_names_its_source() -> None:
    """A check without a source, a clause or a mark could be anybody's number; each has an id of its own."""
    assert [check.id for check in CHECKS if not (check.what and check.source and check.clause)] == []
    assert {check.provenance for check in CHECKS} <= set(PROVENANCES)
    assert len({check.id for check in CHECKS}) == len(CHECKS)


def test_there_are_enough_of_them() -> None:
    """At least 40 values from at least 10 sources that somebody published, and not all of one subject."""
    published = [check for check in CHECKS if check.provenance != "computed"]
    assert len(published) >= 40
    assert len({check.source for check in published}) >= 10
    subjects = {check.subject for check in CHECKS}
    assert subjects == {"calendar", "fold_time", "mechanics", "statistics", "trend"}


def test_a_tolerance_is_no_wider_than_the_printed_digits_need() -> None:
    """Ours keeps a wrong digit out: ten times the tolerance is never as large as the value, 0 aside."""
    wide = [
        check.id
        for check in CHECKS
        if isinstance(check.expected, float) and 10 * check.tolerance > abs(check.expected) != 0
    ]
    assert wide == []


@pytest.mark.parametrize("check", CHECKS, ids=[check.id for check in CHECKS])
def test_a_wrong_printed_value_would_be_seen(check: OutsideCheck) -> None:
    """A value off by twice what the digits leave open, or one day more, does not agree with ours."""
    if check.unit == "date":
        wrong: Value = (*(str(day) for day in check.wanted), "2099-01-01")  # type: ignore[union-attr]
    elif isinstance(check.expected, tuple):
        wrong = (*check.expected[:-1], float(check.expected[-1]) + 2 * check.tolerance)
    else:
        wrong = check.expected + 2 * check.tolerance + math.ulp(check.expected)
    changed = dataclasses.replace(check, expected=wrong)
    assert not changed.agrees(ours(check))


def test_lists_of_unlike_lengths_never_agree() -> None:
    """A value more or less than printed is no small difference."""
    check = next(check for check in CHECKS if check.id == "student-1")
    assert not check.agrees((6.314, 12.706, 31.821))


def test_a_refused_question_is_told_with_its_check() -> None:
    """Where a calculator does not take the inputs, the message names the check and the reason."""
    check = next(check for check in CHECKS if check.id == "spring-rate-two-points")
    how = {**check.how, "input": {"points": [{"length_m": 0.25, "force_n": 100}]}}
    with pytest.raises(CheckRefused, match="'spring-rate-two-points': spring-rate refuses it: Measured"):
        ours(dataclasses.replace(check, how=how))
    with pytest.raises(CheckRefused, match="no number at headline"):
        ours(dataclasses.replace(check, how={**check.how, "result": "headline"}))
    with pytest.raises(CheckRefused, match="asks nothing that is known"):
        ours(dataclasses.replace(check, how={"guess": 1}))

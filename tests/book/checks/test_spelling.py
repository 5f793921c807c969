"""Which dictionary checks a language."""

from __future__ import annotations

from build_tools.checks.spelling import dictionary_of


def test_a_region_takes_the_dictionary_of_its_language() -> None:
    """US English is English; a language without a dictionary that can be trusted has none."""
    assert dictionary_of("en-US") == "en"
    assert dictionary_of("es") is None

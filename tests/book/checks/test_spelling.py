"""The word list of a language, read from the library's file without the library."""

from __future__ import annotations

from spellchecker import SpellChecker

from build_tools.checks.spelling import CHECKED, dictionary_of


def test_the_word_list_is_the_librarys() -> None:
    """The words read from the library's file as it is are those that the library itself knows."""
    for language in CHECKED:
        found = dictionary_of(language)
        assert found is not None
        assert found.words == SpellChecker(language=language).word_frequency.dictionary.keys()


def test_a_region_takes_the_list_of_its_language() -> None:
    """US English is English; a language without a list that can be trusted has none."""
    assert dictionary_of("en-US") is not None
    assert dictionary_of("es") is None

"""Sentences as the author's checks see them: whole, without Markdown's characters, each on its line."""

from __future__ import annotations

import pytest

from build_tools.checks.prose import _second_action
from build_tools.reading.lines import scan
from build_tools.reading.prose import passages, sentences
from build_tools.registers.plain_words import PlainWords

PAGE = """\
---
title: A page
---

# A heading

One sentence. It may take 1.5 s, or {{ a-figure }}!
The third goes on
over two lines (see [the page](other.md)).

/// hazard | lip-path
///

/// steps
1. Pull the **ring**. {#pull}
    Why it is so.
    And how.
2. Let go. {#let-go}
///

- An item: `code. Not a sentence.` is one.

| What | How long is it? |
| --- | --- |
| The ring | A while. |

```
Not. A. Sentence.
```

<!-- nor this. -->
"""


def test_passages_of_a_page() -> None:
    """Steps, notes, paragraphs, items, cells and headings come in order; code, blocks and comments do not."""
    found = [
        (passage.kind, [(sentence.line, sentence.text) for sentence in passage.sentences])
        for passage in passages(scan(PAGE))
    ]

    assert found == [
        ("heading", [(5, "A heading")]),
        (
            "paragraph",
            [
                (7, "One sentence."),
                (7, "It may take 1.5 s, or {{ a-figure }}!"),
                (8, "The third goes on over two lines (see the page)."),
            ],
        ),
        ("step", [(15, "Pull the ring.")]),
        ("note", [(16, "Why it is so."), (17, "And how.")]),
        ("step", [(18, "Let go.")]),
        ("item", [(21, "An item: `code. Not a sentence.` is one.")]),
        ("cell", [(23, "What")]),
        ("cell", [(23, "How long is it?")]),
        ("cell", [(25, "The ring")]),
        ("cell", [(25, "A while.")]),
    ]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Give the nut a half-turn, don't force it.", 8),
        ("It takes {{ a-figure }} or 1.5 to 2.", 7),
        ("Run `python3 -m build_tools check` now.", 2),
        ("", 0),
    ],
)
def test_words_are_counted_as_a_reader_does(text: str, count: int) -> None:
    """A hyphenated word, a number and a figure are one word each; code is none."""
    found = sentences(text)

    assert sum(sentence.word_count() for sentence in found) == count


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("Pull the ring and lock the platform.", "lock"),
        ("Pull the ring, then walk it down.", "walk"),
        ("Pull the ring; lock it.", "lock"),
        ("If the lip hangs, pull the ring and lock it.", "lock"),
        ("Pull the ring and hold it.", None),
        ("Pull the ring and lock it at the same time.", None),
        ("While you walk, pull the ring and lock it.", None),
        ("Take the lock and pull.", None),
        ("The lock and pull of it count.", None),
        ("Pull the ring and walk-down chain.", None),
        ("If it drags, pull the ring.", None),
    ],
)
def test_a_second_action_is_found_where_it_is_one(text: str, second: str | None) -> None:
    """Two verbs joined are two actions, unless the second holds on, goes together, or is no verb at all."""
    plain = PlainWords(actions=frozenset({"pull", "lock", "walk"}), together=("while", "at the same time"))

    assert _second_action(text, plain) == second

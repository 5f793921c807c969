"""What the line scanner finds in a raw source, and what it must not see."""

from __future__ import annotations

import pytest

from build_tools.checks.figures import bare_figures
from build_tools.reading.lines import Block, FigureUse, Heading, Link, Step, scan
from build_tools.reading.stamps import expected_stamps, stamped_body
from build_tools.reading.step_marks import StepMark

SOURCE = """\
---
summary: Against {{ lip-fold-time }}
---

# Time it

/// steps
1. Look. {#look}
    More words.

    /// hazard | lip-path
    ///

2. Go.
///

See [the page](other.md#part) and ![a lip](lip.png "big").

```text
/// hazard | not-this
{{ nor-this }}
```

Write `{{ nor-that }}` for {{ timing-runs.value }}.
<!-- {{ nor-in-comments }} -->

    {{ nor-in-indented-code }}
"""


def test_blocks_are_found_with_their_ends_and_depths() -> None:
    """Blocks inside blocks are told apart though both have three slashes; blocks in code are not blocks."""
    assert scan(SOURCE).blocks == (Block("steps", "", 7, 15, 0), Block("hazard", "lip-path", 11, 12, 1))


def test_figures_are_found_in_front_matter_and_text_alone() -> None:
    """Figure uses count from the first line of the file; code and comments hold none."""
    assert scan(SOURCE).figure_uses == (
        FigureUse("lip-fold-time", "", 2),
        FigureUse("timing-runs", "value", 24),
    )


def test_steps_links_and_headings_are_found() -> None:
    """Steps have their id or None; links and images their text and target."""
    found = scan(SOURCE)

    assert found.steps == (
        Step("look", "Look.", 8, 7, StepMark("look")),
        Step(None, "Go.", 14, 7, StepMark("")),
    )
    assert found.links == (Link("other.md#part", "the page", False, 17), Link("lip.png", "a lip", True, 17))
    assert found.headings == (Heading(1, "Time it", 5),)


def test_a_block_without_an_end_and_an_end_without_a_block() -> None:
    """An open block has no end; slashes that close nothing are kept with their line."""
    found = scan("/// steps\n1. A\n\n////\n")

    assert found.blocks == (Block("steps", "", 1, None, 0),)
    assert found.stray_ends == (4,)


def test_an_outer_end_closes_an_inner_block_left_open() -> None:
    """The end of an outer block with four slashes leaves an inner one with three without an end."""
    assert scan("//// steps\n/// hazard | a\n////\n").blocks == (
        Block("steps", "", 1, 3, 0),
        Block("hazard", "a", 2, None, 1),
    )


def test_front_matter_may_be_missing_or_never_end() -> None:
    """A file without dashes has no front matter; one whose dashes never close is all front matter."""
    assert (scan("# A\n").front_matter, scan("# A\n").body_line) == (None, 1)
    assert scan("---\ntitle: A\n").front_matter == "title: A\n"


def test_windows_line_ends_and_a_byte_order_mark_change_no_line() -> None:
    """Line numbers are the same whatever an editor puts at the ends of lines."""
    assert scan("\ufeff" + SOURCE.replace("\n", "\r\n")).steps == scan(SOURCE).steps


def test_links_of_every_form_are_found() -> None:
    """Reference links, HTML links and HTML images count, links in code do not."""
    text = '[a][b]\n\n[b]: other.md\n\n<a href="x.md">x</a> <img src="y.png" alt="y"> `[no](no.md)`\n'

    assert [(link.target, link.line) for link in scan(text).links] == [
        ("other.md", 3),
        ("x.md", 5),
        ("y.png", 5),
    ]


def test_stamping_writes_lines_and_more_slashes_outside() -> None:
    """Each block, figure and step carries its line; an outer block gets more slashes than an inner one."""
    assert stamped_body(scan(SOURCE)).split("\n")[3:12] == [
        "//// steps | @7",
        "1. Look. {#look @8}",
        "    More words.",
        "",
        "    /// hazard | lip-path @11",
        "    ///",
        "",
        "2. Go.",
        "////",
    ]
    assert expected_stamps(scan(SOURCE)) == {
        ("block", 7): "the steps block",
        ("block", 11): "the hazard block",
        ("figure", 24): "the figure 'timing-runs'",
        ("step", 8): "the step 'look'",
    }


@pytest.mark.parametrize(
    "text",
    [
        "18 s",
        "18 to 20 s",
        "18-20 s",
        "18 \u2013 20 sec",
        "2.5 seconds",
        "2,5 min",
        "30 minutes",
        "4 mm",
        "10 cm",
        "3 m",
        "2 ft",
        "1/2 inch",
        "6 in.",
        "250 N",
        "20 kg",
        "40 lb",
        "40 lbf",
        "90 psi",
        "15 %",
        "15%",
        "45 degrees",
        "45°",
        "1 half turn",
        "2 half-turns",
        "½ turn",
        "3 turns",
        "2 cycles",
        "1 day",
        "2 weeks",
        "3 months",
        "1 year",
        "5-day",
        "3 to 4 years",
        "between 5 and 6 months",
    ],
)
def test_a_number_with_a_unit_is_a_bare_figure(text: str) -> None:
    """Every unit the trade writes is seen, in ranges, with hyphens and without a space."""
    assert len(list(bare_figures(f"Wait {text} here."))) == 1


@pytest.mark.parametrize(
    "text",
    [
        "step 3 in this list",
        "door 12",
        "555-0142",
        "half a turn",
        "{{ lip-fold-time }} s",
        "[18 s](x.md)",
        "[this](page-18-s.md)",
        "29 CFR 1910.147",
        "2026-11-24",
        "Go on. {#wait-18-s}",
        "version 3.2 months",
        "B2 springs",
        "12 o'clock",
        "one of 3 settings",
    ],
)
def test_other_numbers_are_no_bare_figure(text: str) -> None:
    """Numbers without a unit, dates, links, step ids and figures from the register are left alone."""
    expected = 1 if text.startswith("version") else 0  # a version number beside a unit cannot be told apart

    assert len(list(bare_figures(text))) == expected

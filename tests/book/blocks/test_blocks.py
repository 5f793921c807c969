"""How blocks and figures come out, in a small book built with the real plugin."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.site.building import build_book

EVERY_PLACE = """\
---
title: Every place for {{ lip-fold-time }}
kind: guide
summary: Not under {{ lip-fold-time.low }}.
revised: 2026-11-26
review_by: 2027-05-24
---

# Every place for {{ lip-fold-time }}

It is not for a phone.

- In a list {{ timing-runs }}
- [In a link of {{ timing-runs }}](why.md)

| A | {{ timing-runs }} |
| --- | --- |
| **{{ lip-fold-time.high }}** | `{{ not-one }}` |

1. An ordinary list
"""


@pytest.fixture(scope="module")
def small_site(tmp_path_factory: pytest.TempPathFactory, copy_of_good_book: Callable[[Path], Path]) -> Path:
    """The good book and one more page, built."""
    folder = tmp_path_factory.mktemp("small")
    book = copy_of_good_book(folder / "book")
    (book / "content/learn/every-place.md").write_text(EVERY_PLACE, encoding="utf-8")
    return build_book(book, folder / "site").folder


def _page(site: Path, name: str) -> BeautifulSoup:
    return BeautifulSoup((site / name).read_text(encoding="utf-8"), "html.parser")


def _one(within: BeautifulSoup | Tag, selector: str) -> Tag:
    found = within.select(selector)
    assert len(found) == 1, f"{selector} stands {len(found)} times"
    return found[0]


def test_a_hazard_has_its_three_parts_and_an_anchor(small_site: Path) -> None:
    """Signal word and title, what can happen, how to avoid it, in this order; figures in them are marked."""
    hazard = _one(_page(small_site, "procedures/time-the-lip.html"), ".ht-steps aside[data-hazard=lip-path]")

    assert (hazard["data-signal"], hazard["id"], hazard["role"]) == ("WARNING", "hazard-lip-path", "note")
    assert [part.get_text() for part in hazard.find_all("p", recursive=False)] == [
        "WARNING Lip swings and drops",
        "The lip swings through in 18 to 20 s○ (common practice, no source) or less.",
        "Keep every foot and hand out of its path.",
    ]
    assert _one(hazard, "span[data-figure]")["data-figure"] == "lip-fold-time"


def test_a_hazard_may_stand_inside_a_step(small_site: Path) -> None:
    """A hazard block in a list item stays in that step, and the next step is still one of the same list."""
    page = _page(small_site, "procedures/time-the-lip.html")
    steps = page.select("ol.steps")[0].find_all("li", recursive=False)

    assert [step["data-step"] for step in steps] == ["clear-the-lip", "let-the-lip-go"]
    assert _one(steps[0], "aside")["data-hazard"] == "lip-path"


def test_numbers_run_on_over_several_blocks(small_site: Path) -> None:
    """The steps of a page are counted once, whatever is between its blocks."""
    page = _page(small_site, "procedures/time-the-lip.html")

    assert [steps["start"] for steps in page.select("ol.steps")] == ["1", "3"]
    assert [step["data-number"] for step in page.select("ol.steps > li")] == ["1", "2", "3"]


def test_a_step_can_be_ticked_without_javascript(small_site: Path) -> None:
    """Each step has a checkbox of its own, named by the step's id and read out with its number."""
    step = _one(_page(small_site, "procedures/time-the-lip.html"), "li[data-step=do-it-again]")
    tick = _one(step, "label.ht-tick input")

    assert (step["id"], tick["type"], tick["name"]) == ("do-it-again", "checkbox", "do-it-again")
    assert _one(step, "label.ht-tick").get_text() == "Step 3 done"
    assert "{#" not in step.get_text()


def test_an_ordinary_numbered_list_is_left_alone(small_site: Path) -> None:
    """Only a list in a steps block becomes steps."""
    page = _page(small_site, "learn/every-place.html")

    assert page.select("ol.steps, input[type=checkbox][name]") == []
    assert _one(page, "article ol").get_text().strip() == "An ordinary list"


def test_figures_work_in_lists_links_tables_and_headings(small_site: Path) -> None:
    """A figure is marked wherever it is; in headings and links it has no link of its own."""
    article = _one(_page(small_site, "learn/every-place.html"), "article")
    figures = {
        str(span.parent.name if span.parent else ""): (span["data-figure"], span["data-basis"])
        for span in article.select("span[data-figure]")
    }

    assert figures == {
        "h1": ("lip-fold-time", "common practice"),
        "li": ("timing-runs", "company"),
        "a": ("timing-runs", "company"),
        "th": ("timing-runs", "company"),
        "strong": ("lip-fold-time", "common practice"),
    }
    assert _one(article, "td strong span a")["href"] == "../figures.html#figure-lip-fold-time"
    assert article.select("h1 a[href*=figure-], a a") == []
    assert _one(article, "td code").get_text() == "{{ not-one }}"


def test_figures_in_front_matter_become_plain_text(small_site: Path) -> None:
    """Title, menu and description show the figure, not the braces."""
    page = _page(small_site, "learn/every-place.html")

    assert _one(page, "title").get_text() == "Every place for 18 to 20 s - A small handbook"
    assert _one(page, "meta[name=description]")["content"] == "Not under 18 s."


def test_the_facts_of_a_procedure_stand_under_its_title(small_site: Path) -> None:
    """Who, time, tools and hazards, each hazard linked to where it is, then the caution to defer."""
    page = _page(small_site, "procedures/time-the-lip.html")
    title = _one(page, "article h1")
    facts = title.find_next_sibling()
    assert isinstance(facts, Tag)

    assert [fact["data-fact"] for fact in facts.select("[data-fact]")] == ["who", "takes", "tools", "hazards"]
    assert [link["href"] for link in facts.select("[data-fact=hazards] a")] == [
        "#hazard-people-clear",
        "#hazard-lip-path",
    ]
    assert _one(facts, "[data-fact=takes] span[data-figure]")["data-figure"] == "takes-timing"
    following = facts.find_next_sibling()
    assert isinstance(following, Tag)
    assert following["data-caution"] == "defer"


def test_every_page_says_when_it_was_revised(small_site: Path) -> None:
    """The foot of a page has its dates, as text and as data for the phone's own notice."""
    dates = _one(_page(small_site, "learn/why.html"), "[data-revised]")

    assert (dates["data-revised"], dates["data-review-by"]) == ("2026-11-23", "2027-05-24")
    assert dates.get_text() == "Revised 2026-11-23. To be reviewed by 2027-05-24."


def test_the_browser_is_told_root_and_state(small_site: Path) -> None:
    """Each page names the site's root from where it is, and that nothing runs and nothing is kept yet."""
    for name, root in (("index.html", "."), ("learn/why.html", "..")):
        html = _one(_page(small_site, name), "html")
        assert (html["data-root"], html["data-runtime"], html["data-offline"]) == (root, "absent", "none")
        assert not html.has_attr("data-preview")


def test_no_stamp_and_no_slashes_are_left(small_site: Path) -> None:
    """Line stamps, block slashes and figure braces never reach a reader."""
    for page in small_site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert re.findall(r"data-stamp|\{#|/// |@\d+ *\}|\{\{(?! not-)", text) == [], page.name


def test_registers_are_not_published_as_files(small_site: Path) -> None:
    """The YAML of the registers stays at the office."""
    assert [path.name for path in small_site.rglob("*.yml")] == []
    assert not (small_site / "registers").exists()


def test_a_technicians_own_words_lead_to_the_term(small_site: Path) -> None:
    """Search finds a term by what people type, and by its anchor; ticks and symbols are not searched."""
    index = json.loads((small_site / "search/search_index.json").read_text(encoding="utf-8"))
    texts = {entry["location"]: entry["text"] for entry in index["docs"]}

    assert "lip drops fast" in texts["figures.html#term-fold-time"]
    assert "Step 1 done" not in str(texts)
    assert "common practice, no source)" not in texts["procedures/time-the-lip.html"]


def test_a_leveler_class_shows_its_figures_as_the_calculators_name_them(small_site: Path) -> None:
    """A figure of a leveler class has its label, its unit, its basis and where it is written."""
    page = _page(small_site, "figures.html")
    row = _one(page, "section.ht-row:has(> #equipment-practice-leveler)")

    assert _one(row, "li").get_text().endswith(": 17 s■ (owner's manual), invented manual, page 14")
    assert "right-hand thread, seen from the nut end. The spring gets longer." in row.get_text()

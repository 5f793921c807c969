"""The real book as it is deployed: figures, hazards, cautions, worked answers, nothing from outside."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.blocks.rendering import render_pages
from build_tools.book.book import MADE_PAGES, Book, read_book
from build_tools.book.needed_words import LIST
from build_tools.checks.figures import bare_figures
from build_tools.made_pages.built_with import VENDOR
from build_tools.reading.pages import address_of
from build_tools.registers.figures import Figure
from build_tools.registers.registers import Registers
from build_tools.registers.rows import SIGNALS
from build_tools.sheets.given import given
from calculators import answering
from calculators.answering import run

NOT_PROSE = "section[data-calculator], span[data-figure], script, style, nav, code, a"
"""Where a number with a unit may stand on a procedure's page."""


@pytest.fixture(scope="module")
def book(project: Path) -> Book:
    """The book that the site was built from."""
    return read_book(project)[0]


def _procedures(book: Book, pages: dict[str, BeautifulSoup]) -> Iterator[tuple[str, BeautifulSoup]]:
    for src, page in book.pages.items():
        if page.kind == "procedure":
            yield src, pages[address_of(src)]


def _number(span: Tag) -> str:
    """The words of a figure without its sign and without what is only read aloud."""
    return "".join(
        text
        for text in span.find_all(string=True)
        if not any(parent.name == "sup" or "ht-spoken" in parent.get("class", []) for parent in text.parents)
    )


def _allowed_texts(figure: Figure) -> set[str]:
    return {figure.text(), *(figure.part_text(part) for part in figure.parts())}


def test_every_page_of_the_book_is_built(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """Each source has its page, and there are more, made by the build from registers, editions and checks."""
    assert set(pages) == {*map(address_of, book.pages), *map(address_of, MADE_PAGES)}


def test_each_figure_equals_its_row_and_shows_its_basis(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """The words of a figure on a page are those of its row, its basis too, and its link leads to the row."""
    seen = 0
    for name, page in pages.items():
        for span in page.select("span[data-figure]"):
            figure = book.registers.figures[str(span["data-figure"])]
            assert span["data-basis"] == figure.basis, (name, figure.id)
            assert _number(span) in _allowed_texts(figure), (name, figure.id)
            for link in span.find_all("a"):
                target = urlsplit(str(link["href"]))
                assert target.fragment == f"figure-{figure.id}", (name, figure.id)
            seen += 1
    assert seen > 50


def test_each_figure_that_a_source_names_is_on_its_page(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """No use of a figure is lost between source and page."""
    for src, page in book.pages.items():
        shown = {str(span["data-figure"]) for span in pages[address_of(src)].select("span[data-figure]")}
        body = {use.id for use in page.scan.figure_uses if use.line >= page.scan.body_line}
        assert body <= shown, src


def test_hazards_are_listed_the_gravest_first(pages: dict[str, BeautifulSoup]) -> None:
    """At the top of a page DANGER comes before WARNING, WARNING before CAUTION, CAUTION before NOTICE."""
    words = {name: page.select(".ht-hazard-names .ht-signal") for name, page in pages.items()}
    lists = {name: [str(word["data-signal"]) for word in found] for name, found in words.items()}
    assert {name: found for name, found in lists.items() if found != sorted(found, key=SIGNALS.index)} == {}
    assert all(len(found) == len(set(found)) for found in lists.values())
    assert any({"DANGER", "WARNING"} <= set(found) for found in lists.values())


def test_each_declared_hazard_stands_before_its_step(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """In the order of the page itself, a hazard comes before the first step that needs it."""
    declared = 0
    for src, page in _procedures(book, pages):
        order = list(page.descendants)
        for hazard, step in book.pages[src].hazards.items():
            message = page.select_one(f"article aside#hazard-{hazard}[data-hazard={hazard}]")
            item = page.select_one(f"ol.steps > li[data-step={step.written}]")
            assert message is not None, (src, hazard)
            assert item is not None, (src, step.written)
            assert order.index(message) < order.index(item), (src, hazard)
            declared += 1
    assert declared > 10


def test_no_bare_figure_is_left_in_a_procedure(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """In a procedure's text, outside figures and calculators, no number has a unit."""
    for src, page in _procedures(book, pages):
        article = BeautifulSoup(str(page.select_one("article")), "html.parser")
        for part in article.select(NOT_PROSE):
            part.replace_with(" . ")
        found = [words for _, words in bare_figures(article.get_text("\n"))]
        assert found == [], src


def _asked(book: Book, name: str) -> dict[str, Any]:
    """The inputs of a worked example, with what the registers give without anyone being asked."""
    fields = answering.module(name).INPUTS
    return {**given(fields, book.registers.figures), **book.registers.examples[name]["inputs"]}


def test_each_worked_answer_is_the_calculators_own(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """The inputs are those of examples.yml and the registers, the results the calculator's, asked again."""
    seen = set()
    for page in pages.values():
        for example in page.select("section[data-calculator] [data-example]"):
            name = str(example["data-example"])
            inputs = _asked(book, name)
            assert json.loads(str(example["data-inputs"])) == inputs
            answer = json.loads(run(name, json.dumps(inputs), book.registers.words))
            results = example.select("[data-found]")
            assert results, name
            for result in results:
                assert json.loads(str(result["data-value"])) == answer[str(result["data-found"])], name
            seen.add(name)
    assert seen == set(book.registers.examples)


def test_each_row_of_a_look_up_table_is_the_calculators_own(
    book: Book, pages: dict[str, BeautifulSoup]
) -> None:
    """A row is the example with some inputs changed, and its cells are what the calculator gives for it."""
    for page in pages.values():
        for table in page.select("[data-look-up]"):
            name = str(table["data-look-up"])
            example = book.registers.examples[name]
            rows = table.select("tbody tr")
            assert len(rows) == len(example["table"]["rows"])
            for row, changes in zip(rows, example["table"]["rows"], strict=True):
                inputs = {**_asked(book, name), **changes}
                answer = {**inputs, **json.loads(run(name, json.dumps(inputs), book.registers.words))}
                shown = {cell["data-shown"]: json.loads(str(cell["data-value"])) for cell in row.select("td")}
                assert shown == {field: answer[field] for field in example["table"]["show"]}


def test_the_caution_to_defer_is_on_every_page(pages: dict[str, BeautifulSoup]) -> None:
    """Every page says once that the owner's manual and local codes come first."""
    for name, page in pages.items():
        cautions = page.select("article aside[data-caution=defer]")
        assert len(cautions) == 1, name
        assert "owner's manual and local codes come first" in cautions[0].get_text(), name


def test_the_register_page_lists_every_row(book: Book, pages: dict[str, BeautifulSoup]) -> None:
    """Each figure, hazard, term, source and leveler class has its row, found by the anchor links use."""
    page = pages["figures.html"]
    ids = {str(tag["id"]) for tag in page.select("article [id]")}

    assert render_pages(book)["figures.md"].anchors <= ids
    for figure in book.registers.figures.values():
        row = page.select_one(f"section.ht-row:has(> #figure-{figure.id})")
        assert row is not None
        text = row.get_text()
        assert figure.text() in text
        assert figure.note in text
        assert not figure.safety or str(figure.checked_by) in text
        assert figure.source is None or row.select_one(f'a[href="#source-{figure.source}"]') is not None


def test_every_link_inside_the_site_leads_somewhere(site: Path, pages: dict[str, BeautifulSoup]) -> None:
    """Links, anchors included, that the build itself makes are right as well as the authors'."""
    anchors = {name: {str(tag["id"]) for tag in page.select("[id]")} for name, page in pages.items()}
    for name, page in pages.items():
        for link in page.select("a[href]"):
            target = urlsplit(str(link["href"]))
            if target.scheme or target.netloc:
                continue
            path = ((site / name).parent / target.path).resolve() if target.path else site / name
            path = path / "index.html" if path.is_dir() else path
            assert path.is_file(), (name, link["href"])
            if target.fragment and path.suffix == ".html":
                other = path.relative_to(site.resolve()).as_posix()
                assert target.fragment in anchors[other], (name, link["href"])


LOADING = {
    "script": "src",
    "link": "href",
    "img": "src",
    "source": "src",
    "iframe": "src",
    "object": "data",
    "embed": "src",
    "audio": "src",
    "video": "src",
    "track": "src",
    "use": "href",
    "image": "href",
    "form": "action",
    "base": "href",
}
REFERENCES_IN_CODE = re.compile(
    r"""url\(\s*['"]?(?P<css>[^'")\s]+)|@import\s+['"](?P<at>[^'"]+)|"""
    r"""(?:\bimport\b[^'";\n]*|\bfrom\s*|\bimport\(\s*|importScripts\(\s*|fetch\(\s*|new\s+Worker\(\s*)['"](?P<js>[^'"]+)"""
)


def test_no_page_loads_anything_from_outside(pages: dict[str, BeautifulSoup]) -> None:
    """Whatever a page loads by itself has a relative address; only links in the text may lead outside."""
    loaded = 0
    for name, page in pages.items():
        for tag, attribute in LOADING.items():
            for element in page.find_all(tag, attrs={attribute: True}):
                address = urlsplit(str(element[attribute]))
                assert not address.netloc, (name, str(element))
                assert address.scheme in ("", "data"), (name, str(element))
                assert not address.path.startswith("/"), (name, str(element))
                loaded += 1
        assert page.select("[style*='url('], [srcset*='//'], [ping]") == [], name
    assert loaded > 8 * len(pages)


def test_no_style_or_script_loads_anything_from_outside(site: Path) -> None:
    """url(), @import, import, fetch and Worker in styles and scripts name files of the site alone."""
    seen = 0
    for path in sorted(site.rglob("*")):
        # Pyodide's own files are left to the browser tests, which watch every request.
        if path.suffix not in (".css", ".js", ".html") or path.name.startswith("pyodide"):
            continue
        for found in REFERENCES_IN_CODE.finditer(path.read_text(encoding="utf-8")):
            address = urlsplit(found["css"] or found["at"] or found["js"])
            assert not address.netloc, (path.name, found[0][:120])
            assert address.scheme in ("", "data"), (path.name, found[0][:120])
            seen += 1
    assert seen > 20


def test_no_script_has_an_ending_that_hosts_do_not_know(site: Path) -> None:
    """A browser runs no module of another type than JavaScript's, and many a host types .js alone as such."""
    endings = {path.suffix for path in site.rglob("*") if path.is_file()}
    assert ".js" in endings
    assert not endings & {".mjs", ".cjs", ".ts", ".jsm"}


def test_no_id_stands_twice_on_a_page(pages: dict[str, BeautifulSoup]) -> None:
    """Links and scripts find one place by its id, whoever of the builders gave it."""
    for name, page in pages.items():
        ids = Counter(str(tag["id"]) for tag in page.select("[id]"))
        assert [id_ for id_, times in ids.items() if times > 1] == [], name


def test_the_list_of_sentences_is_that_of_the_words_file(book: Book) -> None:
    """Every "book." sentence of the English words stands in the list that other languages are held to."""
    said = [code for code in book.registers.words if code.startswith("book.")]

    assert said == [code for code in LIST.read_text(encoding="utf-8").split() if code.startswith("book.")]


def test_python_is_asked_for_only_where_a_calculator_stands(pages: dict[str, BeautifulSoup]) -> None:
    """The mark by which Python and the sheets' sentences come early stands where a calculator is asked."""
    asking = {name for name, page in pages.items() if page.select_one("html[data-asks]")}
    asked = "section[data-calculator], [data-visit]"
    assert asking == {name for name, page in pages.items() if page.select_one(asked)}
    assert 0 < len(asking) < len(pages)


def test_the_book_names_the_work_of_others_in_it(pages: dict[str, BeautifulSoup]) -> None:
    """Every vendored folder stands on the register page with its version and its licenses, the theme too."""
    shown = {str(row["data-part"]): row.get_text() for row in pages["figures.html"].select("li[data-part]")}
    assert set(shown) == {"axe-core", "idb", "mkdocs", "mkdocs-material", "pyodide"}
    for path in VENDOR.glob("*/VERSION"):
        name, version = re.findall(r"^(?:package|version): (\S+)", path.read_text("utf-8"), re.MULTILINE)
        assert version in shown[name]
    assert shown["pyodide"].endswith(": MPL-2.0, PSF-2.0")
    assert shown["mkdocs-material"].endswith(": MIT")
    assert shown["idb"].endswith(": ISC")


def test_the_emergency_number_stands_first_on_home(
    pages: dict[str, BeautifulSoup], registers: Registers
) -> None:
    """Home and the page for somebody caught call the registered number without a script, above all else."""
    assert registers.emergency is not None
    for name in ("index.html", "faults/somebody-is-caught.html"):
        box = pages[name].select_one("article h1 + .ht-emergency, article h1 + div .ht-emergency")
        assert box is not None, name
        call = box.select_one(".ht-emergency-call a")
        assert call is not None and call["href"] == f"tel:{registers.emergency.number}", name
        assert registers.emergency.note in box.get_text(), name
    leads = pages["index.html"].select(".ht-emergency p:first-child a")
    assert [link["href"] for link in leads] == ["faults/somebody-is-caught.html"]

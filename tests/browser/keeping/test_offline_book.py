"""The real book on a phone whose server has gone: every page, the search, every calculator."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.engines import open_chromium
from build_tools.browsers.host import Host
from build_tools.browsers.reading import open_page, pages_found, search_for, wait_kept, waiting
from build_tools.browsers.small_book import files_of
from build_tools.edition.edition import CALCULATOR_FILES
from calculators import answering
from calculators.shared.words import read_words

CALCULATOR_PAGE = "procedures/time-the-lip-fold.html"
STYLES = "link[rel=stylesheet]"
ASK = """
    const [name, inputs, done] = arguments;
    const root = new URL(document.documentElement.dataset.root + "/", location.href);
    import(new URL("half-turn/page/runtime.js", root).href)
        .then(({ask}) => ask(name, inputs))
        .then(done, (fault) => done({fault: String(fault), trace: fault.trace}));
"""

FORGET_MEMORY = """
    const done = arguments[0];
    const isMemory = (name) => name.endsWith("python-memory");
    caches.keys().then((names) => caches.delete(names.find(isMemory))).then(done);
"""


@pytest.fixture(scope="module")
def visited(site: Path) -> Iterator[Host]:
    """The real book's host, which is gone after the first visit."""
    host = Host(site).start()
    yield host
    host.stop()


@pytest.fixture(scope="module")
def offline(visited: Host, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[WebDriver, str]]:
    """A browser that kept the book and its Python's memory, was closed and opened again, with no server; and
    the book's address."""
    profile = tmp_path_factory.mktemp("profile")
    browser = open_chromium(profile)
    try:
        browser.get(visited.address + CALCULATOR_PAGE)
        wait_kept(browser, "complete", seconds=90)
        wait_ready(browser)
        told = waiting(browser, 90).until(lambda _: html_data(browser, "memory"))
        assert told == "kept"
        visited.stop()
        browser.quit()
        browser = open_chromium(profile)
        yield browser, visited.address
    finally:
        browser.quit()


def wait_ready(browser: WebDriver) -> None:
    """Wait until the calculators have started."""
    waiting(browser, 90).until(lambda _: html_data(browser, "runtime") == "ready", "never ready")


def html_data(browser: WebDriver, name: str) -> str | None:
    """What the page says of itself under data-NAME."""
    told: str | None = browser.execute_script(f"return document.documentElement.dataset.{name}")
    return told


def logged(browser: WebDriver) -> list[str]:
    """The errors that the browser logged since this was last asked."""
    entries: list[dict[str, str]] = browser.get_log("browser")  # type: ignore[no-untyped-call]
    return [entry["message"] for entry in entries if entry["level"] == "SEVERE"]


def pages_of(site: Path) -> list[str]:
    """Every page of the edition manifest."""
    return [file["url"] for file in files_of(site) if file["url"].endswith(".html")]


def test_first_visit_fetches_the_runtime_once(
    offline: tuple[WebDriver, str], visited: Host, site: Path
) -> None:
    """On a first visit to a calculator each file of its tier travels once, packed if it has a packed copy."""
    files = files_of(site, "calculators")
    wanted = [file["packed"]["url"] if "packed" in file else file["url"] for file in files]
    asked = [path for path in visited.requests if path.startswith(CALCULATOR_FILES)]
    assert sorted(asked) == sorted(wanted)  # small files come several at a time, in no order


def test_every_page_opens_whole(
    offline: tuple[WebDriver, str], site: Path, pages: dict[str, BeautifulSoup]
) -> None:
    """Each page shows its heading and its styles, its calculator starts, and nothing it loads is missing."""
    browser, address = offline
    kept = pages_of(site)
    assert len(kept) > 8
    logged(browser)
    starts = []
    for page in kept:
        open_page(browser, address + page)
        source = pages[page]
        shown = "return [document.querySelector('h1').textContent, document.styleSheets.length]"
        written = [source.h1 and source.h1.text, len(source.select(STYLES))]
        assert browser.execute_script(shown) == written, page
        if source.select_one("section[data-calculator]"):
            # Left while Python starts, this Chromium's tab now and then crashes.
            wait_ready(browser)
            starts.append(html_data(browser, "start"))
    assert starts == ["memory"] * len(starts)
    assert len(starts) >= len(answering.NAMES)
    browser.refresh()
    wait_kept(browser, "complete")
    # Asking the host what is new is meant to fail here; nothing else is.
    assert [message for message in logged(browser) if "edition.json" not in message] == []


def test_search_finds_a_page(offline: tuple[WebDriver, str]) -> None:
    """What a technician says, typed into the search box, finds the page about it, and its result opens."""
    browser, address = offline
    open_page(browser, address)
    search_for(browser, "won’t come up")
    found = waiting(browser, 20).until(pages_found)
    assert "faults/will-not-rise-fully.html" in found[:3]
    browser.get(address + found[0])
    assert browser.execute_script("return document.querySelector('h1').textContent")


def test_every_calculator_answers(
    offline: tuple[WebDriver, str], pages: dict[str, BeautifulSoup], project: Path
) -> None:
    """Each calculator gives the example's answer, as the command line gives it, with the server stopped, from
    a Python that starts from its files."""
    browser, address = offline
    words = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    examples: dict[str, object] = {}
    for source in pages.values():
        for example in source.select("[data-example]"):
            examples[str(example["data-example"])] = json.loads(str(example["data-inputs"]))
    assert set(examples) == set(answering.NAMES)
    open_page(browser, address + CALCULATOR_PAGE)
    wait_ready(browser)
    assert browser.execute_async_script(FORGET_MEMORY) is True
    open_page(browser, address + CALCULATOR_PAGE)
    wait_ready(browser)
    assert html_data(browser, "start") == "files"
    for name, inputs in examples.items():
        answer = browser.execute_async_script(ASK, name, inputs)
        assert answer == json.loads(answering.run(name, json.dumps(inputs), words))


def test_nothing_is_kept_that_nothing_needs(site: Path) -> None:
    """Each kept file is named by another file of the book: none is stray."""
    names = {file["url"]: file["url"].rsplit("/", 1)[-1] for file in files_of(site)}
    texts = {url: (site / url).read_bytes() for url in names}
    unused = [
        url
        for url, name in names.items()
        if not any(name.encode() in text for other, text in texts.items() if other != url)
    ]
    assert unused == []

"""The search: what a technician says finds the page that answers it, among the first three."""

from __future__ import annotations

from pathlib import Path

import pytest
from selenium import webdriver

from build_tools.book.book import Book, read_book
from build_tools.book.fault_words import page_of_path
from build_tools.browsers.reading import pages_found, search_for, waiting
from build_tools.site.search_words import spellings

SAID = {
    "won't come up": "faults/will-not-rise-fully.html",
    "lip drops fast": "faults/lip-folds-too-quickly-or-slowly.html",
    "won’t stay down": "faults/will-not-stay-down.html",
    "hard to push down": "faults/hard-to-walk-down.html",
    "slams": "faults/comes-up-hard.html",
    "ring stuck": "faults/ring-will-not-release.html",
    "lip wont come out": "faults/lip-does-not-extend.html",
    "one side low": "faults/uneven-or-twisted.html",
    "Squeaks.": "faults/noisy.html",
    "misses the keepers": "faults/will-not-store-in-the-keepers.html",
    "spring broke": "repair/plan-a-spring-replacement.html",
    "raise lip by hand": "procedures/time-the-lip-fold.html",
    "truck hit it": "faults/after-a-hit-or-an-overload.html",
    "someone caught": "faults/somebody-is-caught.html",
    "cold": "procedures/when-it-is-cold.html",
    "not level": "faults/uneven-or-twisted.html",
    "no manual": "repair/no-manual.html",
    "clean the pit": "adjust/clean-the-pit.html",
    "grease points": "adjust/lubricate-part-by-part.html",
    "new leveler": "procedures/put-a-leveler-into-use.html",
    "training": "handover/train-and-sign-off.html",
    "how long should the lip take?": "procedures/time-the-lip-fold.html",
    "visit": "visit.html",
}
TYPED_WORDS = 5
LOADED = """
    const loaded = performance.getEntriesByType("resource").map(({ name }) => name);
    return loaded.filter((name) => name.includes(arguments[0]));
"""
ASK_ALL = """
    const [phrases, done] = arguments;
    const config = JSON.parse(document.querySelector("#__config").textContent);
    const at = (path) => new URL(path, new URL(`${config.base}/`, location.href));
    const worker = new Worker(new URL(config.search, location.href));
    const ask = (data) => new Promise((resolve) => {
        worker.onmessage = (message) => resolve(message.data);
        worker.postMessage(data);
    });
    (async () => {
        const index = await (await fetch(at("search/search_index.json"))).json();
        await ask({type: 0, data: {...index, options: {suggest: false}}});
        const found = {};
        for (const phrase of phrases) {
            const {data} = await ask({type: 2, data: phrase});
            found[phrase] = data.items.slice(0, 3).map(([first]) => first.location.split("#")[0]);
        }
        return found;
    })().then(done, (fault) => done(String(fault)));
"""
"""Asks the theme's own search worker, which is what the search box asks."""


def spelled_leads(book: Book) -> dict[str, set[str]]:
    """Every phrase that a thumb types, in each of its spellings, with the pages that it should find.

    A sentence of more than five words is for reading: the search finds too much for its "a" and "to".
    """
    stands = page_of_path(book.pages.values())
    rows = [(term.search, term.leads_to) for term in book.registers.terms.values() if term.leads_to]
    rows += [(path.said_as, (stands[path.id],)) for path in book.registers.faults.values()]
    leads: dict[str, set[str]] = {}
    for phrases, pages in rows:
        typed = [phrase for phrase in phrases if len(phrase.split()) <= TYPED_WORDS]
        for spelling in (each for phrase in typed for each in spellings(phrase)):
            leads.setdefault(spelling, set()).update(page.removesuffix(".md") + ".html" for page in pages)
    return leads


@pytest.fixture(scope="module")
def home(browser: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The file's browser on the home page, online."""
    browser.get(address)
    return browser


@pytest.mark.parametrize("words", SAID)
def test_words_typed_into_the_box(home: webdriver.Chrome, words: str) -> None:
    """Symptom words, typed as a thumb types them, show the right page among the first three."""
    search_for(home, words)

    waiting(home, 10).until(
        lambda _: SAID[words] in pages_found(home)[:3], f"{words}: {pages_found(home)[:3]}"
    )


def test_pages_that_are_only_read_load_no_index(browser: webdriver.Chrome, address: str) -> None:
    """The index, as large as the rest of a page, comes with the first touch of the search and not before."""
    browser.get(f"{address}procedures/make-the-dock-safe.html")
    waiting(browser, 10).until(lambda _: browser.execute_script(LOADED, "workers/search"))
    assert not browser.execute_script(LOADED, "search_index")
    search_for(browser, "slams")
    waiting(browser, 10).until(lambda _: SAID["slams"] in pages_found(browser)[:3])
    assert browser.execute_script(LOADED, "search_index")


def test_a_page_that_is_only_read_loads_nothing_of_the_calculators(
    browser: webdriver.Chrome, address: str
) -> None:
    """No script, sentence or style of the work sheets is loaded by a page without one."""
    browser.get(f"{address}adjust/clean-the-pit.html")
    waiting(browser, 10).until(lambda _: browser.execute_script(LOADED, "changes.json"))
    loaded = browser.execute_script(LOADED, "half-turn/")
    ours = {name.partition("half-turn/")[2] for name in loaded if not name.endswith("/icon.svg")}
    assert ours == {
        "page/start.js",
        "page/keeper.js",
        "words.json",
        "changes.json",
        "style/sheet.css",
        "style/paper.css",
    }


def test_every_search_word_of_the_registers(home: webdriver.Chrome, project: Path) -> None:
    """What terms.yml and faults.yml say that people type finds a page it leads to among the first three."""
    leads = spelled_leads(read_book(project)[0])
    assert len(leads) > 250

    found = home.execute_async_script(ASK_ALL, list(leads))

    assert {phrase: found[phrase] for phrase in leads if not leads[phrase] & set(found[phrase])} == {}
